"""``dimpsy dates``: the dates that a volunteer gives."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, date, weekdays
from planner.domain.calendar import DateRange
from planner.domain.season import Season
from planner.store import SeasonFile
from planner.usecases.naming import volunteer_called
from planner.usecases.people.giving_dates import DatesGiven, DatesRule, give_dates, given_words, parts_used
from planner.usecases.people.planned_dates import Duty, duties_of
from planner.usecases.season.opening import open_season
from planner.usecases.wording import PART_WORDS, day_words

NAME = "dates"
HELP = "show the dates that a volunteer gives, give more, or take some back"
EPILOG = """  dimpsy dates FILE V07                                 what they give, and what is planned for them
  dimpsy dates FILE V07 --give --from 2027-05-10        one date
  dimpsy dates FILE V07 --give --from 2027-05-10 --to 2027-06-30 --on Tue,Thu --part evening
  dimpsy dates FILE "Ann Lee" --not --from 2027-05-24 --to 2027-05-30   on holiday

A part is evening, morning or daytime (for the set-up day); without --part all that the survey asks people for. Exit
status 1: something is planned for them on dates that they do not give. 'dimpsy cancel --volunteer' is for somebody who
drops out."""

_PARTS = {words: part for part, words in PART_WORDS.items()}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("who", metavar="WHO", help="code or name of the volunteer")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--give", action="store_true", help="they give these dates")
    what.add_argument("--not", dest="take", action="store_true", help="they do not give these dates")
    parser.add_argument("--from", dest="first", metavar="DATE", type=date, help="first date")
    parser.add_argument("--to", dest="last", metavar="DATE", type=date, help="last date; without it one date")
    parser.add_argument("--on", metavar="DAYS", type=weekdays, help="these weekdays only, such as Tue,Thu")
    parser.add_argument("--part", choices=list(_PARTS), action="append", help="which part of the day; may be repeated")


def run(arguments: argparse.Namespace) -> Report:
    """Change dates, and show what stands."""
    change = arguments.give or arguments.take
    if change and arguments.first is None:
        raise UsageError("--give and --not need --from DATE")
    if not change and (arguments.first or arguments.last or arguments.on or arguments.part):
        raise UsageError("say --give or --not for these dates")
    with open_for_change(arguments.file) if change else open_season(arguments.file) as file:
        code = volunteer_called(file.season(), arguments.who).code
        given = _change(file, arguments, code) if change else None
        season, plan = file.season(), file.plan()
    duties = duties_of(season, plan, code)
    person = season.volunteer(code)
    clashes = [
        (cell, duty) for cell, row in sorted(duties.items()) for duty in row if cell[1] not in person.parts_on(cell[0])
    ]
    data = {
        "label": given.label if given else "",
        "volunteer": code,
        "dates": {part: list(person.dates_for(part, season.dates)) for part in parts_used(season.protocol)},
        "planned": [
            {"date": cell[0], "part": cell[1], "duty": duty} for cell, row in sorted(duties.items()) for duty in row
        ],
        "clashes": [{"date": cell[0], "part": cell[1], "duty": duty} for cell, duty in clashes],
    }
    lines = [*_lines(season, code, given)]
    lines += [f"  planned: {day_words(cell[0])} {_duty(duty)}" for cell, row in sorted(duties.items()) for duty in row]
    for cell, duty in clashes:
        lines.append(f"Planned on a date that they do not give: {day_words(cell[0])}, {_duty(duty)}.")
    if clashes:
        lines.append(f"To see who else could go:  dimpsy ask {file_word(arguments.file)} ROUTE VISIT")
    return Report(data, tuple(lines), FINDINGS if clashes else DONE)


def _change(file: SeasonFile, arguments: argparse.Namespace, code: str) -> DatesGiven:
    season = file.season()
    parts = (
        frozenset(_PARTS[words] for words in arguments.part)
        if arguments.part
        else frozenset(parts_used(season.protocol))
    )
    dates = DateRange(arguments.first, arguments.last or arguments.first)
    every = frozenset(range(7))
    rule = DatesRule(dates, parts, arguments.on or every, give=bool(arguments.give))
    return give_dates(file, code, rule.cells(season), give=rule.give)


def _lines(season: Season, code: str, given: DatesGiven | None) -> Iterator[str]:
    person = season.volunteer(code)
    if given is not None:
        yield f"{given.label}." if given.label else "Nothing is changed: it is so already, or lies outside the season."
    yield f"{code} {person.name}, {season.dates}"
    for part in parts_used(season.protocol):
        yield from (f"  {words}" for words in given_words(person, season.dates, part) or (f"no {PART_WORDS[part]}",))


def _duty(duty: Duty) -> str:
    return f"{duty.kind.value}, {duty.key}" if duty.leads else f"{duty.kind.value}, {duty.key}, as second"
