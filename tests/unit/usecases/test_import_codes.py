"""A map file whose one route is named in words alone is offered a code that is free."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from planner.domain.season import Season
from planner.exchange import Choices, Offer
from planner.usecases.importing.preview import Held, Understood, understand
from planner.usecases.importing.reading_sources import read_sources
from tests.unit.exchange.samples import route, season, write

GPX = '<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">%s</gpx>'
SPRING, AUTUMN = (
    f'<rte><name>{name} route</name><rtept lat="50.7" lon="-1.9"/><rtept lat="50.7" lon="-1.91"/></rte>'
    for name in ("Spring", "Autumn")
)


def understood(held: Season, files: list[Path], choices: dict[Path, Choices] | None = None) -> Understood:
    return understand(Held(held), read_sources(files, choices))


def offers(held: Season, files: list[Path], choices: dict[Path, Choices] | None = None) -> list[list[Offer]]:
    sources = understood(held, files, choices).sources
    return [[offer for offer in source.understood.offers if offer.choices.route] for source in sources]


def test_that_a_free_code_is_offered_and_makes_the_words_the_name(tmp_path: Path) -> None:
    path = write(tmp_path / "s.gpx", GPX % SPRING)
    ((offer,),) = offers(season(), [path])
    assert offer.words == "Give the route the code R01, with 'Spring route' for its name"
    after = understood(season(), [path], {path: offer.choices})
    assert [(one.code, one.name) for one in after.after.season.routes] == [("R01", "Spring route")]
    assert offers(season(), [path], {path: offer.choices}) == [[]]


def test_that_codes_of_the_season_and_of_the_other_files_are_not_free(tmp_path: Path) -> None:
    one, other = write(tmp_path / "s.gpx", GPX % SPRING), write(tmp_path / "a.gpx", GPX % AUTUMN)
    held = season(routes=(route("R07"),))
    ((first,), (second,)) = offers(held, [one, other])
    assert (first.choices.route, second.choices.route) == ("R08", "R08")
    ((), (second,)) = offers(held, [one, other], {one: first.choices})
    assert second.choices.route == "R09"


def test_that_nothing_is_offered_where_a_code_is_known_or_there_are_two_routes(tmp_path: Path) -> None:
    path = write(tmp_path / "s.gpx", GPX % SPRING)
    known = season(routes=(replace(route("R01"), code="Spring route"),))
    assert offers(known, [path]) == [[]]
    assert offers(season(), [write(tmp_path / "c.gpx", GPX % SPRING.replace("Spring", "R03"))]) == [[]]
    assert offers(season(), [write(tmp_path / "b.gpx", GPX % (SPRING + AUTUMN))]) == [[]]
