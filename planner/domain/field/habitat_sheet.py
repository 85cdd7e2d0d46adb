"""A habitat sheet: what one observer estimated round one point on one visit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from hashlib import sha256

from planner.domain.errors import RuleError
from planner.domain.geo import Place

MOST_FIGURE = 9999
"""More is a slip of the hand, of a percentage and of a count of animals: our own bound."""
_NAME_DIGITS = 16
"""Of 64 hexadecimal ones: figures that differ have other names, but for one case in 10^19."""


class Side(StrEnum):
    """What is estimated: the whole circle, or one side of the road."""

    CIRCLE = "circle"
    LEFT = "left"
    RIGHT = "right"


class SheetState(StrEnum):
    """How far a sheet has come."""

    DRAFT = "draft"
    """Being written: it may break the protocol's rules."""
    FINAL = "final"
    """Handed in: it keeps all of them."""


@dataclass(frozen=True, slots=True, order=True)
class SheetKey:
    """Names one sheet; a point estimated by two observers on one visit has two."""

    route: str
    visit: int
    point: int
    observer: str = ""
    """Code of the volunteer who estimated; empty where nobody is named."""

    def __post_init__(self) -> None:
        if not self.route or self.visit < 1 or self.point < 1:
            raise RuleError(f"a sheet names a route, a visit and a point, found {self}")

    def __str__(self) -> str:
        """The sheet in words."""
        by = f" by {self.observer}" if self.observer else ""
        return f"{self.route} visit {self.visit} point {self.point}{by}"


@dataclass(frozen=True, slots=True)
class Cover:
    """Percent cover by class, of the circle or of one side of the road."""

    side: Side
    percents: tuple[tuple[str, int], ...] = ()
    """(class code, percent), each class once, in the order of their codes; a class left blank is not here."""

    def __post_init__(self) -> None:
        codes = [code for code, _ in self.percents]
        if codes != sorted(set(codes)):
            raise RuleError(f"each class once, in the order of their codes, found {', '.join(codes)}")
        for code, percent in self.percents:
            _refuse_wild(code, percent)

    @classmethod
    def of(cls, side: Side, percents: Iterable[tuple[str, int]]) -> Cover:
        """Return a cover whose classes come in any order."""
        return cls(side, tuple(sorted(percents)))

    @property
    def total(self) -> int:
        """What the classes add up to, in percent."""
        return sum(percent for _, percent in self.percents)

    def percent(self, code: str) -> int:
        """Return the percentage of a class; one left blank has 0."""
        return dict(self.percents).get(code, 0)


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture of the ground round a point, kept beside the season file under the hash of its bytes."""

    content_hash: str
    """SHA-256 of the file, in hexadecimal."""
    name: str
    """What the file was called, without its folder."""
    place: Place | None = None
    """Where the camera says it was."""
    taken: str = ""
    """When the camera says it was, as it says it: cameras know no time zone."""
    belongs: bool = False
    """Whether somebody said that it shows this point, wherever the camera says it was."""


@dataclass(frozen=True, slots=True)
class UnreadCell:
    """Something on a sheet that could not be understood; it stays with the sheet until a person has dealt with it."""

    field: str
    """What it stood under: a class code, 'grazed', 'livestock' …"""
    text: str


@dataclass(frozen=True, slots=True)
class Confirmed:
    """What looked wrong on a sheet was asked about, and it is so."""

    figures: str
    """Names the figures that were looked at, as :attr:`HabitatSheet.figures_name` does: others are asked about anew."""
    note: str = ""
    """Who said so, or why it is so, in a person's own words."""


@dataclass(frozen=True, slots=True)
class HabitatSheet:
    """What one observer wrote down for one point on one visit."""

    key: SheetKey
    covers: tuple[Cover, ...] = (Cover(Side.CIRCLE),)
    """The circle, or the left and then the right of the road."""
    date: dt.date | None = None
    """When it was estimated; None: not said."""
    grazed_percent: int | None = None
    livestock: int | None = None
    """Domestic animals in view; wild ones are never counted here."""
    note: str = ""
    species: str = ""
    """Other species of concern that were seen."""
    photos: tuple[Photo, ...] = ()
    unread: tuple[UnreadCell, ...] = ()
    state: SheetState = SheetState.DRAFT
    confirmed: Confirmed | None = None
    """What was said of the figures when they looked wrong; see :attr:`is_confirmed`."""

    def __post_init__(self) -> None:
        sides = tuple(cover.side for cover in self.covers)
        if sides not in ((Side.CIRCLE,), (Side.LEFT, Side.RIGHT)):
            raise RuleError(f"{self.key}: a sheet has the circle, or left and right, found {', '.join(sides)}")
        for field, figure in (("grazed", self.grazed_percent), ("livestock", self.livestock)):
            if figure is not None:
                _refuse_wild(field, figure)
        if self.state is SheetState.FINAL and self.unread:
            raise RuleError(f"{self.key}: a sheet with cells that could not be read is not final")

    @property
    def empty(self) -> bool:
        """Whether nothing at all is written on it."""
        figures = self.grazed_percent is None and self.livestock is None
        words = not (self.note or self.species or self.photos or self.unread)
        return figures and words and not any(cover.percents for cover in self.covers)

    @property
    def figures_name(self) -> str:
        """Names what was estimated: two sheets of the same figures have the same; what was left blank counts as 0."""
        covers = [(cover.side.value, [pair for pair in cover.percents if pair[1]]) for cover in self.covers]
        figures = repr((covers, self.grazed_percent or 0, self.livestock or 0))
        return sha256(figures.encode()).hexdigest()[:_NAME_DIGITS]

    @property
    def is_confirmed(self) -> bool:
        """Whether somebody said that the figures are right as they stand now."""
        return self.confirmed is not None and self.confirmed.figures == self.figures_name


def _refuse_wild(field: str, figure: int) -> None:
    if not 0 <= figure <= MOST_FIGURE:
        raise RuleError(f"{field} lies between 0 and {MOST_FIGURE}, found {figure}")
