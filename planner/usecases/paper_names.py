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
    names: dict[str, str] = {}
    taken: set[str] = set()
    for person in people:
        stem = plain = _plain_name(person)
        number = 1
        while stem.casefold() in taken:
            number += 1
            stem = f"{plain} ({number})"
        taken.add(stem.casefold())
        names[person.code] = f"{stem}.pdf"
    return names


def _plain_name(person: Volunteer) -> str:
    """Return code and name, with what a file system would not take left out."""
    text = unicodedata.normalize("NFC", f"{person.code} {person.name}")
    kept = " ".join(re.sub(r"[^\w .\-]+", "", text).split()).strip(" .")
    short = kept.encode()[:_MOST_NAME_BYTES].decode(errors="ignore").strip(" .")
    return short or "volunteer"
