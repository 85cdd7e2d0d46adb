"""Roads, snapping and drive times: what a leg takes, and where the figure comes from."""

from planner.domain.travel import DriveFigure, FigureSource
from planner.travel.busy_roads import BusyRoad, busy_edges, busy_roads_near
from planner.travel.calibration import LEAST_LEGS, FittedFactor, FittedFactors, RecordedLegs, fit_factors
from planner.travel.coordinates import LatLon, Places
from planner.travel.estimate import crow_km_within, estimate_minutes
from planner.travel.geodesic import geodesic_metres, geodesic_table_metres, ring, step_metres
from planner.travel.near_lines import Lines, Nearest, NearLines, Plane
from planner.travel.network import OSM_ATTRIBUTION, Road, RoadNetwork
from planner.travel.on_foot import ROADSIDE_M, Standing, naismith_minutes, walked_minutes
from planner.travel.osm.source_file import content_hash
from planner.travel.road_flags import RoadFlag
from planner.travel.sides import OFF_ROAD_DOUBT_M, OTHER_SIDE_M, RIVAL_M, RIVAL_MINUTES, Side
from planner.travel.snapping import FAR_SNAP_M, FAR_STAND_M, SNAP_LIMIT_M, Snap
from planner.travel.speeds import SpeedTable, shipped_speeds
from planner.travel.tables import SOURCES, Calibration, DriveTable, drive_table
from planner.travel.way_lengths import way_km

__all__ = [
    "FAR_SNAP_M",
    "FAR_STAND_M",
    "LEAST_LEGS",
    "OFF_ROAD_DOUBT_M",
    "OSM_ATTRIBUTION",
    "OTHER_SIDE_M",
    "RIVAL_M",
    "RIVAL_MINUTES",
    "ROADSIDE_M",
    "SNAP_LIMIT_M",
    "SOURCES",
    "BusyRoad",
    "Calibration",
    "DriveFigure",
    "DriveTable",
    "FigureSource",
    "FittedFactor",
    "FittedFactors",
    "LatLon",
    "Lines",
    "NearLines",
    "Nearest",
    "Places",
    "Plane",
    "RecordedLegs",
    "Road",
    "RoadFlag",
    "RoadNetwork",
    "Side",
    "Snap",
    "SpeedTable",
    "Standing",
    "busy_edges",
    "busy_roads_near",
    "content_hash",
    "crow_km_within",
    "drive_table",
    "estimate_minutes",
    "fit_factors",
    "geodesic_metres",
    "geodesic_table_metres",
    "naismith_minutes",
    "ring",
    "shipped_speeds",
    "step_metres",
    "walked_minutes",
    "way_km",
]
