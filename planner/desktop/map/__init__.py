"""The map: roads, routes, points, homes; shown, walked through by keyboard, points moved and places picked on it."""

from planner.desktop.map.things import MapBarred, MapHome, MapProposal, MapStop, MapTie, pin_name
from planner.desktop.map.view import MapView

__all__ = ["MapBarred", "MapHome", "MapProposal", "MapStop", "MapTie", "MapView", "pin_name"]
