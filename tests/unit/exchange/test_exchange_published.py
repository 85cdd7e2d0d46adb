"""The figures of the shipped protocols against the publications named beside each.

'seen': read in the page named. 'memory': from memory of the publication named, not verified. A wrong mark fails too,
so that nothing from memory is ever shown as read.
"""

from __future__ import annotations

import re

import pytest

from planner.domain.habitat import HabitatTiming
from planner.domain.measures import Length
from planner.domain.protocol import Mark, Protocol, TravelMode
from planner.domain.window import PartOfDay, PassDirection, StartRule, Strength
from planner.exchange import figure_for, protocol_names, shipped_protocol

SEEN, MEMORY, OURS = Mark.SEEN, Mark.MEMORY, Mark.OURS

OPEN = "windows[1].passes[1].open"
CLOSE = "windows[1].passes[1].close"

FIGURES: dict[str, list[tuple[str, object, Mark]]] = {
    # American Woodcock Singing-ground Survey: Form 3-156 (omb.report 202310-1018-006); Bergh and Andersen
    # (pubs.lib.umn.edu aws 2354); robinsoutdoors.bangordailynews.com; from memory: U.S. Fish and Wildlife Service.
    "woodcock_singing_ground": [
        ("points.fewest", 10, SEEN),
        ("points.most", 10, SEEN),
        ("points.spacing.least", "0.4 mi", SEEN),
        ("count.segments[1].minutes", 2, MEMORY),
        (f"{OPEN}.event", "sunset", SEEN),
        (f"{OPEN}.offset_minutes", 22, SEEN),
        (f"{OPEN}.overcast_offset_minutes", 15, SEEN),
        ("windows[1].overcast_above_percent", 75, SEEN),
        ("windows[1].passes[1].within_minutes", 38, MEMORY),
        ("visits[1].dates[1].first", "04-10", SEEN),
        ("visits[1].dates[1].last", "05-20", SEEN),
        ("weather[1].at_least", "40 F", SEEN),
        ("weather[4].at_most", "12 mph", SEEN),
    ],
    # US nightjar network: mdbird.nfshost.com May 2007; tweetersarchives.org 10 May 2008; nightjars.org 2025.
    "nightjars_moonlit": [
        ("points.most", 10, SEEN),
        ("points.spacing.least", "1 mi", SEEN),
        ("count.segments[1].minutes", 6, SEEN),
        (f"{OPEN}.offset_minutes", 30, SEEN),
        (f"{CLOSE}.event", "sunrise", SEEN),
        (f"{CLOSE}.offset_minutes", -15, SEEN),
        ("moon.least_illuminated", 0.5, SEEN),
        ("visits[1].dates[1].first", "04-04", SEEN),
        ("visits[1].dates[3].last", "06-18", SEEN),
        ("visits[1].dates[5].last", "08-16", SEEN),
        ("visits[1].dates[5].year", 2025, SEEN),
        ("people.preferred", 2, SEEN),
    ],
    # British Columbia nightjar survey: docslib.org 2801861; spacing from memory.
    "nightjars_two_species_two_passes": [
        ("points.most", 6, SEEN),
        ("points.spacing.least", "1.6 km", MEMORY),
        ("count.segments[1].minutes", 6, SEEN),
        (f"{OPEN}.offset_minutes", -30, SEEN),
        ("windows[1].passes[2].open.offset_minutes", 30, SEEN),
        (f"{CLOSE}.offset_minutes", 30, OURS),
        ("windows[1].passes[2].close.offset_minutes", 150, OURS),
        ("visits[1].dates[1].first", "05-15", SEEN),
        ("visits[1].dates[1].last", "06-30", SEEN),
    ],
    # Conway 2011, Waterbirds 34(3):319-346 (abstract seen, the rest from memory); summary of 2015, hobbydocbox.com.
    "marsh_birds": [
        ("points.spacing.least", "400 m", MEMORY),
        ("count.segments[1].minutes", 5, SEEN),
        ("count.segments[2].minutes", 0.5, SEEN),
        ("count.segments[3].minutes", 0.5, SEEN),
        (f"{OPEN}.offset_minutes", -30, MEMORY),
        (f"{CLOSE}.offset_minutes", 180, MEMORY),
        ("windows[2].passes[1].open.offset_minutes", -180, MEMORY),
        ("visits[1].dates[1].first", "05-01", SEEN),
        ("visits[2].dates[1].last", "06-25", SEEN),
        ("visits[3].dates[1].last", "07-15", SEEN),
        ("visits[2].gap.least_days", 10, MEMORY),
        ("weather[1].at_most", "20 km/h", MEMORY),
        ("order.direction", "fixed", MEMORY),
    ],
    # Loeb et al. 2015 (NABat), summary at midwestbathub.nres.illinois.edu; adfg.alaska.gov.
    "bats_driven_line": [
        ("points.most", 0, SEEN),
        ("points.line", "15 mi", SEEN),
        ("points.line_most", "30 mi", SEEN),
        (f"{OPEN}.offset_minutes", 45, SEEN),
        ("travel.survey_speed", "20 mph", SEEN),
        ("visits[2].gap.most_days", 7, SEEN),
        ("count.segments[1].minutes", 90, OURS),
    ],
    # North American Breeding Bird Survey: rdrr.io patrickbarks/bbs; runtheyear2016.com; canada.ca; pwrc.usgs.gov.
    "breeding_birds_50_stops": [
        ("points.most", 50, SEEN),
        ("points.spacing.least", "0.5 mi", SEEN),
        ("count.segments[1].minutes", 3, SEEN),
        (f"{OPEN}.event", "sunrise", SEEN),
        (f"{OPEN}.offset_minutes", -30, SEEN),
        ("visits[1].dates[1].first", "05-28", SEEN),
        ("visits[1].dates[1].last", "07-07", SEEN),
        ("weather[1].at_most", "12 mph", SEEN),
        ("weather[2].at_most", "18 mph", SEEN),
        ("weather[2].region", "prairie", SEEN),
        ("order.direction", "fixed", SEEN),
        ("setup.minutes_per_point", 2, OURS),
    ],
    # Mourning Dove Call-count Survey: ipt.gbif.us usfws-migratory-birds-dccs; outdooralabama.com.
    "roadside_doves": [
        ("points.most", 20, SEEN),
        ("points.spacing.least", "1 mi", SEEN),
        ("count.segments[1].minutes", 3, SEEN),
        (f"{OPEN}.offset_minutes", -30, SEEN),
        ("visits[1].dates[1].first", "05-20", SEEN),
        ("visits[1].dates[1].last", "06-05", SEEN),
        ("weather[1].at_most", "12 mph", SEEN),
    ],
    # North American Amphibian Monitoring Program: pwrc.usgs.gov/naamp; omb.report 201408-1028-002; massnaamp.org;
    # orange-sue.blogspot.com April 2023 (42 F); 50 F, 55 F and Beaufort 3 from memory.
    "frogs_three_periods": [
        ("points.most", 10, SEEN),
        ("points.spacing.least", "0.5 mi", SEEN),
        ("count.segments[1].minutes", 5, SEEN),
        (f"{OPEN}.offset_minutes", 30, SEEN),
        (f"{CLOSE}.clock", "01:00:00", SEEN),
        ("weather[1].at_least", "42 F", SEEN),
        ("weather[2].at_least", "50 F", MEMORY),
        ("weather[3].at_least", "55 F", MEMORY),
        ("weather[4].at_most", "12 mph", MEMORY),
        ("order.direction", "fixed", SEEN),
        ("count.noise_extension_minutes", 1, OURS),
    ],
    # Wisconsin Frog and Toad Survey: overview at wiatri.net.
    "frogs_after_sunset": [
        ("points.most", 10, SEEN),
        ("points.spacing.least", "0.5 mi", SEEN),
        ("points.spacing.most", "2 mi", SEEN),
        ("count.segments[1].minutes", 5, SEEN),
        ("count.noise_extension_minutes", 5, SEEN),
        (f"{OPEN}.event", "sunset", SEEN),
        (f"{CLOSE}.offset_minutes", 240, OURS),
        ("visits[1].dates[1].first", "04-08", SEEN),
        ("visits[1].dates[1].last", "04-30", SEEN),
        ("visits[2].dates[1].first", "05-20", SEEN),
        ("visits[3].dates[1].last", "07-15", SEEN),
        ("weather[1].at_least", "50 F", SEEN),
        ("weather[2].at_least", "60 F", SEEN),
        ("weather[3].at_least", "70 F", SEEN),
        ("weather[4].at_most", "8 mph", SEEN),
    ],
    # Amphibian calling survey, standard operating procedure: docslib.org 13867468.
    "frogs_night_temperature": [
        ("points.fewest", 1, SEEN),
        ("points.most", 6, SEEN),
        ("points.spacing.least", "500 m", SEEN),
        ("count.settle_minutes", 2, SEEN),
        (f"{OPEN}.offset_minutes", 30, SEEN),
        (f"{CLOSE}.offset_minutes", 270, SEEN),
        ("visits[1].trigger.at_least", "5 C", SEEN),
        ("visits[2].trigger.at_least", "10 C", SEEN),
        ("visits[3].trigger.at_least", "17 C", SEEN),
        ("visits[3].gap.least_days", 15, SEEN),
        ("count.segments[1].minutes", 3, OURS),
    ],
    # Great Lakes owl survey: owlsurvey.hawkridge.org/forms-instructions.
    "owls_after_dark": [
        ("points.most", 10, SEEN),
        ("points.spacing.kind", "exact", SEEN),
        ("points.spacing.least", "1 mi", SEEN),
        ("count.segments[1].minutes", 5, SEEN),
        ("visits[1].dates[1].first", "04-01", SEEN),
        ("visits[1].dates[1].last", "04-15", SEEN),
        ("people.lead_training[1]", "owl call test", SEEN),
        (f"{OPEN}.event", "civil_dusk", OURS),
    ],
    # Breeding woodcock survey in Great Britain: docsbay.net; gwct.org.uk February to April 2023.
    "roding_woodcock": [
        ("points.most", 1, SEEN),
        ("count.segments[1].minutes", 75, SEEN),
        (f"{OPEN}.offset_minutes", -15, SEEN),
        (f"{CLOSE}.offset_minutes", 60, SEEN),
        ("visits[1].dates[1].first", "05-01", SEEN),
        ("visits[3].dates[1].last", "06-30", SEEN),
        ("visits[2].gap.least_days", 7, SEEN),
        ("setup.dates[1].first", "04-01", SEEN),
        ("setup.minutes_per_point", 30, OURS),
    ],
}

DURATIONS = {
    # Least and most minutes as published; sources as above.
    "woodcock_singing_ground": (38, 38, MEMORY),
    "nightjars_moonlit": (60, 120, SEEN),
    "nightjars_two_species_two_passes": (120, 180, SEEN),
    "bats_driven_line": (45, 90, OURS),
    "breeding_birds_50_stops": (240, 300, SEEN),
    "roadside_doves": (120, 120, SEEN),
    "frogs_after_sunset": (120, 180, SEEN),
    "owls_after_dark": (0, 120, SEEN),
    "roding_woodcock": (75, 75, SEEN),
}
NO_DURATION = {"marsh_birds", "frogs_three_periods", "frogs_night_temperature"}
"""Their sources name none; that of the last names the length of its window alone."""


def _at(value: object, key: str) -> object:
    for name, number in re.findall(r"([a-z_]+)|\[(\d+)\]", key):
        if name:
            value = getattr(value, name)
        else:
            assert isinstance(value, tuple)
            value = value[int(number) - 1]
    return value


@pytest.mark.parametrize(
    ("name", "key", "value", "mark"),
    [(name, *row) for name, rows in FIGURES.items() for row in rows],
    ids=str,
)
def test_that_a_figure_is_the_published_one_and_says_what_stands_behind_it(
    name: str, key: str, value: object, mark: Mark
) -> None:
    protocol = shipped_protocol(name)
    found = _at(protocol, key)
    assert (str(found) if isinstance(value, str) else found) == value
    entry = figure_for(protocol, key)
    assert entry is not None
    assert entry.mark is mark


def test_that_every_published_protocol_is_held_against_its_source() -> None:
    published = {name for name in protocol_names() if not shipped_protocol(name).invented}
    assert published == set(FIGURES)
    assert published == set(DURATIONS) | NO_DURATION


@pytest.mark.parametrize("name", sorted(FIGURES))
def test_that_the_published_duration_is_given_where_there_is_one(name: str) -> None:
    published = shipped_protocol(name).published
    if name in NO_DURATION:
        assert published is None
    else:
        assert published is not None
        assert (published.least_minutes, published.most_minutes, published.mark) == DURATIONS[name]
        assert published.source


@pytest.mark.parametrize("name", sorted(set(DURATIONS) - {"bats_driven_line"}))
def test_that_the_counts_alone_fit_into_the_published_duration(name: str) -> None:
    protocol = shipped_protocol(name)
    assert protocol.published is not None
    passes = len(protocol.windows[0].passes)
    counting = protocol.points.fewest * protocol.count.minutes * passes
    assert counting <= protocol.published.most_minutes


@pytest.mark.parametrize(
    ("name", "metres"),
    [
        # Leg times of published durations were worked out with these lengths; a mile is 1,609.344 m exactly.
        ("breeding_birds_50_stops", 49 * 804.672),
        ("roadside_doves", 19 * 1609.344),
        ("woodcock_singing_ground", 9 * 643.7376),
    ],
)
def test_that_a_route_is_as_long_as_its_spacing_makes_it(name: str, metres: float) -> None:
    points = shipped_protocol(name).points
    assert points.spacing is not None
    assert (points.most - 1) * points.spacing.least.metres == pytest.approx(metres, abs=1e-6)


def test_that_a_driven_line_takes_the_counted_minutes_at_its_own_speed() -> None:
    bats = shipped_protocol("bats_driven_line")
    assert bats.travel.survey_speed is not None
    assert isinstance(bats.points.line_most, Length)
    minutes = bats.points.line_most.metres / 1000 / bats.travel.survey_speed.base * 60
    assert minutes == pytest.approx(bats.count.counted_minutes)
    assert bats.travel.mode is TravelMode.CAR


def test_that_the_kinds_of_rule_are_those_of_the_sources() -> None:
    woodcock = shipped_protocol("woodcock_singing_ground")
    assert woodcock.windows[0].passes[0].start is StartRule.EXACTLY
    assert woodcock.windows[0].depends_on_sky
    assert "one car" in woodcock.people.handover
    moonlit = shipped_protocol("nightjars_moonlit")
    assert moonlit.moon is not None
    assert moonlit.moon.strength is Strength.REQUIRED
    assert moonlit.moon.above_horizon
    out, back = shipped_protocol("nightjars_two_species_two_passes").windows[0].passes
    assert (out.direction, back.direction) == (PassDirection.FORWARD, PassDirection.REVERSE)
    marsh = shipped_protocol("marsh_birds")
    assert [window.part for window in marsh.windows] == [PartOfDay.DAWN, PartOfDay.DUSK]
    assert [segment.kind.value for segment in marsh.count.segments] == ["passive", *["broadcast", "silence"] * 3]
    assert marsh.count.minutes == 8
    roding = shipped_protocol("roding_woodcock")
    assert roding.setup is not None
    assert roding.setup.part is PartOfDay.DUSK


def test_that_protocols_without_a_habitat_round_in_their_source_have_none() -> None:
    for name in FIGURES:
        assert shipped_protocol(name).habitat is None


def _demo(name: str) -> Protocol:
    protocol = shipped_protocol(name)
    assert protocol.invented
    return protocol


def test_that_the_heath_of_the_demo_has_the_rules_it_was_given() -> None:
    heath = _demo("heath_nightjars")
    assert (heath.points.fewest, heath.points.most) == (8, 11)
    assert heath.points.spacing is not None
    assert heath.points.spacing.least_allowed_m == 800
    assert not heath.points.spacing.along_road
    assert heath.count.minutes == 6
    assert heath.windows[0].passes[0].fixed_length_minutes == 100
    assert [len(visit.dates) for visit in heath.visits] == [1, 1]
    assert heath.gap_before(2).least_days == 10
    assert heath.habitat is not None
    assert len(heath.habitat.classes) == 9
    assert [one.code for one in heath.habitat.classes if one.needs_note] == ["OT"]
    assert heath.habitat.spans == 4
    assert all(visit.habitat for visit in heath.visits)
    assert heath.setup is not None
    assert heath.setup.habitat


def test_that_the_marsh_of_the_demo_does_habitat_after_the_counts() -> None:
    marsh = _demo("dawn_marsh_birds_demo")
    assert marsh.habitat is not None
    assert marsh.habitat.timing is HabitatTiming.AFTER_COUNTS
    assert marsh.setup is None
    assert marsh.windows[0].passes[0].fixed_length_minutes == 180


@pytest.mark.parametrize("name", ["heath_nightjars", "dawn_marsh_birds_demo"])
def test_that_the_class_key_ends_at_classes_whatever_is_answered(name: str) -> None:
    habitat = _demo(name).habitat
    assert habitat is not None
    questions = {str(question.number): question for question in habitat.key}
    codes = {one.code for one in habitat.classes}
    reached, open_ends = set(), [("1", 0)]
    while open_ends:
        where, steps = open_ends.pop()
        assert steps <= len(questions), "the key runs in a circle"
        if where in codes:
            reached.add(where)
        else:
            open_ends += [(questions[where].yes, steps + 1), (questions[where].no, steps + 1)]
    assert reached == codes - {"OT"}
