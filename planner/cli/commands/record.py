"""``dimpsy record``: take in what came back from the field."""

from __future__ import annotations

import argparse
import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from planner.cli.back_lines import back_lines, kept_lines
from planner.cli.output import DONE, FINDINGS, Report, file_word, finding_lines, findings_status
from planner.cli.photo_lines import photo_data, photo_lines, spare_lines
from planner.cli.progress import ProgressLine
from planner.cli.season_argument import add_season_argument, open_for_change
from planner.cli.usage import UsageError, date, path
from planner.domain.errors import RuleError
from planner.domain.field.habitat_sheet import SheetKey
from planner.domain.finding import Finding
from planner.store import Changed, SeasonFile
from planner.usecases.field_files import Back, KeptBack, back_findings, keep_back, read_back
from planner.usecases.sheets import ask_again, confirm_figures, confirm_photos
from planner.usecases.sheets.photo_batch import (
    PhotosFound,
    PicturesIn,
    attach_found,
    find_photos,
    lay_found_beside,
    pictures_in,
)
from planner.usecases.sheets.photo_finding import PhotoFinder
from planner.usecases.sheets.photo_ground import PhotoGround
from planner.usecases.sheets.spare_photos import clear_spare_photos, spare_photos

NAME = "record"
_PLACE = "ROUTE/VISIT/POINT[/OBSERVER]"
HELP = "take in what came back: filled-in workbooks and tables of habitat sheets and visit records"
EPILOG = """what is read:
  workbooks and tables that dimpsy sheets wrote, also with columns renamed or in another order
  tables made by hand (CSV or XLSX): route, visit, point and a column for each class, headed by its code or name;
  route, visit, point, arrived, began, ended, done; route, visit, date, home again, stopped ...
  percent as 20, 20 %, 20,0 or 0.2; times as 21:40, 21.40, 9.40pm; after midnight 00:12 or 24:12

Everything good is kept, in one step: a sheet without a fault becomes final, any other stays a draft. A cell that
cannot be read is named with what stood in it, and its text stays with its sheet or record. What comes again replaces
only what it holds; an empty cell takes nothing back. 'dimpsy undo' takes it all back.
A file of a folder that cannot be read is passed over and named; one that is named itself stops everything.

Photos find their points by themselves: by the name of the file where it names route and point (R03-07.jpg, 'R03 visit
2 point 7 b.jpg'), by the position that the camera wrote into it, else by its clock and the times in the records. What
cannot be told for certain is left and said. A picture is attached once, however often it comes:
  dimpsy record FILE --photos FOLDER --look

What looks wrong on a sheet may be so all the same: ask who estimated it, then say so, and it is told no more until
the sheet changes:
  dimpsy record FILE --so R01/2/3 --who "Ada, by telephone"
  dimpsy record FILE --photos-so R01/2/3
  dimpsy record FILE --ask-again R01/2/3

Exit status 1 where a cell, a draft or a finding needs a person."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    add_season_argument(parser)
    parser.add_argument(
        "sources", metavar="SHEET", type=path, nargs="*", help="files that came back, or folders of them"
    )
    parser.add_argument("--draft", action="store_true", help="keep everything as a draft")
    parser.add_argument("--look", action="store_true", help="say what would be kept, and change nothing")
    _add_photos(parser)
    _add_answers(parser)
    parser.add_argument("--today", metavar="DATE", type=date, default=None, help="in place of today, YYYY-MM-DD")


def _add_photos(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--photo",
        dest="photos",
        metavar="ROUTE/VISIT/POINT=FILE",
        type=_photo,
        action="append",
        default=[],
        help="attach a picture to a sheet, ROUTE/VISIT/POINT/OBSERVER where two people estimated;"
        " may be given several times",
    )
    parser.add_argument(
        "--photos",
        dest="photo_folders",
        metavar="FOLDER",
        type=path,
        action="append",
        default=[],
        help="attach a folder of pictures, each to the sheet it belongs to; may be given several times",
    )
    parser.add_argument(
        "--visit", metavar="NUMBER", type=int, default=None, help="with --photos: the visit that all of them are of"
    )
    parser.add_argument(
        "--clear-photos",
        action="store_true",
        help="delete the pictures beside the season that no sheet names and no undoing could bring back;"
        " with --look they are listed alone",
    )


def _add_answers(parser: argparse.ArgumentParser) -> None:
    for option, words in (
        ("--so", "say that the figures of a sheet are right though they looked wrong"),
        ("--photos-so", "say that the photos of a sheet show its point though they were taken far from it"),
        ("--ask-again", "take such a word back"),
    ):
        parser.add_argument(option, metavar=_PLACE, type=_sheet, action="append", default=[], help=words)
    parser.add_argument("--who", metavar="WORDS", default="", help="with --so: who says so, or why it is so")


def run(arguments: argparse.Namespace) -> Report:
    """Read the files, keep what they hold, attach photos, and say what needs a person."""
    with open_for_change(arguments.file) as file:
        _refuse_what_does_not_go_together(arguments)
        answered = _answer(file, arguments)
        if answered is not None:
            return _answered(arguments, answered)
        if arguments.clear_photos:
            return _cleared(file, look=arguments.look)
        return _report(arguments, _recorded(file, arguments))


@dataclass(frozen=True, slots=True)
class _Outcome:
    """What recording came to; without ``kept`` it was a look."""

    back: Back
    found: PhotosFound | None
    kept: KeptBack | None = None
    attached: Changed | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def needs_person(self) -> bool:
        """Whether somebody has to look at something."""
        left = self.found is not None and bool(self.found.left)
        return left or self.back.needs_person or findings_status(self.findings) != DONE


def _recorded(file: SeasonFile, arguments: argparse.Namespace) -> _Outcome:
    today = arguments.today or dt.datetime.now(tz=file.season().tzinfo).date()
    pictures = _pictures(file, arguments)
    back = read_back(file, arguments.sources, today, draft=arguments.draft, photos=arguments.photos)
    after = PhotoGround.of(file).after(back.sheets, back.records)
    if arguments.look:
        return _Outcome(back, _found(after, pictures, arguments))
    if back.changes and pictures is not None:
        lay_found_beside(file, find_photos(after, pictures, arguments.visit))
    kept = keep_back(file, back, today)
    found = _found(PhotoGround.of(file), pictures, arguments)
    attached = attach_found(file, found) if found is not None and found.found else None
    return _Outcome(back, found, kept, attached, back_findings(file, back, today))


def _pictures(file: SeasonFile, arguments: argparse.Namespace) -> PicturesIn | None:
    """Return the pictures of the folders; what is wrong with these, or with the visit, is said before all else."""
    if not arguments.photo_folders:
        return None
    PhotoFinder(PhotoGround.of(file), arguments.visit)
    return pictures_in(arguments.photo_folders)


def _found(ground: PhotoGround, pictures: PicturesIn | None, arguments: argparse.Namespace) -> PhotosFound | None:
    if pictures is None:
        return None
    with ProgressLine() as line:

        def on_photo(done: int, of: int) -> bool:
            line.say(f"Looking at photos: {done} of {of}")
            return True

        return find_photos(ground, pictures, arguments.visit, on_photo)


def _cleared(file: SeasonFile, *, look: bool) -> Report:
    spare = spare_photos(file) if look else clear_spare_photos(file)
    data = {"pictures": spare.paths, "bytes": spare.size_bytes, "deleted": not look}
    return Report(data, tuple(spare_lines(spare, deleted=not look)), DONE)


def _refuse_what_does_not_go_together(arguments: argparse.Namespace) -> None:
    answers = bool(arguments.so or arguments.photos_so or arguments.ask_again)
    files = bool(arguments.sources or arguments.photos or arguments.photo_folders)
    if not (answers or files or arguments.clear_photos):
        raise UsageError("name a file that came back, photos, or a sheet with --so, --photos-so or --ask-again")
    if answers and (files or arguments.clear_photos or arguments.look or arguments.draft):
        raise UsageError("say what is so of sheets in a command of its own: without files, --look and --draft")
    if sum(map(bool, (arguments.so, arguments.photos_so, arguments.ask_again))) > 1:
        raise UsageError("say one of --so, --photos-so and --ask-again: each is a step of its own")
    if arguments.clear_photos and files:
        raise UsageError("--clear-photos goes alone, or with --look")
    if arguments.visit is not None and not arguments.photo_folders:
        raise UsageError("--visit goes with --photos")
    if arguments.who and not arguments.so:
        raise UsageError("--who goes with --so")


def _answer(file: SeasonFile, arguments: argparse.Namespace) -> Changed | None:
    """Say of sheets what was answered, as one step; None: nothing was."""
    if arguments.so:
        return confirm_figures(file, arguments.so, arguments.who)
    if arguments.photos_so:
        return confirm_photos(file, arguments.photos_so)
    return ask_again(file, arguments.ask_again) if arguments.ask_again else None


def _answered(arguments: argparse.Namespace, changed: Changed) -> Report:
    lines = (f"{changed.label}.", f"To take it back:  dimpsy undo {file_word(arguments.file)}")
    return Report({"labels": [changed.label]}, lines, DONE)


def _report(arguments: argparse.Namespace, outcome: _Outcome) -> Report:
    back, kept, found = outcome.back, outcome.kept, outcome.found
    lines = [*back_lines(back), *(photo_lines(found) if found is not None else ())]
    if kept is None:
        lines.append("Nothing was changed: this was a look.")
    elif kept.changed is None and not kept.attached and outcome.attached is None:
        lines += [*kept_lines(kept), "Nothing new: the file is unchanged."]
    else:
        lines += kept_lines(kept)
        lines += [f"{outcome.attached.label}: done, as a step of its own."] if outcome.attached is not None else []
        lines.append(f"Kept. To take it back:  dimpsy undo {file_word(arguments.file)}")
    if outcome.findings:
        lines += ["What the protocol says of it:", *finding_lines(outcome.findings)]
    data = {
        "files": back.files,
        "sheets": back.sheets,
        "records": back.records,
        "bad_cells": back.bad,
        "passed_over": back.passed_over,
        "notes": back.notes,
        "unchanged": back.same,
        "kept": kept,
        "photos": photo_data(found) if found is not None else None,
        "photos_attached": outcome.attached,
        "findings": outcome.findings,
    }
    return Report(data, tuple(lines), FINDINGS if outcome.needs_person else DONE)


def _photo(text: str) -> tuple[SheetKey, Path]:
    """Read ``R01/1/3=picture.jpg``, for argparse."""
    place, equals, name = text.partition("=")
    if not equals or not name:
        raise argparse.ArgumentTypeError(f"write ROUTE/VISIT/POINT=FILE, such as R01/1/3=north.jpg, found {text!r}")
    return _sheet(place), Path(name)


def _sheet(text: str) -> SheetKey:
    """Read ``R01/1/3`` or ``R01/1/3/V02``, for argparse."""
    parts = text.split("/")
    if len(parts) not in (3, 4) or not all(part.isdecimal() for part in parts[1:3]):
        raise argparse.ArgumentTypeError(f"write {_PLACE}, such as R01/1/3, found {text!r}")
    try:
        return SheetKey(parts[0], int(parts[1]), int(parts[2]), parts[3] if len(parts) == 4 else "")
    except RuleError as error:
        raise argparse.ArgumentTypeError(str(error)) from error
