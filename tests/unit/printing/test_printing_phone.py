"""The telephone page as a file: complete, self-contained, safe against whatever stands in a name."""

from __future__ import annotations

import base64
import datetime as dt
import functools
import hashlib
import re
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from urllib.parse import unquote

import lxml.html
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.domain.geo import Place
from planner.domain.itinerary import Itinerary, MapRoad, Partner, RouteMap, Walk
from planner.domain.route import Point
from planner.domain.season import Coordinator
from planner.domain.volunteer import Volunteer
from planner.printing import phone_page
from planner.printing.geometry import Box
from planner.printing.phone.map_lines import MOST_CORNERS, drawn_roads, parking_place
from planner.printing.phone.places import geo_address, telephone_link
from planner.printing.projection import Projection
from planner.printing.timetable import timetable
from planner.shipped import resources
from tests.golden.itineraries import ITINERARIES, long_names, past_midnight, southern_dawn, ten_points

NAMES = tuple(ITINERARIES)
MOST_BYTES = 200_000
GEO = re.compile(
    r"geo:(?P<latitude>-?\d+(\.\d+)?),(?P<longitude>-?\d+(\.\d+)?)(;crs=[\w-]+)?(;u=(?P<u>\d+(\.\d+)?))?", re.IGNORECASE
)
"""The grammar of RFC 5870, section 3.3, without parameters of other people's."""


@functools.cache
def _bytes(name: str) -> bytes:
    return phone_page(ITINERARIES[name]())


def _parsed(page: bytes) -> lxml.html.HtmlElement:
    return lxml.html.document_fromstring(page.decode())


def _words(element: lxml.html.HtmlElement) -> str:
    return " ".join(" ".join(str(words) for words in element.itertext()).split())


@pytest.mark.parametrize("name", NAMES)
def test_that_the_page_asks_nothing_of_any_network(name: str) -> None:
    page = _parsed(_bytes(name))
    addresses = {str(value) for element in page.iter() for key, value in element.attrib.items() if key in
                 ("href", "src", "srcset", "action", "poster", "data", "xlink:href")}  # fmt: skip
    assert {re.split(r"[:\d]", address)[0] for address in addresses} <= {"geo", "tel", "#outing", "#ground", "#top"}
    assert page.xpath("//link | //img | //iframe | //object | //form") == []
    text = _bytes(name).decode()
    assert "http:" not in text
    assert "https:" not in text
    assert "url(" not in text
    assert "@import" not in text


@pytest.mark.parametrize("name", NAMES)
def test_that_the_policy_lets_in_the_page_s_own_style_and_script_and_nothing_else(name: str) -> None:
    page = _parsed(_bytes(name))
    policy = page.xpath("//meta[@http-equiv='Content-Security-Policy']/@content")[0]
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == "'none'"
    for kind, key in (("style", "style-src"), ("script", "script-src")):
        [text] = [element.text for element in page.iter(kind)]
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert rules[key] == f"'sha256-{digest}'"
    assert page.xpath("//@style | //@onclick | //@onload") == []


HOSTILE = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>&amp;</style>\u202e"


def _hostile() -> Itinerary:
    plan = ten_points()
    route = plan.days[0].route
    points = tuple(replace(point, note=HOSTILE) for point in route.points)
    roads = tuple(replace(road, name=HOSTILE) for road in plan.days[0].map.roads)
    days = tuple(
        replace(day, route=replace(route, name=HOSTILE, points=points), partner=Partner(HOSTILE, HOSTILE),
                map=replace(day.map, roads=roads, attribution=HOSTILE))
        for day in plan.days
    )  # fmt: skip
    return replace(
        plan, season=HOSTILE, survey=HOSTILE, days=days, coordinator=Coordinator(HOSTILE, HOSTILE, HOSTILE),
        volunteer=Volunteer("V01", HOSTILE + "\ud800", Place(54.6, 1.5)), cautions=(HOSTILE,), weather=(HOSTILE,),
        unverified=(HOSTILE,),
    )  # fmt: skip


def test_that_nothing_in_a_name_or_note_becomes_a_part_of_the_page() -> None:
    page = _parsed(phone_page(_hostile()))
    assert len(page.xpath("//script")) == len(page.xpath("//style")) == 1
    assert page.xpath("//img | //@onerror") == []
    assert _words(page).count("<script>alert(1)</script>") > 30
    assert {str(address).split(":")[0] for address in page.xpath("//@href")} <= {"geo", "tel", "#top"} | {
        f"#{kind}{number}" for kind in ("outing", "ground") for number in range(1, 9)
    }


@pytest.mark.parametrize("name", NAMES)
def test_that_every_time_of_the_paper_stands_on_the_page(name: str) -> None:
    plan = ITINERARIES[name]()
    articles = _parsed(_bytes(name)).xpath("//article")
    days = sorted((*plan.days, *plan.reserves), key=lambda day: day.outing.leave_home_utc)
    assert len(articles) == len(days)
    for article, day in zip(articles, days, strict=True):
        skies = [timetable(day.outing)]
        if day.outing.overcast is not None:
            skies.append(timetable(day.outing.overcast, overcast=True))
        shown = [[int(value) for value in sky.xpath(".//li/@data-from")] for sky in article.xpath(".//section")]
        expected = [
            sorted(
                int(moment.timestamp())
                for moment in (
                    sky.key.leave_home_utc,
                    *((stop.ground or stop.count or (sky.key.done_utc,))[0] for stop in sky.stops),
                    *(pause.times[0] for pause in sky.pauses),
                    sky.key.due_home_utc,
                )
            )
            for sky in skies
        ]
        assert shown == expected


@pytest.mark.parametrize("name", NAMES)
def test_that_the_clock_times_are_those_of_the_season_s_zone(name: str) -> None:
    for row in _parsed(_bytes(name)).xpath("//li[@data-from]"):
        [time] = row.xpath("./time")
        local = dt.datetime.fromisoformat(time.get("datetime"))
        assert local.timestamp() == int(row.get("data-from")) <= int(row.get("data-to"))
        assert time.text.strip() == f"{local:%H:%M}"


def test_that_a_time_after_midnight_names_its_day() -> None:
    times = _parsed(_bytes("past_midnight")).xpath("//li/time")
    assert [_words(time) for time in times][-2:] == ["00:14 Sat", "01:06 Sat"]


@pytest.mark.parametrize("name", NAMES)
def test_that_every_point_is_a_geo_address_with_its_plain_coordinates_beside_it(name: str) -> None:
    page, plan = _parsed(_bytes(name)), ITINERARIES[name]()
    points = plan.days[0].route.points
    rows = page.xpath("//section[@id='ground1']//ol/li")
    assert len(rows) == len(points)
    for row, point in zip(rows, points, strict=True):
        path, _, query = row.xpath("./a/@href")[0].partition("?")
        found = GEO.fullmatch(path)
        assert found is not None
        assert float(found["latitude"]) == pytest.approx(point.place.latitude, abs=6e-6)
        assert float(found["longitude"]) == pytest.approx(point.place.longitude, abs=6e-6)
        where = f"{found['latitude']},{found['longitude']}"
        assert unquote(query) == f"q={where}({plan.days[0].route.code} point {point.number})"
        assert str(point.place) in _words(row)
        assert row.xpath("./a/@aria-label") == [f"Point {point.number}: open in a map"]


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_that_any_place_is_an_address_by_the_standard_s_grammar(latitude: float, longitude: float) -> None:
    found = GEO.fullmatch(geo_address(Place(latitude, longitude)))
    assert found is not None
    assert "-0.00000" not in (found["latitude"], found["longitude"])
    assert float(found["latitude"]) == pytest.approx(latitude, abs=5.1e-6)
    assert float(found["longitude"]) == pytest.approx(longitude, abs=5.1e-6)


@pytest.mark.parametrize(
    ("written", "address"),
    [("07700 900001", "tel:07700900001"), ("+44 (0)7700-900 002", "tel:+4407700900002"), ("ask Ann", ""), ("", "")],
)
def test_that_a_number_is_dialled_as_it_was_written(written: str, address: str) -> None:
    assert telephone_link(written) == address


def test_that_the_page_says_all_that_the_evening_needs() -> None:
    words = _words(_parsed(_bytes("ten_points")))
    for said in (
        "Invented demo", "Tamsin Quillfeather", "Made 28 May 2027, revision 41. Void if a newer one came.",
        "Marigold Pennyfeather 07700 900001", "You lead, with Barnaby 07700 900527", "Reserve: Fri 11 June",
        "Only if the coordinator moves the visit to this date.", "Limit: wind at most 12 mph", "Fire risk: no stove",
        "Window opens 21:39", "Window closes 23:16", "Margin 6 min", "Due home 00:08 Wed", "All times are BST",
        "Habitat between the counts would leave 1.2 minutes", "Is it heather or other low shrub?", "HE heather moor",
        "Local law", "steps of 10 %", "tell someone at home", ATTRIBUTION_WORDS,
    ):  # fmt: skip
        assert said in words, said


ATTRIBUTION_WORDS = "Invented roads of the demo island"


def test_that_points_left_out_and_both_skies_are_said() -> None:
    page = _parsed(_bytes("long_names"))
    assert "Points 14 and 15 do not fit inside the light window" in _words(page)
    assert [_words(head) for head in page.xpath("//article[1]//h3")] == ["Clear sky", "Overcast sky"]
    assert "Leave home by the earlier of the two times" in _words(page)
    assert len(page.xpath("//section[@id='ground1']//*[@class='cross']")) == 2


def test_that_what_nobody_verified_and_walks_and_unknown_roads_are_said() -> None:
    assert "from memory, not verified" in _words(_parsed(_bytes("past_midnight")))
    assert "Roads not known" in _words(_parsed(_bytes("past_midnight")))
    assert "On foot from the road, as on level ground: point 2, 142 m" in _words(_parsed(_bytes("southern_dawn")))


def test_that_the_volunteer_s_home_is_not_on_it() -> None:
    home = ten_points().volunteer.home
    text = _bytes("ten_points").decode()
    assert f"{home.latitude:.3f}" not in text
    assert "volunteer@example.org" not in text


def test_that_habitat_is_left_to_whoever_writes_it_down() -> None:
    plan = ten_points()
    others = replace(plan, days=tuple(replace(day, writes_habitat=False) for day in plan.days))
    assert "Which class is it?" in _words(_parsed(phone_page(plan)))
    assert "Which class is it?" not in _words(_parsed(phone_page(others)))


def test_that_somebody_without_outings_or_numbers_gets_a_page_too() -> None:
    plan = replace(ten_points(), days=(), reserves=(), coordinator=Coordinator())
    page = _parsed(phone_page(plan))
    assert "No outing is planned for you." in _words(page)
    assert page.xpath("//a[starts-with(@href, 'tel:')]") == []


def test_that_the_same_plan_gives_the_same_bytes_and_another_revision_says_so() -> None:
    assert phone_page(ten_points()) == _bytes("ten_points")
    assert b"revision 42" in phone_page(replace(ten_points(), revision=42))


@pytest.mark.parametrize("name", NAMES)
def test_that_every_name_within_the_page_is_there_once_and_every_reference_finds_it(name: str) -> None:
    page = _parsed(_bytes(name))
    known = page.xpath("//@id")
    assert len(known) == len(set(known))
    wanted = {address[1:] for address in page.xpath("//@href") if address.startswith("#")}
    assert wanted | set(page.xpath("//@aria-labelledby")) <= set(known)


def _city() -> RouteMap:
    """Four thousand short streets round the points of the ordinary plan."""
    first = ten_points().days[0].route.points[0].place
    streets = []
    for number in range(4_000):
        north, east = divmod(number, 100)
        spots = [Place(first.latitude + north * 4e-4 + at * 1e-4 * (at % 2), first.longitude + (east + at / 4) * 1e-3)
                 for at in range(4)]  # fmt: skip
        streets.append(MapRoad("residential" if number % 50 else "primary", f"Street {number}", tuple(spots)))
    return replace(ten_points().days[0].map, roads=tuple(streets))


def test_that_a_city_s_streets_leave_the_page_small_and_the_broad_roads_on_it() -> None:
    plan, city = ten_points(), _city()
    crowded = replace(plan, days=tuple(replace(day, map=city) for day in plan.days[:2]), reserves=())
    page = phone_page(crowded)
    assert len(page) < MOST_BYTES
    assert _parsed(page).xpath("//*[@class='road0']")
    frame = Box(0, 0, 100, 100)
    drawn = drawn_roads(city.roads, city.way, Projection(city.way[0], 0.005, frame.centre), frame)
    corners = {rank: sum(map(len, lines)) for rank, lines in drawn.items()}
    assert 0.9 * MOST_CORNERS < sum(corners.values()) <= MOST_CORNERS
    whole = drawn_roads(
        [road for road in city.roads if road.kind == "primary"], city.way,
        Projection(city.way[0], 0.005, frame.centre), frame,
    )  # fmt: skip
    assert set(drawn[0]) == set(whole[0])


@pytest.mark.parametrize("name", NAMES)
def test_that_the_page_is_small(name: str) -> None:
    assert len(_bytes(name)) < MOST_BYTES / 2


def test_that_a_parking_place_is_drawn_where_the_walk_s_length_agrees_and_nowhere_else() -> None:
    projection = Projection(Place(54.7, 2.0), 0.01, (50.0, 50.0))
    road = MapRoad("tertiary", "", (Place(54.7, 1.99), Place(54.7, 2.01)))
    track = MapRoad("path", "", (Place(54.7009, 1.99), Place(54.7009, 2.01)))
    point = Point(4, Place(54.701, 2.0))
    # 0.001 degrees of latitude are 111.2 m on a sphere of the mean radius.
    spot = parking_place(Walk(4, 111.2, 1.4), point.place, (road, track), projection)
    assert spot == pytest.approx((50.0, 50.0), abs=0.01)
    assert parking_place(Walk(4, 200.0, 2.4), point.place, (road, track), projection) is None
    assert parking_place(Walk(4, 111.2, 1.4), point.place, (), projection) is None


def _luminance(colour: tuple[int, int, int]) -> float:
    """Relative luminance by WCAG 2.2 (https://www.w3.org/TR/WCAG22/#dfn-relative-luminance)."""
    shares = [value / 255 for value in colour]
    red, green, blue = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _palette(selector: str) -> dict[str, tuple[int, int, int]]:
    style = (resources() / "phone" / "page.css").read_text(encoding="utf-8")
    block = style[style.index(selector + " {") :].split("}")[0]
    found = dict(re.findall(r"--(\w+): #([0-9a-f]+)", block))
    whole = {
        name: value if len(value) == 6 else "".join(2 * letter for letter in value) for name, value in found.items()
    }
    return {name: (int(v[:2], 16), int(v[2:4], 16), int(v[4:], 16)) for name, v in whole.items()}


@pytest.mark.parametrize("selector", [":root", ":root:has(#daylight:checked)"])
def test_that_text_and_lines_stand_out_as_wcag_asks(selector: str) -> None:
    colours = {name: _luminance(colour) for name, colour in _palette(selector).items()}

    def contrast(name: str) -> float:
        light, dark = sorted((colours[name], colours["ground"]), reverse=True)
        return (light + 0.05) / (dark + 0.05)

    # Text: 1.4.3 (AA) at any size, and 1.4.6 (AAA) for large text; lines that matter: 1.4.11.
    assert contrast("ink") >= 4.5
    assert contrast("line") >= 3.0


def test_that_at_night_only_red_light_comes_from_the_page() -> None:
    night = _palette(":root")
    assert all(green == blue == 0 for _, green, blue in night.values())
    style = (resources() / "phone" / "page.css").read_text(encoding="utf-8")
    elsewhere = style.split("\n", 2)[2]
    assert re.findall(r"#[0-9a-f]{3,6}\b(?!\s*[{:.])", elsewhere) == []


def test_that_it_is_made_without_loading_what_paper_needs() -> None:
    script = (
        "import sys, planner.printing as p; p.phone_page; assert not any('PySide6' in name for name in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0


@pytest.mark.parametrize("make", [ten_points, past_midnight, southern_dawn, long_names])
def test_that_headings_never_skip_a_level(make: object) -> None:
    assert callable(make)
    levels = [int(element.tag[1]) for element in _parsed(phone_page(make())).xpath("//h1 | //h2 | //h3")]
    assert levels.count(1) == 1
    assert all(there - here <= 1 for here, there in pairwise(levels))


def test_that_one_map_serves_all_outings_that_count_in_one_order_and_another_order_has_its_own() -> None:
    plan = ten_points()
    page = _parsed(_bytes("ten_points"))
    assert len(page.xpath("//figure")) == 1
    assert "For Sat 5 June, Tue 8 June, Fri 11 June, Thu 24 June, Tue 29 June." in _words(page)
    last = plan.days[2]
    back = replace(last, outing=replace(last.outing, order=last.outing.order[::-1]))
    assert len(_parsed(phone_page(replace(plan, days=(*plan.days[:2], back)))).xpath("//figure")) == 2


def test_that_arrows_are_spoken_of_only_where_there_is_room_for_one() -> None:
    dawn = southern_dawn()
    assert "Arrows: the order of the counts." in _words(_parsed(_bytes("southern_dawn")))
    assert "Arrows" not in _words(_parsed(_bytes("ten_points")))
    [day] = dawn.days
    uncounted = replace(dawn, days=(replace(day, outing=replace(day.outing, order=())),))
    assert "Arrows: the way along the points." in _words(_parsed(phone_page(uncounted)))
