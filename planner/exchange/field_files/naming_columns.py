"""Which column of a table that came back holds what, however it is headed and ordered by now."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from planner.exchange.field_files.form import CLASS, FIRST, LAST, Column, FieldForm, TableKind
from planner.exchange.table_files.column_words import POINT_WORDS
from planner.exchange.table_files.headings import heading

_BESIDE = re.compile(r"[(\[][^)\]]*[)\]]|%")
"""Units and remarks in a heading: no part of its word."""
_ALIKE = 0.75
"""From there on two words are held to be one and a slip of it, in the sense of difflib: what is asked, not what is
taken."""

_WORDS: Mapping[str, str] = {
    "season": "season",
    "route": "route",
    "visit": "visit visitno visitnr visitnumber survey surveyno besuch",
    "point": "point",
    "side": "side roadside seite",
    "date": "date day datum day/night surveydate anotherevening evening",
    "observer": "observer surveyor recorder volunteer volunteercode observercode",
    "sum": "sum total percenttotal sumofclasses",
    "rest": "rest remaining left stilltogive togive",
    "grazed": "grazed grazing grazedshare grazedpercent",
    "livestock": "livestock animals domesticanimals domesticlivestock stock cattle",
    "species": "species otherspecies otherspeciesofconcern speciesofconcern",
    "note": "note notes remark remarks comment comments",
    "team": "team whowent people",
    "left": "lefthome left leave departure departed",
    "home": "homeagain home backhome returned",
    "driver": "driver whosekm whosecar",
    "km": "km distance distancekm drivenkm driven kmdriven",
    "stopped": "stopped stoppedbecause stoppedbecauseof stoppedearly whystopped reason",
    "pass": "pass run passno runno",
    "arrived": "arrived arrival arrive arrivaltime",
    "began": "began begin start started countbegan countstarted starttime",
    "ended": "ended end finish finished countended endtime",
    "done": "done counted completed countedtotheend",
}
"""Common spellings: from common practice, no published source."""


@lru_cache(maxsize=2048)
def plain(text: str) -> str:
    """Return a heading as it is compared: its letters and figures, small, without accents, units and remarks."""
    return heading(" ".join(_BESIDE.sub(" ", text).split())).whole


@lru_cache(maxsize=32)
def names_of(columns: tuple[Column, ...]) -> dict[str, str]:
    """Return the key of the column that each way of heading it means; what could mean two is left out.

    What a heading is called in our own files wins over the names of classes, and these over common spellings.
    """
    found: dict[str, str] = {}
    for tier in (_own, _of_classes, _usual):
        meant: dict[str, set[str]] = {}
        for column in columns:
            for name in tier(column):
                meant.setdefault(plain(name), set()).add(column.key)
        for name, keys in meant.items():
            if name and name not in found and len(keys) == 1:
                found[name] = next(iter(keys))
    return found


def near_name(text: str, columns: Sequence[Column]) -> str:
    """Return the heading that a heading may be a slip of; empty where there is none."""
    words = {plain(name): column for column in columns for tier in (_own, _of_classes) for name in tier(column)}
    near = difflib.get_close_matches(plain(text), [word for word in words if word], n=1, cutoff=_ALIKE)
    return " ".join(words[near[0]].heading.split()) if near else ""


def kind_words(kind: TableKind, form: FieldForm) -> str:
    """Return, in words, what the headings of a kind of table must hold."""
    needed = {
        TableKind.HABITAT: "route, visit, point and the classes",
        TableKind.VISITS: "route, visit and the times, the weather or why it was stopped",
        TableKind.COUNTS: "route, visit, point, and when somebody arrived, began or ended",
    }[kind]
    classes = "" if form.habitat is None or kind is not TableKind.HABITAT else f" ({_class_list(form)})"
    return f"headings with {needed}{classes}"


def _class_list(form: FieldForm) -> str:
    assert form.habitat is not None, "asked of a protocol with habitat alone"
    return ", ".join(one.code for one in form.habitat.classes)


def _own(column: Column) -> Iterator[str]:
    yield column.heading
    yield column.key


def _of_classes(column: Column) -> Iterator[str]:
    if column.key.startswith(CLASS):
        yield column.key.removeprefix(CLASS)
        yield from column.heading.split("\n")
        yield " ".join(reversed(column.heading.split("\n")))


def _usual(column: Column) -> Iterator[str]:
    yield from _WORDS.get(column.key, "").split()
    if column.key in ("route", "point"):
        yield from POINT_WORDS[column.key]
    for when, words in ((FIRST, ("first", "start")), (LAST, ("last", "end"))):
        if column.key.startswith(when):
            name = column.key.removeprefix(when)
            yield from (way for word in words for way in (f"{name} {word}", f"{word} {name}"))
