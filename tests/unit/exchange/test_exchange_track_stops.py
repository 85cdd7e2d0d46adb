"""Where somebody stood, found in noisy tracks whose stops are known."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod

from planner.domain.geo import Place
from planner.exchange.map_files.track_stops import LEAST_STAY_S, RADIUS_M, find_stops, has_times
from planner.exchange.reads import Origin, Track

GEOD = Geod(ellps="WGS84")
START_S = 1_778_788_800.0
METRES_A_DEGREE = 111_195.0


def track(fixes: Sequence[tuple[float, Place]]) -> Track:
    return Track(Origin("t.gpx", "line 1, <trk>"), "t", tuple(place for _, place in fixes), tuple(t for t, _ in fixes))


def moved(place: Place, east_m: float, north_m: float) -> Place:
    longitude = place.longitude + east_m / METRES_A_DEGREE / math.cos(math.radians(place.latitude))
    return Place(place.latitude + north_m / METRES_A_DEGREE, (longitude + 180) % 360 - 180)


def apart_m(one: Place, other: Place) -> float:
    """Return the geodesic distance, by PROJ: the oracle of the places found."""
    return float(GEOD.inv(one.longitude, one.latitude, other.longitude, other.latitude)[2])


def evening(
    seed: int, stops: Sequence[float], *, start: Place, every_s: float, jitter_m: float, speed_mps: float = 12.0
) -> tuple[Track, list[Place]]:
    """Return an invented drive with a stop of so many seconds every 600 m, as a receiver that wanders keeps it."""
    dice = random.Random(seed)
    fixes: list[tuple[float, Place]] = []
    now_s, along_m = START_S, 0.0
    drift = [0.0, 0.0]
    places = []

    def keep(place: Place) -> None:
        # The error of a receiver changes slowly, and jumps now and then.
        for axis in (0, 1):
            drift[axis] = 0.9 * drift[axis] + dice.gauss(0, jitter_m * math.sqrt(1 - 0.81))
        jump = 80.0 if dice.random() < 0.01 else 0.0
        fixes.append((now_s, moved(place, drift[0] + jump, drift[1])))

    for stay_s in stops:
        target_m = along_m + 600.0
        while along_m < target_m:
            keep(moved(start, along_m, 0))
            now_s, along_m = now_s + every_s, min(target_m, along_m + speed_mps * every_s)
        places.append(moved(start, along_m, 0))
        leaves_s = now_s + stay_s
        while now_s < leaves_s:
            keep(places[-1])
            now_s += every_s
        keep(places[-1])
    for _ in range(40):
        now_s, along_m = now_s + every_s, along_m + speed_mps * every_s
        keep(moved(start, along_m, 0))
    return track(fixes), places


STARTS = st.builds(Place, st.floats(-65, 65), st.sampled_from([-179.99, -90.0, 0.0, 12.3, 179.98]))


@settings(max_examples=30)
@given(
    seed=st.integers(0, 10**6),
    stops=st.lists(st.floats(LEAST_STAY_S + 60, 600), min_size=1, max_size=6),
    start=STARTS,
    every_s=st.sampled_from([1.0, 4.0, 10.0]),
    jitter_m=st.floats(0, 8),
)
def test_that_known_stops_are_found_however_the_receiver_wanders(
    seed: int, stops: list[float], start: Place, every_s: float, jitter_m: float
) -> None:
    way, places = evening(seed, stops, start=start, every_s=every_s, jitter_m=jitter_m)
    found = find_stops([way])
    assert len(found) == len(places)
    for stop, place, stayed_s in zip(found, places, stops, strict=True):
        assert apart_m(stop.place, place) < RADIUS_M
        assert abs(stop.stayed_s - stayed_s) < 60
    assert list(found) == sorted(found, key=lambda stop: stop.arrived_s)


@settings(max_examples=15)
@given(seed=st.integers(0, 10**6), speed_mps=st.floats(1.5, 30), jitter_m=st.floats(0, 5))
def test_that_a_way_without_stops_has_none(seed: int, speed_mps: float, jitter_m: float) -> None:
    """From a walk to a fast drive; who drives may wait a minute at a gate."""
    waits = [60.0, 45.0] if speed_mps > 5 else [0.0, 0.0]
    way, _ = evening(seed, waits, start=Place(51.0, -1.0), every_s=2.0, jitter_m=jitter_m, speed_mps=speed_mps)
    assert find_stops([way]) == ()


def test_that_a_receiver_that_keeps_nothing_while_it_stands_has_stood() -> None:
    here, there = Place(51.0, -1.0), Place(51.01, -1.0)
    way = track([(0.0, here), (300.0, moved(here, 5, 5)), (400.0, there)])
    (stop,) = find_stops([way])
    assert apart_m(stop.place, here) < 10
    assert stop.stayed_s == 300.0


def test_that_time_spent_nobody_knows_where_is_no_stop() -> None:
    here = Place(51.0, -1.0)
    assert find_stops([track([(0.0, here), (900.0, moved(here, 400, 0)), (901.0, moved(here, 420, 0))])]) == ()


def test_that_a_jump_does_not_part_a_stop_but_an_absence_does() -> None:
    here = Place(51.0, -1.0)
    stands = [(float(t), here) for t in range(0, 200, 10)]
    jump = [(205.0, moved(here, 90, 0)), (215.0, moved(here, 70, 40))]
    more = [(float(t), here) for t in range(230, 430, 10)]
    (stop,) = find_stops([track(stands + jump + more)])
    assert stop.stayed_s == 420.0
    away = [(205.0, moved(here, 900, 0)), (1900.0, here)]
    (twice,) = find_stops([track(stands + away + [(t + 2000, place) for t, place in more])])
    assert twice.stayed_s == 190.0 + 190.0 + 2230 - 1900


def test_that_a_place_visited_again_is_one_stop_numbered_by_its_first_visit() -> None:
    here = Place(51.0, -1.0)
    there = moved(here, 800, 0)
    first = track([(0.0, here), (200.0, here), (300.0, there), (600.0, there)])
    back = track([(900.0, moved(here, 20, 0)), (1500.0, moved(here, 20, 0))])
    one, two = find_stops([back, first])
    assert (one.arrived_s, one.stayed_s) == (0.0, 800.0)
    assert apart_m(one.place, moved(here, 20, 0)) < 1  # Where it was stood longest.
    assert (two.arrived_s, two.stayed_s) == (300.0, 300.0)


def test_that_fixes_out_of_order_or_without_time_do_no_harm() -> None:
    here = Place(51.0, -1.0)
    mixed = Track(Origin("t", "1"), "", (here,) * 4, (300.0, None, 0.0, 0.0))
    (stop,) = find_stops([mixed])
    assert stop.stayed_s == 300.0
    assert has_times(mixed)
    assert not has_times(Track(Origin("t", "1"), "", (here,)))
    assert find_stops([Track(Origin("t", "1"), "", (here,) * 3)]) == ()


def test_that_the_middle_of_a_stop_at_the_edge_of_the_map_is_there() -> None:
    fixes = [(float(t), Place(10.0, 179.99999 if t % 20 else -179.99999)) for t in range(0, 300, 10)]
    (stop,) = find_stops([track(fixes)])
    assert apart_m(stop.place, Place(10.0, 180.0)) < 2


def test_that_a_long_slow_way_is_looked_through_without_taking_the_square_of_its_length() -> None:
    here = Place(51.0, -1.0)
    steps = 0
    fixes = []
    for second in range(20_000):
        steps += second % 119 == 0
        fixes.append((float(second), moved(here, steps * 70.0, 0)))
    assert find_stops([track(fixes)]) == ()
