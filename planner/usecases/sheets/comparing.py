"""Habitat sheets held against each other: between visits, between points, between two people; findings with both."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from planner.domain.field.agreement import (
    LOW_OVERLAP_PERCENT,
    Agreement,
    PointAgreement,
    point_agreements,
)
from planner.domain.field.agreement import agreement as agreement_of
from planner.domain.field.agreement import by_people as agreements_of_people
from planner.domain.field.between_visits import Move, MovedSheet, SwappedSheets, between_visits
from planner.domain.field.copied_sheets import CopiedRun
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey, Side
from planner.domain.field.sheet_places import strange_words
from planner.domain.finding import Finding, Rule, Severity, Subject
from planner.domain.habitat import HabitatRule
from planner.domain.season import Season
from planner.usecases.wording import listed

_SIDES = {Side.CIRCLE: "", Side.LEFT: " left of the road", Side.RIGHT: " right of the road"}
SIDE_BY_SIDE = "Look at both sheets side by side"


@dataclass(frozen=True, slots=True)
class Compared:
    """A finding on sheets that were held against each other, and which they are."""

    finding: Finding
    pairs: tuple[tuple[SheetKey, SheetKey], ...]
    """The sheets to be looked at side by side, the earlier of each two first."""

    @property
    def keys(self) -> frozenset[SheetKey]:
        """All sheets that it is about."""
        return frozenset(key for pair in self.pairs for key in pair)

    @property
    def doubted(self) -> tuple[SheetKey, ...]:
        """The sheets that may be wrong: the later of each two; both where they look swapped or are of two people."""
        both = self.finding.rule in (Rule.SHEET_SWAPPED, Rule.SHEET_OBSERVERS)
        return tuple(dict.fromkeys(key for pair in self.pairs for key in pair[0 if both else 1 :]))


@dataclass(frozen=True, slots=True)
class SeasonAgreement:
    """How well people agree where a point was estimated twice."""

    whole: Agreement | None
    """Over the season; None where no point was estimated twice."""
    people: tuple[tuple[str, str, Agreement], ...]
    """(code, code, how well the two agree), by codes."""

    @property
    def most_disputed(self) -> str:
        """The class on which people differ most; empty where they agree on all, or nothing can be said."""
        return self.whole.most_disputed if self.whole is not None else ""


def compared_sheets(season: Season, sheets: Iterable[HabitatSheet]) -> tuple[Compared, ...]:
    """Return what sheets say when held against each other, with the sheets; the surest mistakes first.

    Drafts count once they add up to 100, so that a slip shows while the sheet is still at hand. Sheets of a route,
    point or visit that the season does not have are passed over, and so are figures that somebody confirmed.
    """
    rule, kept = season.protocol.habitat, tuple(one for one in sheets if not strange_words(season, one.key))
    if rule is None:
        return ()
    points = {route.code: tuple(point.number for point in route.points) for route in season.routes}
    found = between_visits(kept, rule, points)
    written = {sheet.key: sheet for sheet in kept}
    return (
        *(_swapped(one, season) for one in found.swapped),
        *(_copied(one, season) for one in found.copied),
        *(_moved(one, written[one.later].note, season, rule) for one in found.moved),
        *_observers(_open_agreements(kept, rule), season, rule),
        *(_alike(one, season) for one in found.alike),
    )


def agreement(season: Season, sheets: Iterable[HabitatSheet]) -> SeasonAgreement:
    """Return how well people agree where a point was estimated twice: over the season, and each two of them."""
    rule = season.protocol.habitat
    if rule is None:
        return SeasonAgreement(None, ())
    points = point_agreements(sheets, rule)
    people = agreements_of_people(points, rule)
    return SeasonAgreement(agreement_of(points, rule), tuple((*both, found) for both, found in people.items()))


def observer_words(season: Season, code: str) -> str:
    """Return whom to ask about a sheet: a volunteer's name, the code of somebody unknown, or 'who estimated it'."""
    return next((one.name for one in season.volunteers if one.code == code and one.name), code) or "who estimated it"


def _moved(moved: MovedSheet, note: str, season: Season, rule: HabitatRule) -> Compared:
    turned = any(move.turned for move in moved.moves)
    stable = any(rule.by_code[move.code].stable for move in moved.moves)
    since = f"Since visit {moved.earlier.visit}"
    said = f" Its note says: “{note.strip()}”." if note.strip() else ""
    what = f"{since} {listed(_move_words(move, rule) for move in moved.moves)}.{said}"
    why = "A class that should stay the same moved" if stable else "The ground is another altogether"
    finding = Finding(
        Rule.SHEET_TURNED if turned else Rule.SHEET_MOVED,
        Severity.TROUBLE if turned and stable else Severity.DOUBT,
        _subject(moved.later),
        what,
        f"{why}: {SIDE_BY_SIDE.lower()}, and ask {observer_words(season, moved.later.observer)} which is right.",
    )
    return Compared(finding, ((moved.earlier, moved.later),))


def _move_words(move: Move, rule: HabitatRule) -> str:
    name = rule.by_code[move.code].name
    return f"{name}{_SIDES[move.side]} went from {move.before} to {move.after} %"


def _swapped(swapped: SwappedSheets, season: Season) -> Compared:
    first, second = swapped.first, swapped.second
    what = (
        f"The sheets of points {first.point} and {second.point} seem swapped: each fits the other's sheet of the visit"
        f" before better than its own ({swapped.crossed_percent:.0f} % against {swapped.own_percent:.0f} %)."
    )
    todo = f"{SIDE_BY_SIDE}, and ask {observer_words(season, first.observer)} whether they were swapped, now or then."
    finding = Finding(Rule.SHEET_SWAPPED, Severity.TROUBLE, _subject(first), what, todo)
    return Compared(finding, ((first, second),))


def _copied(run: CopiedRun, season: Season) -> Compared:
    original, first = run.pairs[0]
    points = [copy.point for _, copy in run.pairs]
    many = len(points) > 1
    whose = f"The sheets of points {listed(points)} repeat" if many else "The sheet repeats"
    if run.from_visit:
        what = f"{whose} visit {original.visit} to the last figure: more than chance would."
    else:
        others = "the point before" if many else f"point {original.point}, the one before,"
        what = f"{whose} {others} to the last figure: more than chance would."
    todo = f"Ask {observer_words(season, first.observer)} whether {'each was' if many else 'it was'} estimated anew."
    return Compared(Finding(Rule.SHEET_COPIED, Severity.TROUBLE, _subject(first), what, todo), run.pairs)


def _alike(run: CopiedRun, season: Season) -> Compared:
    original, first = run.pairs[0]
    points = listed(copy.point for _, copy in run.pairs)
    sheets = f"The sheets of points {points} have" if len(run.pairs) > 1 else f"The sheet of point {points} has"
    what = f"{sheets} the same figures as that of point {original.point}. Neighbours may be alike."
    todo = f"If the ground is not, ask {observer_words(season, first.observer)} whether each was estimated anew."
    return Compared(Finding(Rule.SHEET_COPIED, Severity.NOTE, _subject(first), what, todo), run.pairs)


def _open_agreements(kept: Sequence[HabitatSheet], rule: HabitatRule) -> Iterator[PointAgreement]:
    """Yield how points were estimated twice, but for those of which both estimates were confirmed."""
    said = {sheet.key for sheet in kept if sheet.is_confirmed}
    return (one for one in point_agreements(kept, rule) if not {one.first, one.second} <= said)


def _observers(points: Iterable[PointAgreement], season: Season, rule: HabitatRule) -> Iterator[Compared]:
    for point in points:
        if point.overlap_percent < LOW_OVERLAP_PERCENT:
            code = point.most_disputed
            by = dict(point.differences)[code]
            people = [observer_words(season, key.observer) for key in (point.first, point.second)]
            what = (
                f"Two people estimated it and share {point.overlap_percent:.0f} % only; they differ most on"
                f" {rule.by_code[code].name if code in rule.by_code else code}, by {abs(by):.0f}."
            )
            todo = f"{SIDE_BY_SIDE}, and go through the class key with {listed(people)}."
            finding = Finding(Rule.SHEET_OBSERVERS, Severity.DOUBT, _subject(point.first, volunteer=""), what, todo)
            yield Compared(finding, ((point.first, point.second),))


def _subject(key: SheetKey, volunteer: str | None = None) -> Subject:
    who = key.observer if volunteer is None else volunteer
    return Subject(route=key.route, point=key.point, visit=key.visit, volunteer=who)
