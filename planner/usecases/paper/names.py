"""The names of the PDF files that itineraries are written to."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from planner.domain.volunteer import Volunteer

_MOST_NAME_BYTES = 120
"""File systems take 255 bytes; the PDF is written under a longer passing name first."""


def file_names(people: Sequence[Volunteer]) -> dict[str, str]:
    """Return the name of everyone's paper by their code: no two the same, whatever a file system makes of letters.

    Two people whose names come to the same get a number behind; it hangs on all volunteers of the season, so that
    a paper printed alone lies where it lay when all were printed.
    """
    stems = distinct_names([_plain_name(person) for person in people])
    return {person.code: f"{stem}.pdf" for person, stem in zip(people, stems, strict=True)}


def folder_names(people: Sequence[Volunteer], others: Sequence[str] = ()) -> dict[str, str]:
    """Return the name of everybody's folder by their code, as :func:`file_names` does for papers.

    Args:
        people: all volunteers of the season.
        others: codes of people who were told of an outing and have left the season.
    """
    codes = [*(person.code for person in people), *others]
    stems = distinct_names([*map(_plain_name, people), *(plain_name(code) or "volunteer" for code in others)])
    return dict(zip(codes, stems, strict=True))


def distinct_names(stems: Sequence[str]) -> list[str]:
    """Return names with a number behind each that an earlier one takes, whatever a file system makes of letters."""
    names: list[str] = []
    taken: set[str] = set()
    for plain in stems:
        stem, number = plain, 1
        while stem.casefold() in taken:
            number += 1
            stem = f"{plain} ({number})"
        taken.add(stem.casefold())
        names.append(stem)
    return names


def plain_name(text: str) -> str:
    """Return a text with what a file system would not take left out; it may be empty."""
    kept = " ".join(re.sub(r"[^\w .\-]+", "", unicodedata.normalize("NFC", text)).split()).strip(" .")
    return kept.encode()[:_MOST_NAME_BYTES].decode(errors="ignore").strip(" .")


def _plain_name(person: Volunteer) -> str:
    """Return code and name, with what a file system would not take left out."""
    return plain_name(f"{person.code} {person.name}") or "volunteer"
