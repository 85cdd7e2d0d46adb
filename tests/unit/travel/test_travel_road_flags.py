"""What a road is flagged with. Sources: the OpenStreetMap wiki, the pages named beside each group."""

import pytest

from planner.travel import RoadFlag
from planner.travel.road_flags import road_flags

NOTHING = RoadFlag(0)


@pytest.mark.parametrize(
    ("tags", "flags"),
    [
        # Key:bridge, Key:tunnel: any value but no.
        ({"bridge": "yes"}, RoadFlag.BRIDGE),
        ({"bridge": "viaduct"}, RoadFlag.BRIDGE),
        ({"bridge": "no"}, NOTHING),
        ({"tunnel": "building_passage"}, RoadFlag.TUNNEL),
        ({"bridge": "yes", "tunnel": "yes"}, RoadFlag.BRIDGE | RoadFlag.TUNNEL),
        # Key:motorroad, Tag:highway=motorway.
        ({"motorroad": "yes", "highway": "trunk"}, RoadFlag.MOTORROAD),
        ({"motorroad": "no", "highway": "trunk"}, NOTHING),
        ({"highway": "motorway"}, RoadFlag.MOTORROAD),
        ({"highway": "motorway_link"}, RoadFlag.MOTORROAD),
        # Street parking: where there is no room it is not forbidden to stop; one free side is enough to stand.
        ({"parking:both:restriction": "no_stopping"}, RoadFlag.NO_STOPPING),
        ({"parking:left:restriction": "no_parking", "parking:right:restriction": "no_stopping"}, RoadFlag.NO_STOPPING),
        ({"parking:left:restriction": "no_parking"}, NOTHING),
        ({"parking:both": "no"}, NOTHING),
        ({"parking:lane:both": "no_stopping"}, RoadFlag.NO_STOPPING),
        ({"parking:lane:left": "no_parking", "parking:condition:right": "no_standing"}, RoadFlag.NO_STOPPING),
        ({"parking:both:restriction": "loading_only"}, NOTHING),
        # Key:seasonal, Key:snowplowing, Key:winter_service, Key:flood_prone, Key:opening_hours, Conditional rules.
        ({"seasonal": "summer"}, RoadFlag.SEASONAL),
        ({"seasonal": "no"}, NOTHING),
        ({"snowplowing": "no"}, RoadFlag.SEASONAL),
        ({"snowplowing": "yes"}, NOTHING),
        ({"winter_service": "no"}, RoadFlag.SEASONAL),
        ({"flood_prone": "yes"}, RoadFlag.SEASONAL),
        ({"opening_hours": "Apr-Oct"}, RoadFlag.SEASONAL),
        ({"access:conditional": "no @ (Nov-Apr)"}, RoadFlag.SEASONAL),
        ({"motor_vehicle:conditional": "no @ (22:00-05:00)"}, RoadFlag.SEASONAL),
        ({"oneway:conditional": "yes @ (Mo-Fr 07:00-09:00)"}, RoadFlag.SEASONAL),
        # A lower limit at some hours does not shut a road.
        ({"maxspeed:conditional": "30 @ (07:00-17:00)"}, NOTHING),
        ({"hgv:conditional": "no @ (22:00-05:00)"}, NOTHING),
    ],
)
def test_that_a_road_is_flagged_by_what_its_tags_say(tags: dict[str, str], flags: RoadFlag) -> None:
    assert road_flags(tags) == flags
