"""Write routes and their points as files for other programs."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import ImpossibleError, InputError
from planner.domain.route import Route
from planner.exchange import RouteFormat, holds, letter_faults, route_files, write_whole
from planner.store import SeasonFile
from planner.usecases.season.opening import make_folder

__all__ = ["ALL_FORMATS", "Exported", "ExportedFile", "OthersStandThereError", "RouteFormat", "export_routes"]

ALL_FORMATS = tuple(RouteFormat)

_CODES_IN_NAME = 4
"""Routes named in the name of a file; of more it says how many."""
_MOST_NAME_BYTES = 120
"""File systems take 255 bytes; the file is written under a longer passing name first."""


@dataclass(frozen=True, slots=True)
class ExportedFile:
    """One file that was written."""

    path: Path
    format: RouteFormat
    changed: bool
    """Whether anything else, or nothing, stood there before."""


class OthersStandThereError(ImpossibleError):
    """Files of other content stand where some were to be written; their names are the reasons."""


@dataclass(frozen=True, slots=True)
class Exported:
    """What an export came to."""

    files: tuple[ExportedFile, ...]
    routes: int
    points: int
    notes: tuple[str, ...]
    """What a person should know of the files."""


def export_routes(
    file: SeasonFile,
    folder: Path,
    formats: Sequence[RouteFormat] = ALL_FORMATS,
    routes: Sequence[str] = (),
    *,
    force: bool = False,
) -> Exported:
    """Write routes with their points into a folder; never a home, a name of a person or a telephone number.

    The files are named by the season file, and by the routes where they were chosen. Each appears whole or not at all.

    Args:
        file: the season, which stays as it is.
        folder: made if missing.
        formats: in which formats; tables are two files.
        routes: codes of routes; all of them where none is named.
        force: whether files of other content that stand there may be replaced.

    Raises:
        ImpossibleError: there is no route, or none of a code; or, as :class:`OthersStandThereError`, files of other
            content stand there. Nothing is written then.
        InputError: a name or note has letters that no format carries, so that nothing is written; or the folder or a
            file in it cannot be written.
    """
    season = file.season()
    chosen = _chosen(season.routes, routes)
    faults = letter_faults(file.path.name, chosen)
    if faults:
        raise InputError(*faults)
    stem = _stem(file.path.stem, [route.code for route in chosen] if routes else [])
    made = {
        folder / f"{stem}{ending}": (kind, data)
        for kind in dict.fromkeys(formats)
        for ending, data in route_files(kind, season.name, chosen).items()
    }
    same = _same({path: data for path, (_, data) in made.items()})
    others = [path for path in made if path.exists() and path not in same]
    if others and not force:
        raise OthersStandThereError(
            "Nothing was written: files of other content stand there. Name another folder, or let them be replaced"
            " (--force).",
            *(str(path) for path in others),
        )
    make_folder(folder)
    for path, (_, data) in made.items():
        if path not in same:
            write_whole(path, data)
    return Exported(
        files=tuple(ExportedFile(path, kind, path not in same) for path, (kind, _) in made.items()),
        routes=len(chosen),
        points=sum(len(route.points) for route in chosen),
        notes=tuple(_notes(chosen, formats)),
    )


def _chosen(routes: Sequence[Route], codes: Sequence[str]) -> tuple[Route, ...]:
    if not routes:
        raise ImpossibleError("The season has no routes yet, so there is nothing to export.", "Import routes first.")
    known = [route.code for route in routes]
    unknown = [code for code in codes if code not in known]
    if unknown:
        raise ImpossibleError(f"No route {', '.join(map(repr, unknown))} in this season.", f"Codes: {', '.join(known)}")
    return tuple(route for route in routes if not codes or route.code in codes)


def _same(made: Mapping[Path, bytes]) -> set[Path]:
    """Return the files that stand there already, to the last byte."""
    return {path for path, data in made.items() if holds(path, data)}


def _stem(season: str, codes: Sequence[str]) -> str:
    if not codes:
        return season
    named = "-".join(codes) if len(codes) <= _CODES_IN_NAME else f"{len(codes)} routes"
    text = re.sub(r"[^\w .\-]+", "", f"{season}-{named}")
    return text.encode()[:_MOST_NAME_BYTES].decode(errors="ignore").strip(" .") or "routes"


def _notes(routes: Sequence[Route], formats: Sequence[RouteFormat]) -> list[str]:
    pointless = [route.code for route in routes if not route.points]
    notes = []
    if pointless and RouteFormat.GPX in formats:
        notes.append(f"Not in the GPX file, because they have no points yet: route {', '.join(pointless)}.")
    notes.append(
        "The files hold places of sensitive wildlife, and the notes of points as they stand, but no home, no person and"
        " no telephone number. Pass them on only to those who must stand there."
    )
    return notes
