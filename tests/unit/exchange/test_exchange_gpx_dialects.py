"""GPX as receivers and programs of several makers write it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import gpxpy
import gpxpy.gpx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.exchange import read_gpx, read_tracks
from planner.exchange.map_files.gpx import draw_gpx
from tests.unit.exchange.map_samples import (
    DIALECTS,
    GPX_1_1,
    OLD_PLANNER,
    RECEIVER,
    ROUTE_PLANNER,
    TRACK_LOG,
    reading,
    routes,
    rows,
)
from tests.unit.exchange.samples import write


@pytest.mark.parametrize("name", DIALECTS)
def test_that_every_point_lies_where_gpxpy_finds_it(tmp_path: Path, name: str) -> None:
    """gpxpy, an independent reader, finds the same waypoints, route points and track points."""
    data = DIALECTS[name]
    drawing = draw_gpx(write(tmp_path / "d.gpx", data))
    text = data.decode("latin-1" if name == "old planner" else "utf-8-sig")
    # gpxpy refuses an encoding in a text that is decoded already.
    other = gpxpy.parse(text.partition("?>")[2] if text.startswith("<?xml") else text)
    marks = [*drawing.marks, *(mark for string in drawing.strings for mark in string.marks)]
    points = [(point.latitude, point.longitude, point.name or "") for point in other.waypoints]
    points += [(point.latitude, point.longitude, point.name or "") for route in other.routes for point in route.points]
    assert [(float(mark.latitude), float(mark.longitude), mark.name) for mark in marks] == points
    kept = [(place.latitude, place.longitude) for track in drawing.tracks for place in track.places]
    walked = [point for track in other.tracks for segment in track.segments for point in segment.points]
    assert kept == [(point.latitude, point.longitude) for point in walked if abs(point.latitude) <= 90]


def test_that_points_of_other_namespaces_that_bend_a_route_are_none(tmp_path: Path) -> None:
    read = read_gpx(write(tmp_path / "r.gpx", RECEIVER))
    assert rows(read) == [("R01", 1, 50.7001, -1.99, ""), ("R01", 2, 50.7002, -1.9775, "")]
    assert [(name.code, name.name) for name in read.names] == [("R01", "Fernhythe Common")]


def test_that_numbered_waypoints_are_offered_to_a_route_and_never_taken_silently(tmp_path: Path) -> None:
    """The type 'user' is no code; the numbers alone do not say of which route they are."""
    before, _, behind = RECEIVER.partition("<rte>")
    path = write(tmp_path / "R07 evening.gpx", before + behind.partition("</rte>")[2])
    found = reading(path)
    assert found.read is None
    (offer,) = found.understood.offers
    assert offer.words == "Take the 2 waypoints with a number and no route for points of route R07"
    taken = routes(path, route=offer.choices.route)
    assert rows(taken) == [("R07", 1, 50.7001, -1.99, "by the field gate"), ("R07", 2, 50.7002, -1.9775, "")]


def test_that_named_waypoints_are_offered_in_their_order(tmp_path: Path) -> None:
    body = "".join(f'<wpt lat="50.{n}" lon="-1"><name>{name}</name></wpt>' for n, name in enumerate(("gate", "oak")))
    path = write(tmp_path / "w.gpx", f"<gpx {GPX_1_1}>{body}</gpx>")
    (offer,) = reading(path).understood.offers
    assert offer.words == "Take the 2 waypoints for points of route w, numbered in the order of the file"
    assert rows(routes(path, route="R02", number_by_order=True)) == [
        ("R02", 1, 50.0, -1.0, "gate"),
        ("R02", 2, 50.1, -1.0, "oak"),
    ]


def test_that_version_1_0_with_cdata_comments_and_latin_letters_is_read(tmp_path: Path) -> None:
    read = read_gpx(write(tmp_path / "o.gpx", OLD_PLANNER))
    assert rows(read) == [
        ("R02", 1, 50.75, -1.99, "hedge & <lay-by>, Mühle"),
        ("R02", 2, 50.7502, -1.9775, ""),
    ]


def test_that_points_without_a_name_between_numbered_ones_only_bend_the_route(tmp_path: Path) -> None:
    read = read_gpx(write(tmp_path / "p.gpx", ROUTE_PLANNER))
    assert [(code, number, latitude) for code, number, latitude, *_ in rows(read)] == [
        ("R03", 1, 50.8),
        ("R03", 2, 50.81),
        ("R03", 3, 50.82),
    ]
    assert read.notes == ("Route R03: 3 points without a name were left out; the others are numbered by theirs.",)


def test_that_a_type_that_the_name_begins_with_is_the_code(tmp_path: Path) -> None:
    body = """<rte><name>North Heath East side</name><type>North Heath</type>
    <rtept lat="1" lon="2"><name>North Heath-02</name></rtept></rte>
    <wpt lat="1" lon="3"><name>North Heath-04</name><type>North Heath</type></wpt>"""
    read = read_gpx(write(tmp_path / "t.gpx", f"<gpx {GPX_1_1}>{body}</gpx>"))
    assert [(name.code, name.name) for name in read.names] == [("North Heath", "East side")]
    assert [row[:2] for row in rows(read)] == [("North Heath", 2), ("North Heath", 4)]


def test_that_times_of_a_track_are_read_and_bad_ones_said(tmp_path: Path) -> None:
    path = write(tmp_path / "t.gpx", TRACK_LOG)
    (track,) = read_tracks(path)
    moments = [None if time is None else dt.datetime.fromtimestamp(time, dt.UTC).isoformat() for time in track.times]
    assert moments == [
        "2026-05-14T20:00:00+00:00",
        "2026-05-14T20:03:00.500000+00:00",
        None,
        "2026-05-14T20:05:00+00:00",
        "2026-05-14T20:09:00+00:00",
    ]
    notes = routes(path, stops=True, route="R05").notes
    assert notes == (
        "Track 'R05 14-MAY-26': 1 points that are no places were passed over, the first on line 4, <trkpt>.",
        "Track 'R05 14-MAY-26': 1 of 5 points have no time that can be read.",
        "Time at each stop: 1 (3 min), 2 (4 min).",
    )


def test_that_the_stops_of_a_track_are_offered_and_taken_only_when_chosen(tmp_path: Path) -> None:
    path = write(tmp_path / "t.gpx", TRACK_LOG)
    found = reading(path)
    (fault,) = found.faults
    assert fault.found == "tracks alone, which are not read as points"
    (offer,) = found.understood.offers
    assert "2 places where the track stays 2 minutes or more within 30 m" in offer.words
    assert offer.choices.route == "R05"
    taken = reading(path, stops=True, route="R05")
    assert taken.read is not None
    assert [(row.route, row.number, row.origin.where) for row in routes(path, stops=True, route="R05").points] == [
        ("R05", 1, "stop 1"),
        ("R05", 2, "stop 2"),
    ]
    assert [doubt.where for doubt in taken.understood.doubts] == ["stop 1", "stop 2"]


def test_that_stops_want_a_route_and_a_track_that_stands_still(tmp_path: Path) -> None:
    (fault,) = reading(write(tmp_path / "t.gpx", TRACK_LOG), stops=True).faults
    assert "code of the route" in fault.expected
    still = f'<gpx {GPX_1_1}><trk><trkseg><trkpt lat="1" lon="2"/><trkpt lat="1" lon="3"/></trkseg></trk></gpx>'
    path = write(tmp_path / "s.gpx", still)
    assert reading(path).understood.offers == ()
    (fault,) = reading(path, stops=True, route="R01").faults
    assert fault.expected == "a track with stays of 2 minutes or more within 30 m"


def test_that_swapped_figures_are_offered_to_be_swapped(tmp_path: Path) -> None:
    body = (
        '<wpt lat="150.5" lon="-33.5"><name>R01-01</name></wpt><wpt lat="150.6" lon="-33.5"><name>R01-02</name></wpt>'
    )
    path = write(tmp_path / "s.gpx", f"<gpx {GPX_1_1}>{body}</gpx>")
    found = reading(path)
    assert len(found.faults) == 2
    (offer,) = found.understood.offers
    assert offer.words == "Swap latitude and longitude of the whole file"
    assert [row[2:4] for row in rows(routes(path, swap=offer.choices.swap))] == [(-33.5, 150.5), (-33.5, 150.6)]
    one = routes(path, swap_at=frozenset({"line 1, <wpt>"}))
    assert len(one.points) == 2


def test_that_points_without_a_name_between_named_ones_are_points(tmp_path: Path) -> None:
    body = """<rte><name>R01</name><rtept lat="1" lon="2"><name>P3</name></rtept><rtept lat="1" lon="3"/>
    <rtept lat="1" lon="4"><name>twin birches</name></rtept></rte>"""
    read = read_gpx(write(tmp_path / "n.gpx", f"<gpx {GPX_1_1}>{body}</gpx>"))
    assert [(number, note) for _, number, _, _, note in rows(read)] == [(1, ""), (2, ""), (3, "twin birches")]


def test_that_a_stop_in_the_middle_of_a_track_is_not_doubted(tmp_path: Path) -> None:
    ways = [(50.70, 0), (50.71, 100), (50.71, 400), (50.72, 500)]
    points = "".join(
        f'<trkpt lat="{latitude}" lon="-1.9"><time>2026-05-14T20:{second // 60:02d}:{second % 60:02d}Z</time></trkpt>'
        for latitude, second in ways
    )
    track = f"<trk><trkseg>{points}</trkseg></trk>"
    found = reading(write(tmp_path / "m.gpx", f"<gpx {GPX_1_1}>{track}</gpx>"), stops=True, route="R01")
    assert found.understood.doubts == ()
    assert found.read is not None
    (swapped,) = routes(tmp_path / "m.gpx", stops=True, route="R01", swap=True).points
    assert (swapped.place.latitude, swapped.place.longitude) == (-1.9, 50.71)


FIXES = st.lists(
    st.tuples(
        st.floats(-90, 90).map(lambda value: round(value, 7)),
        st.floats(-180, 180).map(lambda value: round(value, 7)),
        st.none() | st.integers(1, 4 * 10**12).map(lambda ms: dt.datetime.fromtimestamp(ms / 1000, dt.UTC)),
    ),
    min_size=2,
    max_size=8,
)


@settings(max_examples=20)
@given(FIXES, st.sampled_from(["1.0", "1.1"]))
def test_that_tracks_that_gpxpy_writes_are_read_equal(
    tmp_path_factory: pytest.TempPathFactory,
    fixes: list[tuple[float, float, dt.datetime | None]],
    version: str,
) -> None:
    written = gpxpy.gpx.GPX()
    line = gpxpy.gpx.GPXTrack(name="evening")
    walked = [gpxpy.gpx.GPXTrackPoint(latitude, longitude, time=time) for latitude, longitude, time in fixes]
    line.segments = [gpxpy.gpx.GPXTrackSegment(walked)]
    written.tracks.append(line)
    path = tmp_path_factory.getbasetemp() / "t.gpx"
    (track,) = read_tracks(write(path, written.to_xml(version)))
    assert [(place.latitude, place.longitude) for place in track.places] == [(one[0], one[1]) for one in fixes]
    moments = [None if time is None else time.timestamp() for *_, time in fixes]
    assert track.times == (tuple(moments) if any(moments) else ())
