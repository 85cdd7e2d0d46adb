from __future__ import annotations

from dataclasses import replace

import pytest

from planner.domain.counting import CountRule, PointRule, Segment, Spacing, SpacingKind
from planner.domain.errors import RuleError
from planner.domain.habitat import HabitatClass, HabitatRule
from planner.domain.measures import Length
from planner.domain.protocol import Figure, Gap, Mark, PeopleRule, SetupRule, VisitRule
from planner.domain.window import Edge, Event, PartOfDay, Pass, StartRule, Window
from tests.unit.store.season_strategies import SMALL_PROTOCOL

HABITAT = HabitatRule(Length(200, "m"), 10, 4, (HabitatClass("G", "grass", stable=True),))


def spaced(metres: float) -> PointRule:
    return PointRule(1, 5, Spacing(SpacingKind.AT_LEAST, Length(metres, "m")))


def window(*passes: Pass) -> Window:
    return Window("dusk", PartOfDay.DUSK, passes)


def test_that_a_protocol_has_a_window() -> None:
    with pytest.raises(RuleError, match="at least one window"):
        replace(SMALL_PROTOCOL, windows=())


@pytest.mark.parametrize("numbers", [(), (2,), (1, 3), (2, 1), (0, 1), (1, 1)])
def test_that_visits_are_numbered_from_one_without_a_hole(numbers: tuple[int, ...]) -> None:
    with pytest.raises(RuleError, match="without a hole"):
        replace(SMALL_PROTOCOL, visits=tuple(VisitRule(number) for number in numbers))


def test_that_a_visit_asks_for_habitat_only_where_the_protocol_says_how() -> None:
    visits = (VisitRule(1, habitat=True),)
    with pytest.raises(RuleError, match="asks for habitat"):
        replace(SMALL_PROTOCOL, visits=visits)
    assert replace(SMALL_PROTOCOL, visits=visits, habitat=HABITAT).visits[0].habitat


def test_that_a_window_is_long_enough_for_one_count() -> None:
    short = window(Pass(Edge(Event.SUNSET, 10), Edge(Event.SUNSET, 12)))
    with pytest.raises(RuleError, match="'dusk' is 2 minutes long, shorter than one count of 3 minutes"):
        replace(SMALL_PROTOCOL, windows=(short,))
    exact = window(Pass(Edge(Event.SUNSET, 10), Edge(Event.SUNSET, 13)))
    assert replace(SMALL_PROTOCOL, windows=(exact,)).windows == (exact,)


def test_that_a_window_that_closes_before_it_opens_is_refused() -> None:
    with pytest.raises(RuleError, match="shorter than one count"):
        replace(SMALL_PROTOCOL, windows=(window(Pass(Edge(Event.SUNSET, 30), Edge(Event.SUNSET, 10))),))


def test_that_a_driven_line_is_held_to_no_count_but_to_a_window_that_lasts() -> None:
    line = PointRule(0, 0, line=Length(20, "km"))
    short = window(Pass(Edge(Event.SUNSET, 10), Edge(Event.SUNSET, 12)))
    assert replace(SMALL_PROTOCOL, points=line, windows=(short,)).points == line
    reversed_window = window(Pass(Edge(Event.SUNSET, 12), Edge(Event.SUNSET, 10)))
    with pytest.raises(RuleError, match="shorter than"):
        replace(SMALL_PROTOCOL, points=line, windows=(reversed_window,))


def test_that_habitat_circles_do_not_overlap_unless_they_may() -> None:
    with pytest.raises(RuleError, match="overlap; space them 400 m or more"):
        replace(SMALL_PROTOCOL, points=spaced(399), habitat=HABITAT)
    allowed = [
        (spaced(400), HABITAT),
        (spaced(10), replace(HABITAT, circles_may_overlap=True)),
        (PointRule(1, 5), HABITAT),
    ]
    for points, habitat in allowed:
        assert replace(SMALL_PROTOCOL, points=points, habitat=habitat).points == points


@pytest.mark.parametrize("number", [0, 3, -1])
def test_that_a_visit_that_is_not_there_is_refused(number: int) -> None:
    with pytest.raises(RuleError, match=f"has visits 1 to 2, found {number}"):
        SMALL_PROTOCOL.visit(number)


def test_that_the_gap_before_a_visit_is_its_own_or_none_at_all() -> None:
    gap = Gap(7, 21)
    protocol = replace(SMALL_PROTOCOL, visits=(VisitRule(1), VisitRule(2, gap=gap)))
    assert protocol.gap_before(2) == gap
    assert protocol.gap_before(1) == Gap(0, None)


@pytest.mark.parametrize(("least", "most"), [(-1, None), (8, 7), (0, 0), (0, -1)])
def test_that_an_impossible_gap_is_refused(least: int, most: int | None) -> None:
    with pytest.raises(RuleError, match="gap is impossible"):
        Gap(least, most)


@pytest.mark.parametrize(("minutes", "days"), [(0.0, 7), (-1.0, 7), (5.0, -1)])
def test_that_set_up_takes_time_and_comes_before(minutes: float, days: int) -> None:
    with pytest.raises(RuleError, match="set-up needs"):
        SetupRule(required=True, minutes_per_point=minutes, days_before_at_most=days)


def test_that_set_up_may_be_bound_to_the_day_of_visit_1() -> None:
    assert SetupRule(required=True, minutes_per_point=5, days_before_at_most=0).same_day_allowed


@pytest.mark.parametrize(("fewest", "preferred"), [(0, 1), (1, 3), (3, 3), (2, 1)])
def test_that_one_or_two_people_go_and_no_fewer_are_preferred_than_must(fewest: int, preferred: int) -> None:
    with pytest.raises(RuleError, match="people: fewest and preferred"):
        PeopleRule(fewest, preferred)


def test_that_figures_nobody_has_seen_in_the_source_are_told() -> None:
    figures = tuple(Figure(mark.value, mark, "somewhere") for mark in Mark)
    assert [figure.mark for figure in replace(SMALL_PROTOCOL, figures=figures).from_memory] == [Mark.MEMORY]


def test_that_every_mark_has_words_and_only_the_seen_one_sounds_sure() -> None:
    assert Mark.SEEN.words == "seen in the source"
    assert "not verified" in Mark.MEMORY.words
    assert "our own assumption" in Mark.OURS.words


def test_that_the_suns_events_of_all_windows_are_gathered_and_the_clock_is_none_of_them() -> None:
    assert SMALL_PROTOCOL.light_events == {Event.SUNSET, Event.NAUTICAL_DUSK}
    timed = window(Pass(Edge(Event.CIVIL_DUSK), start=StartRule.EXACTLY, within_minutes=60))
    assert replace(SMALL_PROTOCOL, windows=(timed,)).light_events == {Event.CIVIL_DUSK}


def test_that_settling_counts_towards_the_least_window() -> None:
    count = CountRule((Segment("listen", 3),), settle_minutes=2)
    four = window(Pass(Edge(Event.SUNSET), Edge(Event.SUNSET, 4)))
    with pytest.raises(RuleError, match="shorter than one count of 5 minutes"):
        replace(SMALL_PROTOCOL, count=count, windows=(four,))


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("windows[1].passes[2].within_minutes", "light window 1, pass 2: within minutes"),
        ("windows", "light windows"),
        ("visits[3].dates", "visit 3: dates"),
        ("weather", "weather"),
        ("weather[5]", "weather limit 5"),
        ("setup.dates", "set-up day: dates"),
        ("points.spacing.tolerance_percent", "points, spacing: tolerance percent"),
        ("people.lead_training", "people: lead training"),
        ("count.settle_minutes", "count: minutes to settle"),
        ("travel.stop_overhead_minutes", "travel: minutes for each stop"),
    ],
)
def test_that_the_key_of_a_figure_is_said_in_words(key: str, words: str) -> None:
    assert Figure(key, Mark.MEMORY, "none").words == words
