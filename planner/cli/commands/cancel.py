"""``dimpsy cancel``: something breaks; the ways on, and accepting one of them."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Callable, Mapping

from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, codes, date, whole, words
from planner.cli.way_lines import way_data, way_lines
from planner.domain.calendar import DateRange
from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    RoadClosed,
    SetupCancelled,
    VisitCancelled,
    VolunteerLeaves,
)
from planner.domain.errors import ImpossibleError
from planner.domain.plan import VisitKey
from planner.domain.season import Season
from planner.store import SeasonFile
from planner.usecases.evening.cancelling import Accepted, WaysOn, accept, papers_to_print, papers_to_withdraw, ways_on
from planner.usecases.evening.tonight import no_go_cancels
from planner.usecases.evening.visits_meant import routes_of_area, weather_cancels
from planner.usecases.naming import route_called, visit_called, volunteer_called
from planner.usecases.season.opening import open_season

NAME = "cancel"
HELP = "something breaks: see the ways on with what follows from each, and accept one"
EPILOG = """what breaks:
  dimpsy cancel FILE R04 1 --because weather                      one visit loses its date
  dimpsy cancel FILE R04 1 --setup --because weather              its set-up day is lost, the visit stands
  dimpsy cancel FILE --evening 2027-05-10 --because weather       everybody loses that date
  dimpsy cancel FILE --evening 2027-05-10 --routes R03,R07 --because weather
  dimpsy cancel FILE --evening 2027-05-10 --area Wyke --because weather
  dimpsy cancel FILE --evening 2027-05-10 --no-go --because weather   those that the protocol says no-go to
  dimpsy cancel FILE --volunteer V07 --from 2027-05-20 --because leaves
  dimpsy cancel FILE R04 --from 2027-05-10 --to 2027-05-15 --because road
  dimpsy cancel FILE R04 1 --points 5 --because partly            counted at 5 points only

Without --choose nothing is changed and the exit status is 1."""

_Arguments = argparse.Namespace


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("route", metavar="ROUTE", nargs="?", default="", help="code of the route")
    parser.add_argument("visit", metavar="VISIT", nargs="?", type=whole, help="number of the visit")
    parser.add_argument("--because", choices=list(_CAUSES), required=True, help="what breaks")
    parser.add_argument("--evening", metavar="DATE", type=date, help="weather: everybody's visits of that date")
    parser.add_argument("--routes", metavar="CODES", type=codes, help="of that evening these routes only, by commas")
    parser.add_argument("--area", metavar="NAME", type=words, help="of that evening the routes of this area only")
    parser.add_argument("--no-go", action="store_true", help="of that evening what stands against the weather only")
    parser.add_argument("--setup", action="store_true", help="weather: the set-up day of the visit, not the visit")
    parser.add_argument("--volunteer", metavar="WHO", default="", help="leaves: who drops out")
    parser.add_argument("--from", dest="since", metavar="DATE", type=date, help="leaves, road: first date")
    parser.add_argument("--to", dest="until", metavar="DATE", type=date, help="road: last date")
    parser.add_argument("--points", metavar="N", type=int, help="partly: points that were counted")
    parser.add_argument("--choose", metavar="N", type=whole, help="accept way N; without it nothing is changed")
    parser.add_argument("--today", metavar="DATE", type=date, help="visits before this date stay as they are")


def run(arguments: argparse.Namespace) -> Report:
    """Say the ways on, or accept one."""
    choose: int | None = arguments.choose
    with open_season(arguments.file) if choose is None else open_for_change(arguments.file) as file:
        season = file.season()
        today = arguments.today or dt.datetime.now(tz=season.tzinfo).date()
        offer = ways_on(file, _CAUSES[arguments.because](arguments, file), today=today)
        if choose is None:
            return _offered(offer)
        return _accepted(accept(file, offer, choose), season, file)


def _offered(offer: WaysOn) -> Report:
    if not offer.ways:
        why = "Every plan that was tried breaks a rule that was kept before."
        raise ImpossibleError(f"No way on was found: {offer.disruption}.", why)
    if not offer.possible:
        take_out = "With --choose 1 what cannot be filled is taken out of the plan, and the rest is kept."
        raise ImpossibleError(f"No way on fills everything: {offer.disruption}.", *offer.reasons, take_out)
    lines = [f"{_capital(str(offer.disruption))}. {_ways(len(offer.ways))}, least disturbance first:"]
    for number, way in enumerate(offer.ways, start=1):
        lines += ["", *way_lines(number, way, offer.season)]
    lines += ["", "Nothing is changed yet. Add --choose N to accept one."]
    data = {"disruption": str(offer.disruption), "ways": [way_data(way) for way in offer.ways], "accepted": None}
    return Report(data, tuple(lines), FINDINGS)


def _accepted(done: Accepted, season: Season, file: SeasonFile) -> Report:
    way = done.way
    fresh, void = papers_to_print(season, way), papers_to_withdraw(season, way)
    lines = [f"Done: {done.label}.", *way_lines(None, way, season)]
    if fresh:
        lines.append("Print again:")
        name = file_word(file.path)
        lines += [f"  dimpsy print {name} --to DIR --volunteer {code}   ({_name(season, code)})" for code in fresh]
    if void:
        lines.append(f"No outing any more, take back the paper of: {', '.join(_name(season, code) for code in void)}.")
    lines.append(f"Tell those it touches:  dimpsy notices {file_word(file.path)} --to DIR --changed")
    lines.append(f"To take it back:  dimpsy undo {file_word(file.path)}")
    data = {
        "disruption": done.label,
        "accepted": way_data(way),
        "print": fresh,
        "void": void,
        "findings": done.findings,
    }
    return Report(data, tuple(lines), DONE if way.full else FINDINGS)


def _ways(number: int) -> str:
    return "There is one way on" if number == 1 else f"There are {number} ways on"


def _name(season: Season, code: str) -> str:
    return f"{code} {season.volunteer(code).name}"


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


# What was typed, as a disruption.


def _weather(arguments: _Arguments, file: SeasonFile) -> Disruption:
    if arguments.evening is not None:
        return _evening(arguments, file)
    _only(arguments, "route", "visit", "setup")
    if not arguments.route:
        raise UsageError("--because weather needs ROUTE VISIT, or --evening DATE")
    key = _key(arguments, file)
    return SetupCancelled(key) if arguments.setup else VisitCancelled(key)


def _evening(arguments: _Arguments, file: SeasonFile) -> Disruption:
    _only(arguments, "evening", "routes", "area", "no_go")
    if sum(map(bool, (arguments.routes, arguments.area, arguments.no_go))) > 1:
        raise UsageError("say one of --routes, --area and --no-go")
    date, season = arguments.evening, file.season()
    if arguments.routes:
        return weather_cancels(season, file.plan(), date, arguments.routes)
    if arguments.area:
        return weather_cancels(season, file.plan(), date, routes_of_area(season, arguments.area))
    return no_go_cancels(file, date) if arguments.no_go else EveningCancelled(date)


def _leaves(arguments: _Arguments, file: SeasonFile) -> Disruption:
    _only(arguments, "volunteer", "since")
    if not arguments.volunteer or arguments.since is None:
        raise UsageError("--because leaves needs --volunteer CODE and --from DATE")
    return VolunteerLeaves(volunteer_called(file.season(), arguments.volunteer).code, arguments.since)


def _road(arguments: _Arguments, file: SeasonFile) -> Disruption:
    _only(arguments, "route", "since", "until")
    if not arguments.route or arguments.since is None or arguments.until is None:
        raise UsageError("--because road needs ROUTE, --from DATE and --to DATE")
    route = route_called(file.season(), arguments.route)
    return RoadClosed(route.code, DateRange(arguments.since, arguments.until))


def _partly(arguments: _Arguments, file: SeasonFile) -> Disruption:
    _only(arguments, "route", "visit", "points")
    if arguments.points is None:
        raise UsageError("--because partly needs ROUTE VISIT and --points N")
    return PartlyDone(_key(arguments, file), arguments.points)


_CAUSES: Mapping[str, Callable[[_Arguments, SeasonFile], Disruption]] = {
    "weather": _weather,
    "leaves": _leaves,
    "road": _road,
    "partly": _partly,
}

_SAYS_WHAT = {
    "route": "ROUTE",
    "visit": "VISIT",
    "evening": "--evening",
    "routes": "--routes",
    "area": "--area",
    "no_go": "--no-go",
    "setup": "--setup",
    "volunteer": "--volunteer",
    "since": "--from",
    "until": "--to",
    "points": "--points",
}


def _only(arguments: _Arguments, *names: str) -> None:
    """Refuse what says nothing about this cause: it would be ignored."""
    strange = [word for name, word in _SAYS_WHAT.items() if name not in names and getattr(arguments, name)]
    if strange:
        raise UsageError(f"--because {arguments.because} does not go with {' and '.join(strange)} here")


def _key(arguments: _Arguments, file: SeasonFile) -> VisitKey:
    if not arguments.route or arguments.visit is None:
        raise UsageError(f"--because {arguments.because} needs ROUTE and VISIT, such as: R04 1")
    return visit_called(file.season(), arguments.route, arguments.visit)
