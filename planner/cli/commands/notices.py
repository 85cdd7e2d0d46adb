"""``dimpsy notices``: calendars, points, telephone pages and messages for those who go out."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterator, Sequence

from planner.cli.output import FINDINGS, Report, file_word
from planner.cli.progress import ProgressLine
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, date, path
from planner.domain.errors import ImpossibleError
from planner.domain.field.telling import News
from planner.usecases.season.opening import open_season
from planner.usecases.sending.copies import sent_elsewhere
from planner.usecases.sending.letters import letter_to
from planner.usecases.sending.news import PersonNews
from planner.usecases.sending.send import Sent, SentPerson, news_in, send_files
from planner.usecases.sending.short_message import short_message

NAME = "notices"
HELP = "write what goes to each volunteer: calendar, points, page for the telephone, message"
EPILOG = """for each volunteer a folder of their own:
  calendar.ics       their outings, set-up days and dates in reserve (iCalendar); taken in again, a calendar moves
                     what has changed and strikes out what was cancelled, and nothing stands twice
  R01 visit 1.gpx    the points of an outing in the order in which they are gone to
  telephone.html     their outings as one page that needs no network
  message.txt        a letter: what is new, changed or cancelled
  short message.txt  the same in two parts of a short message at most

What is written counts as told. Nothing of another volunteer is in it but a partner's first name and number.
With --look nothing is written, and the exit status is 1 where somebody must be told something."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument("--to", dest="folder", metavar="DIR", type=path, help="folder for the folders of each")
    parser.add_argument(
        "--volunteer",
        dest="volunteers",
        metavar="CODE",
        action="append",
        default=[],
        help="only this one, by code or name; may be given several times",
    )
    parser.add_argument("--changed", action="store_true", help="only those for whom something is new")
    parser.add_argument(
        "--clear",
        action="store_true",
        help="delete what was written before and is nobody's any more; files that were changed since stay",
    )
    parser.add_argument("--look", action="store_true", help="say what would be told to whom; write nothing")
    parser.add_argument("--today", metavar="DATE", type=date, help="in place of today: what is before it is past")


def run(arguments: argparse.Namespace) -> Report:
    """Write the files and list them, or say what would be told."""
    if arguments.look == (arguments.folder is not None):
        raise UsageError("name a folder with --to DIR, or say --look to see what would be told: one of the two")
    if arguments.look and arguments.clear:
        raise UsageError("--look writes nothing and deletes nothing: say --clear with --to DIR")
    with open_season(arguments.file) if arguments.look else open_for_change(arguments.file) as file:
        now = _now_utc(arguments.today, file.season().tzinfo)
        people = news_in(file, now)
        found = _wanted(people, arguments.volunteers, changed=arguments.changed)
        elsewhere = sent_elsewhere(file)
        if arguments.look:
            return _looked(found, elsewhere)
        if people and not found:
            return Report({"sent": [], "folder": arguments.folder}, tuple(_nothing_new(clear=arguments.clear)))
        with ProgressLine() as progress:
            sent = send_files(
                file,
                arguments.folder,
                [one.code for one in found],
                now,
                clear=arguments.clear,
                on_done=lambda done, of: progress.say(f"files of {done} of {of} people written"),
            )
    data = {"folder": sent.folder, "sent": [_sent_data(one) for one in sent.people]}
    data["elsewhere"] = elsewhere
    return Report(data, (*_warned(elsewhere), *_sent_lines(sent)))


def _now_utc(today: dt.date | None, zone: dt.tzinfo) -> dt.datetime:
    """Return the moment at which things are told: noon of a day that was given, as clocks of the season show it."""
    if today is None:
        return dt.datetime.now(dt.UTC)
    return dt.datetime.combine(today, dt.time(12), tzinfo=zone).astimezone(dt.UTC)


def _wanted(people: Sequence[PersonNews], volunteers: Sequence[str], *, changed: bool) -> tuple[PersonNews, ...]:
    """Return those that were meant; ImpossibleError names who is not among them."""
    known = {word for one in people for word in (one.code, one.name)}
    missing = [word for word in volunteers if word not in known]
    if missing:
        codes = ", ".join(one.code for one in people) or "none"
        raise ImpossibleError(
            f"No volunteer {', '.join(map(repr, missing))} who has an outing or was told of one.", f"Codes: {codes}"
        )
    meant = (one for one in people if not volunteers or one.code in volunteers or one.name in volunteers)
    return tuple(one for one in meant if not changed or one.news is not News.SAME)


def _nothing_new(*, clear: bool) -> Iterator[str]:
    yield "Everybody has been told how things stand."
    if clear:
        yield "Nothing was deleted: without --changed every folder is looked through."


def _warned(elsewhere: str) -> tuple[str, ...]:
    return (elsewhere,) if elsewhere else ()


def _looked(people: Sequence[PersonNews], elsewhere: str) -> Report:
    waiting = [one for one in people if one.news is not News.SAME]
    lines = [f"{_counted(people, 'person', 'people')}, {len(waiting)} of them to be told something:"]
    if not people:
        lines = ["Nobody has to be told anything."]
    for one in people:
        lines.append(f"  {one.code} {one.name}: {one.news}")
        if one.news is not News.SAME:
            lines.append(f"    {short_message(one)}")
    data = {"people": [_look_data(one) for one in people], "elsewhere": elsewhere}
    return Report(data, (*_warned(elsewhere), *lines), FINDINGS if waiting else 0)


def _look_data(one: PersonNews) -> dict[str, object]:
    letter = letter_to(one)
    entries = [
        {"route": each.key.route, "visit": each.key.visit, "kind": each.key.kind, "news": each.news}
        | {"before": each.before.date if each.before else None, "date": each.after.date if each.after else None}
        for each in one.entries
    ]
    return {
        "volunteer": one.code,
        "name": one.name,
        "news": one.news,
        "told": one.told_utc,
        "subject": letter.subject,
        "message": letter.text,
        "short_message": short_message(one),
        "entries": entries,
    }


def _sent_data(one: SentPerson) -> dict[str, object]:
    return {
        "volunteer": one.volunteer,
        "name": one.name,
        "news": one.news,
        "folder": one.folder,
        "files": one.files,
        "written": one.written,
        "old_files": one.old,
        "deleted": one.cleared,
        "mail": one.letter.mail_address,
    }


def _sent_lines(sent: Sent) -> Iterator[str]:
    yield f"Files for {_counted(sent.people, 'person', 'people')}, in {file_word(sent.folder)}:"
    for one in sent.people:
        written = f"{one.written} file{'' if one.written == 1 else 's'} written"
        differing = written if one.written else "nothing differs from what lies there"
        yield f"  {one.folder.name}: {one.news}; {differing}"
    cleared = [path for one in sent.people for path in one.cleared]
    if cleared:
        yield "Deleted, because they are nobody's any more:"
        yield from (f"  {path.relative_to(sent.folder)}" for path in cleared)
    old = [path for one in sent.people for path in one.old]
    if old:
        yield "Files from before that are theirs no longer; do not send them (--clear deletes those left as written):"
        yield from (f"  {path.relative_to(sent.folder)}" for path in old)
    yield "They count as told. Send each folder to its own person only: it has telephone numbers and places in it."


def _counted(things: Sequence[object], one: str, many: str) -> str:
    return f"1 {one}" if len(things) == 1 else f"{len(things)} {many}"
