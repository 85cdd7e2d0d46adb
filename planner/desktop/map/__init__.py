"""The map: roads, routes, points, homes; shown, walked through by keyboard, and points moved on it."""

from planner.desktop.map.things import MapHome, MapTie
from planner.desktop.map.view import MapView

__all__ = ["MapHome", "MapTie", "MapView"]
