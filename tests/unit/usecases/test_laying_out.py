"""Points laid out along lines: far enough apart, where they may stand, in order, and as many as fit."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pyproj import Geod
from shapely import LineString, Point

from planner.domain.counting import PointRule, Spacing, SpacingKind
from planner.domain.errors import ImpossibleError, RuleError
from planner.domain.geo import Place
from planner.domain.measures import Length
from planner.domain.protocol import Protocol
from planner.usecases.laying_out import AlongLine, Laid, LayoutRequest, ThroughPlaces, Why, lay_out
from tests.unit.usecases.checked_seasons import HABITAT, PROTOCOL

WGS84 = Geod(ellps="WGS84")
START = Place(50.0, 10.0)


def protocol(spacing: Spacing | None, *, circles_m: float | None = None, most: int = 99) -> Protocol:
    """A protocol with that spacing, habitat circles of that radius, and so many points."""
    habitat = None if circles_m is None else replace(HABITAT, radius=Length(circles_m, "m"))
    return replace(PROTOCOL, points=PointRule(1, most, spacing), habitat=habitat)


def at_least(metres: float, *, by_road: bool = True) -> Spacing:
    return Spacing(SpacingKind.AT_LEAST, Length(metres, "m"), tolerance_percent=0.0, along_road=by_road)


def polyline(*legs: tuple[float, float]) -> tuple[Place, ...]:
    """A line from ``START`` by bearings in degrees and metres: pyproj's geodesics."""
    places, longitude, latitude = [START], START.longitude, START.latitude
    for bearing, metres in legs:
        longitude, latitude, _ = WGS84.fwd(longitude, latitude, bearing, metres)
        places.append(Place(latitude, longitude))
    return tuple(places)


def straight(metres: float) -> AlongLine:
    return AlongLine(polyline((90.0, metres)))


def metres(a: Place, b: Place) -> float:
    return float(WGS84.inv(a.longitude, a.latitude, b.longitude, b.latitude)[2])


def along(laid: Laid) -> list[float]:
    return [point.along_m for point in laid.points]


def test_that_points_stand_at_the_protocols_spacing_from_the_start_numbered_from_one() -> None:
    laid = lay_out(protocol(at_least(800.0), most=5), None, LayoutRequest(straight(5000.0)))
    assert [point.number for point in laid.points] == [1, 2, 3, 4, 5]
    assert along(laid) == [0.0, 802.0, 1604.0, 2406.0, 3208.0]  # two metres against the rounding of places
    assert laid.points[0].place == START
    assert metres(laid.points[1].place, START) == pytest.approx(802.0, abs=0.8)
    assert (laid.wanted, laid.why_fewer, laid.skipped) == (5, "", ())
    assert laid.length_m == pytest.approx(5000.0, abs=0.01)
    assert laid.rule == "at least 800 m apart along the road"


def test_that_an_exact_spacing_is_not_called_a_least_one() -> None:
    exact = Spacing(SpacingKind.EXACT, Length(1.0, "mi"))
    said = lay_out(protocol(exact), None, LayoutRequest(straight(9000.0))).rule
    assert said == f"{exact.least} apart along the road"
    between = Spacing(SpacingKind.RANGE, Length(800.0, "m"), Length(1200.0, "m"), along_road=False)
    said = lay_out(protocol(between), None, LayoutRequest(straight(9000.0))).rule
    assert said == "at least 800 m apart as the crow flies"


def test_that_a_number_of_points_and_a_start_can_be_asked_for() -> None:
    laid = lay_out(protocol(at_least(800.0)), None, LayoutRequest(straight(5000.0), 3, start_after_m=250.0))
    assert along(laid) == [250.0, 1052.0, 1854.0]


def test_that_fewer_points_say_how_many_and_why() -> None:
    request = LayoutRequest(straight(3000.0), 6, start_after_m=500.0, avoid=((1000.0, 1600.0),))
    laid = lay_out(protocol(at_least(800.0), most=9), None, request)
    assert along(laid) == [500.0, 1601.0, 2403.0]
    assert laid.why_fewer == (
        "3 of 6 points fit: the line is 3.0 km long, the first 500 m are left out, on 600 m of it no point may stand,"
        " points stand at least 800 m apart along the road. Choose a longer line, begin sooner, or do with fewer."
    )
    assert [one.words for one in laid.skipped] == ["1,000 to 1,600 m: a stretch to be avoided, as asked"]
    assert laid.points[1].note == "299 m on, past a stretch to be avoided, as asked"
    assert laid.points[2].note == ""


def test_that_stretches_behind_the_last_point_are_not_told() -> None:
    laid = lay_out(
        protocol(at_least(800.0)), None, LayoutRequest(straight(9000.0), 2, avoid=((100.0, 200.0), (2000.0, 3000.0)))
    )
    assert [(one.from_m, one.to_m, one.why) for one in laid.skipped] == [(100.0, 200.0, Why.AVOID)]


def test_that_a_line_without_room_for_a_point_is_a_proposal_of_none() -> None:
    laid = lay_out(protocol(at_least(800.0), most=4), None, LayoutRequest(straight(300.0), avoid=((0.0, 400.0),)))
    assert laid.points == ()
    assert laid.why_fewer.startswith("0 of 4 points fit")


def test_that_exact_spacing_is_kept_within_its_tolerance_where_a_place_is_barred() -> None:
    exact = protocol(Spacing(SpacingKind.EXACT, Length(800.0, "m"), tolerance_percent=10.0))
    on = lay_out(exact, None, LayoutRequest(straight(3000.0), 3, avoid=((790.0, 850.0),)))
    assert along(on) == [0.0, 851.0, 1651.0]
    assert on.points[1].note == "51 m on, past a stretch to be avoided, as asked"
    nearer = lay_out(exact, None, LayoutRequest(straight(3000.0), 3, avoid=((790.0, 1200.0),)))
    assert along(nearer) == [0.0, 789.0, 1589.0]
    assert nearer.points[1].note == "11 m nearer than aimed at, since no point may stand farther on"
    beyond = lay_out(exact, None, LayoutRequest(straight(3000.0), 3, avoid=((500.0, 1200.0),)))
    assert along(beyond) == [0.0, 1201.0, 2001.0]
    assert beyond.points[1].note.endswith("as asked; farther apart than the protocol allows")


def test_that_circles_keep_apart_on_a_hairpin_where_the_road_does_not() -> None:
    hairpin = AlongLine(polyline((90.0, 1500.0), (0.0, 100.0), (270.0, 1500.0)))
    free = lay_out(protocol(at_least(800.0)), None, LayoutRequest(hairpin))
    kept = lay_out(protocol(at_least(800.0), circles_m=200.0), None, LayoutRequest(hairpin))
    assert len(free.points) == 4
    nearest = min(metres(a.place, b.place) for a, b in itertools.combinations(free.points, 2))
    assert nearest < 400
    assert min(metres(a.place, b.place) for a, b in itertools.combinations(kept.points, 2)) >= 400
    assert "the line turns back towards points that stand already" in "".join(point.note for point in kept.points)
    assert kept.rule == (
        "at least 800 m apart along the road, and never less than 400 m as the crow flies: habitat circles must not"
        " overlap"
    )


def test_that_points_by_road_are_never_nearer_than_a_quarter_of_the_spacing_as_the_crow_flies() -> None:
    # By the figure alone the fourth point would stand 180 m from the second, across a hairpin 30 m wide.
    hairpin = AlongLine(polyline((0.0, 1500.0), (90.0, 30.0), (180.0, 1500.0)))
    laid = lay_out(protocol(at_least(800.0)), None, LayoutRequest(hairpin))
    assert along(laid)[:3] == [0.0, 802.0, 1604.0]
    assert min(metres(a.place, b.place) for a, b in itertools.combinations(laid.points, 2)) >= 200


def test_that_a_stretch_that_is_passed_twice_has_points_once() -> None:
    spur = AlongLine(polyline((90.0, 2000.0), (270.0, 2000.0), (0.0, 3000.0)))
    laid = lay_out(protocol(at_least(700.0)), None, LayoutRequest(spur))
    assert [one.why for one in laid.skipped] == [Why.AGAIN]
    assert all(not 2050 < point.along_m < 3980 for point in laid.points)
    assert any(point.along_m > 4000 for point in laid.points)


def test_that_a_protocol_without_spacing_keeps_circles_apart_else_the_usual_distance() -> None:
    circles = lay_out(protocol(None, circles_m=300.0), None, LayoutRequest(straight(5000.0), 3))
    assert along(circles) == [0.0, 602.0, 1204.0]
    usual = lay_out(protocol(None), None, LayoutRequest(straight(5000.0), 3))
    assert along(usual) == [0.0, 800.0, 1600.0]
    assert "names no spacing" in usual.rule


def test_that_what_is_impossible_is_refused_in_words() -> None:
    line = replace(PROTOCOL, points=PointRule(0, 0, line=Length(30.0, "km")), habitat=None)
    with pytest.raises(ImpossibleError, match="driven line without points"):
        lay_out(line, None, LayoutRequest(straight(5000.0)))
    with pytest.raises(ImpossibleError, match="without a road map"):
        lay_out(PROTOCOL, None, LayoutRequest(ThroughPlaces((START, Place(50.0, 10.1)))))
    with pytest.raises(ImpossibleError, match="no length"):
        lay_out(PROTOCOL, None, LayoutRequest(AlongLine((START, START))))
    with pytest.raises(ImpossibleError, match="must be between a metre and 300 km"):
        lay_out(PROTOCOL, None, LayoutRequest(AlongLine((START, Place(10.0, 10.0)))))
    for wrong in (
        lambda: LayoutRequest(straight(10.0), 0),
        lambda: LayoutRequest(straight(10.0), 1000),
        lambda: LayoutRequest(straight(10.0), start_after_m=-1.0),
        lambda: LayoutRequest(straight(10.0), start_after_m=1e300),
        lambda: LayoutRequest(straight(10.0), avoid=((20.0, 10.0),)),
        lambda: AlongLine((START,)),
        lambda: ThroughPlaces((START,)),
    ):
        with pytest.raises(RuleError):
            wrong()


def test_that_a_start_behind_the_end_leaves_no_room() -> None:
    laid = lay_out(protocol(at_least(800.0), most=4), None, LayoutRequest(straight(1000.0), start_after_m=5000.0))
    assert laid.points == ()
    assert "the first 5.0 km are left out" in laid.why_fewer


def test_that_what_a_person_must_know_is_said() -> None:
    few = replace(PROTOCOL, points=PointRule(3, 5, at_least(800.0)), habitat=None)
    laid = lay_out(few, None, LayoutRequest(straight(1000.0)))
    assert laid.notes[0].startswith("There is no road map")
    assert laid.notes[1] == "The protocol wants 3 points or more."
    assert "in daylight" in laid.notes[2]
    many = lay_out(few, None, LayoutRequest(straight(9000.0), 7))
    assert many.notes[1] == "The protocol wants 5 points at most."


STRETCHES = st.lists(
    st.tuples(st.integers(0, 5500), st.integers(1, 900)).map(lambda one: (float(one[0]), float(sum(one)))), max_size=5
)


@settings(max_examples=30)
@given(STRETCHES, st.integers(150, 1200), st.integers(0, 800))
def test_that_along_a_line_no_other_choice_holds_more_points(
    avoid: list[tuple[float, float]], spacing: int, start: int
) -> None:
    request = LayoutRequest(straight(5200.0), 99, float(start), tuple(avoid))
    laid = lay_out(protocol(at_least(float(spacing))), None, request)
    # The oracle goes from the far end, by dynamic programming over whole metres: the most points from each metre on.
    length, step = int(laid.length_m), spacing + 2
    allowed = np.ones(length + 1, dtype=bool)
    for first, last in avoid:
        allowed[int(first) : int(last) + 1] = False
    most = np.zeros(length + step + 2, dtype=int)
    for metre in range(length, start - 1, -1):
        most[metre] = max(most[metre + 1], (1 + most[metre + step]) if allowed[metre] else 0)
    assert len(laid.points) == most[start]


LEGS = st.lists(st.tuples(st.floats(0.0, 359.9), st.floats(50.0, 2500.0)), min_size=1, max_size=6)


@settings(max_examples=30)
@given(LEGS, STRETCHES, st.booleans(), st.sampled_from([None, 150.0, 400.0]), st.floats(200.0, 900.0))
def test_that_every_proposal_keeps_every_distance_on_the_line_and_off_what_is_to_be_avoided(
    legs: list[tuple[float, float]],
    avoid: list[tuple[float, float]],
    by_road: bool,
    circles: float | None,
    spacing: float,
) -> None:
    if circles is not None:
        spacing = max(spacing, 2 * circles)
    rules = protocol(at_least(round(spacing), by_road=by_road), circles_m=circles, most=12)
    line = polyline(*legs)
    laid = lay_out(rules, None, LayoutRequest(AlongLine(line), avoid=tuple(avoid)))
    spots = [point.place for point in laid.points]
    assert [point.number for point in laid.points] == list(range(1, len(spots) + 1))
    assert along(laid) == sorted(along(laid))
    # pyproj's geodesic is the oracle for every pair, of places as they are rounded and kept.
    apart = [metres(a, b) for a, b in itertools.combinations(spots, 2)]
    least = max(2 * (circles or 0.0), 0.0 if by_road else round(spacing))
    assert all(one >= least for one in apart)
    if by_road:
        assert all(b - a >= round(spacing) for a, b in itertools.pairwise(along(laid)))
    drawn = LineString([(place.longitude, place.latitude) for place in line])
    assert all(drawn.distance(Point(spot.longitude, spot.latitude)) < 2e-5 for spot in spots)
    assert not [one for one in along(laid) for first, last in avoid if first <= one <= last]
    assert len(spots) == 12 or laid.why_fewer


def test_that_a_line_across_the_date_line_is_one_line() -> None:
    fiji = AlongLine((Place(-17.0, 179.98), Place(-17.0, -179.98)))
    laid = lay_out(protocol(at_least(800.0)), None, LayoutRequest(fiji))
    assert laid.length_m == pytest.approx(metres(fiji.places[0], fiji.places[1]), rel=1e-6)
    assert len(laid.points) == 6
    assert all(abs(point.place.longitude) > 179.9 for point in laid.points)
