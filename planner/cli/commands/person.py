"""``dimpsy person``: one volunteer, shown, entered, changed or taken out."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping

from planner.cli.output import DONE, FINDINGS, Report, file_word
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError
from planner.domain.volunteer import Volunteer
from planner.store import SeasonFile
from planner.usecases.naming import volunteer_called
from planner.usecases.people.editing import add_person, change_person_fields, removal_of, remove_person
from planner.usecases.people.person_entry import PersonEntry, PersonField, free_code
from planner.usecases.season.opening import open_season

NAME = "person"
HELP = "show one volunteer, enter somebody new, change what is written down of them, or take them out"
EPILOG = """  dimpsy person FILE V07
  dimpsy person FILE V07 --telephone "07700 900123" --drive-limit 60
  dimpsy person FILE --new --name "Ann Lee" --home 51.62,-1.31 --telephone "07700 900124"
  dimpsy person FILE V07 --remove                 what that would mean; with --yes it is done

Dates are given with 'dimpsy dates'. For somebody who drops out in the season, 'dimpsy cancel --because leaves' shows
the ways on."""

_HELP = {
    PersonField.CODE: "a code of their own, such as V35",
    PersonField.NAME: "name",
    PersonField.TELEPHONE: "the number to ring",
    PersonField.EMAIL: "the address to write to",
    PersonField.HOME: "latitude,longitude; write --home=-33.9,151.2 where it begins with a minus",
    PersonField.DRIVE_LIMIT: "longest drive one way, in minutes",
    PersonField.VISITS_LIMIT: "most visits in the season; 0 for somebody who stays at home",
    PersonField.TRAINING: "what they are trained for, parted by semicolons",
    PersonField.VEHICLE: "what they drive, such as car or 4x4",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("who", metavar="WHO", nargs="?", default="", help="code or name of the volunteer")
    parser.add_argument("--new", action="store_true", help="enter somebody new")
    parser.add_argument("--remove", action="store_true", help="take them out of the season and the plan")
    parser.add_argument("--yes", action="store_true", help="really take them out")
    for field in PersonField:
        parser.add_argument(f"--{field.value.replace('_', '-')}", dest=field.value, metavar="TEXT", help=_HELP[field])


def run(arguments: argparse.Namespace) -> Report:
    """Do what is asked, and show what stands."""
    typed = {
        field: getattr(arguments, field.value) for field in PersonField if getattr(arguments, field.value) is not None
    }
    _refuse_mixed(arguments, typed)
    if arguments.remove:
        return _remove(arguments)
    with open_for_change(arguments.file) if typed or arguments.new else open_season(arguments.file) as file:
        if arguments.new:
            person, label = _new(file, typed), "Entered"
        else:
            person = volunteer_called(file.season(), arguments.who)
            changed = change_person_fields(file, person.code, typed)
            person, label = changed.after, changed.label
    lines = [f"{label}."] if label else []
    return Report({"label": label, "volunteer": person}, (*lines, *_lines(person)))


def _refuse_mixed(arguments: argparse.Namespace, typed: Mapping[PersonField, str]) -> None:
    if arguments.new == bool(arguments.who):
        raise UsageError("name one volunteer by WHO, or say --new")
    if arguments.remove and (arguments.new or typed):
        raise UsageError("--remove goes with WHO alone")
    if arguments.yes and not arguments.remove:
        raise UsageError("--yes goes with --remove")


def _new(file: SeasonFile, typed: Mapping[PersonField, str]) -> Volunteer:
    entry = PersonEntry(code=free_code(file.season()))
    for field, text in typed.items():
        entry = entry.with_text(field, text)
    return add_person(file, entry)


def _remove(arguments: argparse.Namespace) -> Report:
    with open_for_change(arguments.file) if arguments.yes else open_season(arguments.file) as file:
        season = file.season()
        code = volunteer_called(season, arguments.who).code
        removal = remove_person(file, code) if arguments.yes else removal_of(season, file.plan(), code)
    data = {"volunteer": code, "removed": bool(arguments.yes), "unfilled": removal.unfilled, "alone": removal.alone}
    name = file_word(arguments.file)
    if arguments.yes:
        return Report(data, (f"Taken out: {code}. {removal.words}", f"To take it back:  dimpsy undo {name}"))
    again = () if not removal.possible else (f"To do it:  dimpsy person {name} {code} --remove --yes",)
    return Report(data, (removal.words, *again), FINDINGS if removal.unfilled or removal.done else DONE)


def _lines(person: Volunteer) -> Iterator[str]:
    entry = PersonEntry.of(person)
    for field in PersonField:
        text = getattr(entry, field.value)
        if field is PersonField.DRIVE_LIMIT:
            text = f"{text} minutes one way"
        yield f"  {field.words:13} {text or '-'}"
