"""Write the files that volunteers fill in: one workbook for each, or the same tables as text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import ImpossibleError
from planner.exchange import write_whole
from planner.exchange.field_files.form import FieldForm, FillIn, TableKind
from planner.exchange.field_files.tables_out import table_bytes
from planner.exchange.field_files.workbook_out import workbook_bytes
from planner.store import SeasonFile
from planner.usecases.field_files.rows import FieldBook, fill_in_of
from planner.usecases.paper.names import file_names
from planner.usecases.season.opening import make_folder


@dataclass(frozen=True, slots=True)
class FillInWritten:
    """The files of one volunteer."""

    volunteer: str
    paths: tuple[Path, ...]
    sheets: int
    """Habitat sheets in them, filled in or not."""
    visits: int


class FilledStandThereError(ImpossibleError):
    """Files of those names stand there: somebody may have written into them."""


def write_fill_in(
    file: SeasonFile, folder: Path, volunteers: Sequence[str] | None = None, *, csv: bool = False, force: bool = False
) -> tuple[FillInWritten, ...]:
    """Write a fill-in file for each volunteer who has an outing; what is recorded already is filled in.

    Each holds its own volunteer's outings, and nobody else's name, home or number.

    Args:
        file: the season, which stays as it is.
        folder: made if missing.
        volunteers: codes or names of those who get one; None: everybody who has an outing.
        csv: as text, a file for each table, in place of one workbook.
        force: whether files that stand there may be replaced.

    Raises:
        ImpossibleError: nothing is planned (for them), or there is no such volunteer; or, as
            :class:`FilledStandThereError`, files of those names stand there. Nothing is written then.
        InputError: the folder or a file in it cannot be written.
    """
    book = field_book(file)
    codes = _meant(book, volunteers)
    names = {code: Path(name).stem for code, name in file_names(book.season.volunteers).items()}
    made = {code: fill_in_of(book, code) for code in codes}
    files = {code: _files(one, folder, names[code], csv=csv) for code, one in made.items()}
    others = [path for each in files.values() for path in each if path.exists()]
    if others and not force:
        raise FilledStandThereError(
            "Nothing was written: files of those names stand there, and somebody may have written into them. Record"
            " them first, name another folder, or let them be replaced (--force).",
            *(str(path) for path in others),
        )
    make_folder(folder)
    for each in files.values():
        for path, data in each.items():
            write_whole(path, data)
    return tuple(_written(made[code], tuple(files[code])) for code in codes)


def field_book(file: SeasonFile) -> FieldBook:
    """Return what a season file holds that fill-in files are made of."""
    season = file.season()
    form = FieldForm.of(season, file.identity)
    return FieldBook(season, file.plan(), file.sheets(), file.records(), form)


def _files(fill_in: FillIn, folder: Path, name: str, *, csv: bool) -> Mapping[Path, bytes]:
    if not csv:
        return {folder / f"{name} sheets.xlsx": workbook_bytes(fill_in)}
    return {folder / f"{name} {table.kind.value}.csv": table_bytes(table) for table in fill_in.tables}


def _meant(book: FieldBook, wanted: Sequence[str] | None) -> tuple[str, ...]:
    """Return the codes of those who get a file, in the season's order."""
    people = book.season.volunteers
    going = [person for person in people if book.plan.of_volunteer(person.code)]
    if not going:
        raise ImpossibleError(
            "Nothing is planned yet, so there is nothing to fill in.",
            "Plan the season first, on the Board or by dimpsy plan FILE.",
        )
    if wanted is None:
        return tuple(person.code for person in going)
    unknown = [name for name in wanted if not any(name in (one.code, one.name) for one in people)]
    if unknown:
        codes = ", ".join(one.code for one in going)
        raise ImpossibleError(f"No volunteer {', '.join(map(repr, unknown))} in this season.", f"Codes: {codes}")
    meant = tuple(one.code for one in going if one.code in wanted or one.name in wanted)
    if not meant:
        raise ImpossibleError("None of them has an outing in the plan.", "Nothing was written.")
    return meant


def _written(fill_in: FillIn, paths: tuple[Path, ...]) -> FillInWritten:
    rows = {table.kind: len(table.rows) for table in fill_in.tables}
    visits = rows.get(TableKind.VISITS, 0)
    return FillInWritten(fill_in.volunteer, paths, rows.get(TableKind.HABITAT, 0) // len(fill_in.form.sides), visits)
