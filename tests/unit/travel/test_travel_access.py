import pytest

from planner.travel.osm.access import allowed, is_closed_ford, node_closes, open_directions


@pytest.mark.parametrize(
    ("tags", "verdict"),
    [
        ({}, None),
        ({"access": "yes"}, True),
        ({"access": "no"}, False),
        ({"access": "private"}, False),
        ({"access": "destination"}, True),
        ({"access": "permissive"}, True),
        ({"access": "customers"}, False),
        ({"access": "agricultural;forestry"}, False),
        ({"access": "agricultural; destination"}, True),
        ({"access": "no", "vehicle": "yes"}, True),
        ({"vehicle": "yes", "motor_vehicle": "no"}, False),
        ({"motor_vehicle": "no", "motorcar": "yes"}, True),
        ({"motorcar": "private", "access": "yes"}, False),
        ({"bicycle": "yes"}, None),
    ],
)
def test_that_the_most_exact_access_tag_decides(tags: dict[str, str], verdict: bool | None) -> None:
    assert allowed(tags) is verdict


@pytest.mark.parametrize(
    ("tags", "directions"),
    [
        ({}, (True, True)),
        ({"oneway": "yes"}, (True, False)),
        ({"oneway": "1"}, (True, False)),
        ({"oneway": "true"}, (True, False)),
        ({"oneway": "-1"}, (False, True)),
        ({"oneway": "reverse"}, (False, True)),
        ({"oneway": "no"}, (True, True)),
        ({"oneway": "alternating"}, (True, True)),
        ({"oneway": "reversible"}, (False, False)),
        ({"oneway": "perhaps"}, (True, True)),
        ({"oneway": "no", "oneway:motor_vehicle": "yes"}, (True, False)),
        ({"junction": "roundabout"}, (True, False)),
        ({"junction": "circular"}, (True, False)),
        ({"junction": "roundabout", "oneway": "-1"}, (False, True)),
        ({"highway": "motorway"}, (True, False)),
        ({"highway": "motorway", "oneway": "no"}, (True, True)),
        ({"highway": "motorway_link"}, (True, True)),
        ({"access": "private"}, (False, False)),
        ({"motor_vehicle:backward": "no"}, (True, False)),
        ({"access:forward": "no", "oneway": "yes"}, (False, False)),
        ({"area": "yes"}, (False, False)),
        ({"impassable": "yes"}, (False, False)),
        ({"4wd_only": "yes"}, (False, False)),
        ({"winter_road": "yes"}, (False, False)),
        ({"ice_road": "yes"}, (False, False)),
        ({"seasonal": "winter"}, (False, False)),
        ({"seasonal": "yes"}, (True, True)),
        ({"access": "no", "access:conditional": "yes @ (Apr-Oct)"}, (False, False)),
        ({"access:conditional": "no @ (Nov-Mar)"}, (True, True)),
        ({"route": "ferry", "motor_vehicle": "yes"}, (False, False)),
        ({"oneway": "yes", "oneway:motorcar": "no"}, (True, True)),
        ({"oneway": "yes", "oneway:bicycle": "no"}, (True, False)),
        ({"junction": "roundabout", "oneway": "no"}, (True, True)),
        ({"junction": "jughandle"}, (True, True)),
        ({"smoothness": "impassable"}, (False, False)),
        ({"smoothness": "bad"}, (True, True)),
        ({"service": "emergency_access"}, (False, False)),
        ({"ford": "yes"}, (False, False)),
        ({"ford": "no"}, (True, True)),
    ],
)
def test_that_a_way_is_open_in_the_directions_its_tags_leave(
    tags: dict[str, str], directions: tuple[bool, bool]
) -> None:
    assert open_directions(tags, fords_open=False) == directions


@pytest.mark.parametrize(
    ("tags", "closes"),
    [
        ({"barrier": "gate"}, False),
        ({"barrier": "gate", "locked": "yes"}, True),
        ({"barrier": "gate", "locked": "yes", "access": "yes"}, True),
        ({"barrier": "gate", "locked": "no"}, False),
        ({"barrier": "gate", "access": "private"}, True),
        ({"barrier": "gate", "access": "no", "motor_vehicle": "yes"}, False),
        ({"barrier": "lift_gate", "motor_vehicle": "no"}, True),
        ({"barrier": "cattle_grid"}, False),
        ({"barrier": "lift_gate"}, False),
        ({"barrier": "swing_gate", "access": "permit"}, True),
        ({"barrier": "chain"}, True),
        ({"barrier": "height_restrictor"}, False),
        ({"barrier": "something_new"}, False),
        ({"highway": "mini_roundabout"}, False),
        ({"barrier": "toll_booth"}, False),
        ({"barrier": "bollard"}, True),
        ({"barrier": "block"}, True),
        ({"barrier": "stile"}, True),
        ({"barrier": "bollard", "motorcar": "yes"}, False),
        ({"barrier": "no", "access": "private"}, False),
        ({"highway": "traffic_signals"}, False),
        ({"highway": "ford"}, True),
        ({"ford": "yes"}, True),
        ({"ford": "no"}, False),
    ],
)
def test_that_only_what_stops_a_car_cuts_the_road(tags: dict[str, str], closes: bool) -> None:
    assert node_closes(tags, fords_open=False) is closes


def test_that_fords_open_on_demand_except_those_no_car_passes() -> None:
    assert not is_closed_ford({"ford": "yes"}, fords_open=True)
    assert not is_closed_ford({"highway": "ford"}, fords_open=True)
    assert is_closed_ford({"ford": "stepping_stones"}, fords_open=True)
    assert is_closed_ford({"ford": "boat"}, fords_open=True)
