"""What the checks of routes find is mended in the Routes room by one click, and comes back by undo."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from planner.desktop.routes.room import RoutesRoom
from planner.domain.counting import BusyRoadRule
from planner.domain.finding import Finding, Rule
from planner.domain.geo import Place
from planner.domain.measures import Length
from planner.domain.route import Route
from planner.domain.season import Season
from planner.store import SeasonFile
from tests.desktop.routes.conftest import Settle


def _renumbered(route: Route, order: list[int]) -> Route:
    points = (replace(route.point(old), number=new) for new, old in enumerate(order, start=1))
    return replace(route, points=tuple(points))


def _out_of_order(season: Season) -> Season:
    return _with(season, _renumbered(season.route("R01"), [1, 2, 3, 7, 4, 5, 6, 8, 9, 10]))


def _numbers_missing(season: Season) -> Season:
    route = season.route("R12")
    points = tuple(replace(one, number=one.number + 2 * (one.number > 4)) for one in route.points)
    return _with(season, replace(route, points=points))


def _twice(season: Season) -> Season:
    route = season.route("R10")
    first, second, *rest = route.points
    near = Place(first.place.latitude + 0.00005, first.place.longitude)
    return _with(season, replace(route, points=(first, replace(second, place=near), *rest)))


def _near_a_busy_road(season: Season) -> Season:
    rule = BusyRoadRule(Length(150, "m"), kinds=("primary",))
    protocol = replace(season.protocol, points=replace(season.protocol.points, busy_road=rule))
    return replace(season, protocol=protocol)


def _with(season: Season, route: Route) -> Season:
    routes = tuple(route if one.code == route.code else one for one in season.routes)
    return replace(season, routes=routes)


WRONG = (_out_of_order, _numbers_missing, _twice, _near_a_busy_road)
MENDED = [
    ("R01", Rule.ROUTE_ORDER),
    ("R12", Rule.ROUTE_NUMBERS),
    ("R10", Rule.ROUTE_TWICE),
    ("", Rule.ROUTE_BUSY_ROAD),
]


def test_that_what_the_checks_find_goes_by_one_click_each(room: RoutesRoom, settle: Settle) -> None:
    def spoil(file: SeasonFile) -> None:
        with file.step("Spoil four routes"):
            for wrong in WRONG:
                file.save_season(wrong(file.season()))

    room.desk.session.do(spoil)
    settle()
    for code, rule in MENDED:
        found = _found(room, code, rule)[0]
        room.show_subject(found.subject)
        settle()
        (card,) = [one for one in room.panel.cards if one.finding.rule is rule]
        QTest.mouseClick(card.rows[0].button, Qt.MouseButton.LeftButton)
        settle()
        assert _found(room, found.subject.route, rule) == []
    room.desk.session.undo()
    settle()
    assert _found(room, *MENDED[-1])


def _found(room: RoutesRoom, code: str, rule: Rule) -> list[Finding]:
    checked = room.desk.session.checked
    assert checked is not None
    return [one for one in checked.findings if one.rule is rule and one.subject.route.startswith(code)]
