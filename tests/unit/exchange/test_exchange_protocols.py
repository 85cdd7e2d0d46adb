"""Protocols as TOML: those shipped, and what is refused."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from planner.domain.errors import InputError
from planner.domain.protocol import Figure, Mark, Protocol
from planner.domain.window import Strength
from planner.exchange import (
    figure_for,
    figure_keys,
    protocol_names,
    read_protocol,
    shipped_protocol,
    unmarked,
)
from planner.exchange.figures import covers
from planner.forms import protocol_from_plain, protocol_to_plain
from planner.shipped import resources
from tests.unit.exchange.samples import faults_of, write

HEATH = (resources() / "protocols" / "heath_nightjars.toml").read_text(encoding="utf-8")
DOVES = (resources() / "protocols" / "roadside_doves.toml").read_text(encoding="utf-8")
INVENTED = {"heath_nightjars", "dawn_marsh_birds_demo"}


def changed(tmp_path: Path, old: str, new: str, text: str = HEATH) -> Path:
    assert text.count(old) >= 1, old
    return write(tmp_path / "own.toml", text.replace(old, new, 1))


def test_that_eight_published_protocols_or_more_are_shipped() -> None:
    published = [name for name in protocol_names() if not shipped_protocol(name).invented]
    assert len(published) >= 8
    assert set(protocol_names()) - set(published) == INVENTED


@pytest.mark.parametrize("name", protocol_names())
def test_that_a_shipped_protocol_says_where_each_figure_comes_from(name: str) -> None:
    protocol = shipped_protocol(name)
    assert unmarked(protocol) == ()
    assert all(figure.source.strip() for figure in protocol.figures)
    assert len({figure.key for figure in protocol.figures}) == len(protocol.figures)


@pytest.mark.parametrize("name", sorted(INVENTED))
def test_that_an_invented_protocol_claims_no_source(name: str) -> None:
    protocol = shipped_protocol(name)
    assert {figure.mark for figure in protocol.figures} == {Mark.OURS}
    assert protocol.published is None
    assert "invented" in protocol.name


@pytest.mark.parametrize("name", sorted(set(protocol_names()) - INVENTED))
def test_that_a_published_protocol_has_something_seen_in_its_source(name: str) -> None:
    assert any(figure.mark is Mark.SEEN for figure in shipped_protocol(name).figures)


@pytest.mark.parametrize("name", protocol_names())
def test_that_a_shipped_protocol_survives_its_plain_form(name: str) -> None:
    protocol = shipped_protocol(name)
    assert protocol_from_plain(protocol_to_plain(protocol)) == protocol


@pytest.mark.parametrize("name", protocol_names())
def test_that_nothing_in_a_shipped_file_is_passed_over(name: str) -> None:
    """Whatever the file says that is no default comes back; a key that was dropped would be missed here."""
    path = resources() / "protocols" / f"{name}.toml"
    written = _leaves(tomllib.loads(path.read_text(encoding="utf-8")))
    kept = _leaves(protocol_to_plain(shipped_protocol(name)))
    defaults = {key for key in written if key not in kept}
    assert all(written[key] == kept[key] for key in kept)
    assert {re.sub(r"\[\d+\]", "", key) for key in defaults} <= DEFAULTS_WRITTEN


DEFAULTS_WRITTEN = {
    "count",
    "count.segments.kind",
    "habitat.classes.hint",
    "habitat.timing",
    "moon.above_horizon",
    "moon.strength",
    "people.fewest",
    "people.preferred",
    "people",
    "points.spacing.tolerance_percent",
    "setup.days_before_at_most",
    "setup.habitat",
    "setup.same_day_allowed",
    "travel.mode",
    "travel.stop_overhead_minutes",
    "windows.overcast_above_percent",
    "windows.passes.finish",
    "windows.passes.start",
}


def _leaves(value: object, key: str = "") -> dict[str, object]:
    if isinstance(value, dict):
        return {
            k: v for name, inner in value.items() for k, v in _leaves(inner, f"{key}.{name}" if key else name).items()
        }
    if isinstance(value, list):
        return {k: v for number, inner in enumerate(value) for k, v in _leaves(inner, f"{key}[{number}]").items()}
    return {key: value}


def test_that_an_unknown_name_lists_the_names_and_the_nearest() -> None:
    (fault,) = faults_of(shipped_protocol, "owl_after_dark")
    for name in protocol_names():
        assert name in fault.expected
    assert "Did you mean owls_after_dark?" in fault.todo
    (far,) = faults_of(shipped_protocol, "zzz")
    assert "Did you mean" not in far.todo
    faults_of(shipped_protocol, "../protocols/owls_after_dark")


@pytest.mark.parametrize(
    ("old", "new", "where", "expected", "found"),
    [
        ("[points.spacing]", "[points.spacings]", "points.spacings", "spacing", "did you mean 'spacing'?"),
        ('least = "800 m"', 'least = "800 yd"', "points.spacing.least", "a length", "'800 yd'"),
        ('least = "800 m"', 'least = "800 C"', "points.spacing.least", "a length", "'800 C'"),
        ('least = "800 m"', "least = 800", "points.spacing.least", "a length", "800"),
        ('at_most = "19 km/h"', 'at_most = "19 m"', "weather[1].at_most", "a speed", "'19 m'"),
        ('first = "05-10"', 'first = "10 May"', "visits[1].dates[1].first", "'MM-DD'", "'10 May'"),
        ('event = "nautical_dusk"', 'event = "dusk"', "windows[1].passes[1].open.event", "nautical_dusk", "'dusk'"),
        ("fewest = 8", 'fewest = "8"', "points.fewest", "a whole number", "'8'"),
        ('name = "listen"\n', "", "count.segments[1].name", "a value", "missing"),
        ("fewest = 8", "fewest = 12", "points", "values that can stand together", "between 0 and most 11"),
        ('key = "points"', 'key = "pints"', "figures[1].key", "the dotted key", "'pints'"),
        ('key = "visits"', 'key = "visits[3]"', "figures[4].key", "the dotted key", "'visits[3]'"),
    ],
)
def test_that_a_refusal_names_file_key_expected_and_found(
    tmp_path: Path, old: str, new: str, where: str, expected: str, found: str
) -> None:
    path = changed(tmp_path, old, new)
    faults = {fault.where: fault for fault in faults_of(read_protocol, path)}
    fault = faults[where]
    assert fault.source == str(path)
    assert expected in fault.expected
    assert found in fault.found


def test_that_every_fault_of_a_protocol_is_told_together(tmp_path: Path) -> None:
    text = HEATH.replace("800 m", "800 yd").replace("fewest = 8", "fewest = true").replace("dawn", "x")
    text = text.replace('quantity = "wind"', 'quantity = "gale"')
    assert {fault.where for fault in faults_of(read_protocol, write(tmp_path / "own.toml", text))} == {
        "points.fewest",
        "points.spacing.least",
        "weather[1].quantity",
    }


def test_that_a_window_shorter_than_one_count_is_refused(tmp_path: Path) -> None:
    (fault,) = faults_of(read_protocol, changed(tmp_path, "offset_minutes = -100", "offset_minutes = -5"))
    assert "5 minutes long, shorter than one count of 6 minutes" in fault.found


def test_that_points_closer_than_their_circles_allow_are_refused(tmp_path: Path) -> None:
    (fault,) = faults_of(read_protocol, changed(tmp_path, '"800 m"', '"799 m"'))
    assert "points 799 m apart have habitat circles of 400 m radius that overlap" in fault.found
    allowed = HEATH.replace('"799 m"', '"800 m"').replace("[habitat]", "[habitat]\ncircles_may_overlap = true")
    protocol = read_protocol(write(tmp_path / "own.toml", allowed.replace('"800 m"', '"500 m"')))
    assert protocol.points.spacing is not None
    assert protocol.points.spacing.least.metres == 500


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("name = \n", "line 1"),
        ('name = "a"\nname = "b"\n', "line 2"),
        ("a = 1\nb = [1,", "the last line"),
        ('a = "open\n', "line 1"),
        ("[a\n", "line 1"),
        ("[a]\r\nb = 1\r\nc = x\r\n", "line 3"),
    ],
)
def test_that_a_slip_in_toml_is_told_with_its_line(tmp_path: Path, text: str, where: str) -> None:
    (fault,) = faults_of(read_protocol, write(tmp_path / "slip.toml", text))
    assert fault.where == where
    assert fault.expected == "TOML"


def test_that_a_protocol_of_more_than_a_megabyte_is_refused(tmp_path: Path) -> None:
    (fault,) = faults_of(read_protocol, write(tmp_path / "large.toml", "#" * (2**20 + 1)))
    assert "at most 1 MB" in fault.expected


@pytest.mark.parametrize("tenth", range(1, 10))
def test_that_a_protocol_cut_off_is_refused_or_lacks_marks_alone(tmp_path: Path, tenth: int) -> None:
    data = DOVES.encode()
    path = write(tmp_path / "cut.toml", data[: len(data) * tenth // 10])
    whole = shipped_protocol("roadside_doves")
    if data[: len(data) * tenth // 10].count(b"[[figures]]") < 1:
        faults_of(read_protocol, path)
        return
    try:
        protocol = read_protocol(path)
    except InputError:
        return
    assert replace(protocol, figures=whole.figures) == whole
    assert unmarked(protocol)


def test_that_windows_line_ends_are_read(tmp_path: Path) -> None:
    path = write(tmp_path / "w.toml", DOVES.replace("\n", "\r\n"))
    assert read_protocol(path) == shipped_protocol("roadside_doves")


@pytest.mark.parametrize(
    ("entry", "key", "whether"),
    [
        ("points", "points", True),
        ("points", "points.spacing.least", True),
        ("visits", "visits[1].dates[1].first", True),
        ("visits[1]", "visits[1].gap", True),
        ("visits[1]", "visits[10].gap", False),
        ("point", "points.fewest", False),
        ("points.spacing", "points", False),
    ],
)
def test_that_an_entry_covers_what_lies_below_its_key(entry: str, key: str, whether: bool) -> None:
    assert covers(entry, key) is whether


def test_that_every_kind_of_figure_is_found() -> None:
    keys = set(figure_keys(shipped_protocol("frogs_three_periods")))
    assert {
        "points.fewest",
        "points.spacing.least",
        "points.spacing.tolerance_percent",
        "count.segments[1].minutes",
        "count.noise_extension_minutes",
        "windows[1].passes[1].open.offset_minutes",
        "windows[1].passes[1].close.clock",
        "weather[3].at_least",
        "people.fewest",
        "travel.stop_overhead_minutes",
    } <= keys
    # What names, what switches, and a default that asks nothing are no figures.
    assert not keys & {"visits[1].number", "weather[1].visits[1]", "order.least_points", "count.settle_minutes"}
    assert "windows[1].overcast_above_percent" not in keys
    assert "windows[1].overcast_above_percent" in figure_keys(shipped_protocol("woodcock_singing_ground"))
    assert "visits[1].dates[1].first" in figure_keys(shipped_protocol("roadside_doves"))


def test_that_the_entry_nearest_to_a_figure_speaks_for_it() -> None:
    woodcock = shipped_protocol("woodcock_singing_ground")
    nearest = figure_for(woodcock, "points.spacing.tolerance_percent")
    assert nearest is not None
    assert nearest.mark is Mark.OURS
    bare = replace(woodcock, figures=(Figure("points", Mark.SEEN, "x"),))
    assert figure_for(bare, "count.segments[1].minutes") is None
    assert "count.segments[1].minutes" in unmarked(bare)
    assert "points.fewest" not in unmarked(bare)


def test_that_rules_of_several_surveys_can_stand_in_one_protocol() -> None:
    """Two passes in one night under a moon rule: no shipped survey has both, the schema takes them together."""
    moonlit = shipped_protocol("nightjars_moonlit")
    both: Protocol = replace(shipped_protocol("nightjars_two_species_two_passes"), moon=moonlit.moon)
    assert protocol_from_plain(protocol_to_plain(both)) == both
    assert both.moon is not None
    assert both.moon.strength is Strength.REQUIRED
