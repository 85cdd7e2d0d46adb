"""Where a season is short of people: which weeks, which routes, which skills, and whether visits offered are used up.

The model's prices rank them and leave out what is not dear; each is then verified by planning routes that lack
something with one more person of that kind, and says which visits that would fill.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.domain.plan import Plan, VisitKey
from planner.scheduling.engine.cases import Ease
from planner.scheduling.engine.compile import Compiled
from planner.scheduling.explain.case import Lack
from planner.scheduling.explain.newcomer import skills_asked, with_newcomer
from planner.scheduling.explain.prices import Market, Valuer
from planner.scheduling.explain.relaxing import near
from planner.scheduling.explain.ring import near_to
from planner.scheduling.explain.words import counted, date_words, listed
from planner.scheduling.problem import BoolArray
from planner.scheduling.result import Shortage, ShortageKind

DEAR = 500.0
"""Minutes of driving: half of what a reserve date is worth. Whatever gains less is a convenience, and no shortage."""

_ALIKE = 0.5
"""Routes that share so much of those who live near either belong to one area."""

_NAMED = 4


@dataclass(frozen=True, slots=True, eq=False)
class _Short:
    """What is looked into: the visits that lack something, and what somebody new would be worth."""

    lacks: tuple[Lack, ...]
    market: Market
    valuer: Valuer
    near: Mapping[str, frozenset[int]]
    plan: Plan

    def mended(self, lacks: Sequence[Lack] | None = None, closed: BoolArray | None = None) -> list[Lack]:
        """Return which visits somebody new alone would mend, on days that are not closed."""
        return [one for one in (self.lacks if lacks is None else lacks) if _mended(one, closed)]


def shortages(compiled: Compiled, plan: Plan, keys: Sequence[VisitKey]) -> tuple[Shortage, ...]:
    """Return where people are short, the dearest first.

    Args:
        compiled: the season.
        plan: its plan.
        keys: visits that lack something.
    """
    near_routes = near_to(compiled.arrays, compiled.routes)
    wider = with_newcomer(compiled.arrays)
    lit = [key for key in keys if (wider.lit(wider.season.route(key.route)) & wider.to_come).any()]
    if not lit or not compiled.arrays.season.volunteers:
        return ()
    market = Market.of(compiled, plan, sorted({key.route for key in lit}), near_routes)
    short = _Short(tuple(Lack.of(wider, plan, key) for key in lit), market, Valuer(market, wider), near_routes, plan)
    found = [*_visits(short), *_weeks(short), *_areas(short), *_skills(short, compiled, plan)]
    return tuple(sorted(found, key=lambda one: (-one.worth_minutes, one.kind, one.what)))


def _mended(lack: Lack, closed: BoolArray | None = None) -> bool:
    """Say whether somebody new would mend a visit, on days that are not closed to them."""
    if closed is not None:
        taken = lack.room.closed.copy()
        taken[lack.newcomer] = closed
        lack = replace(lack, room=replace(lack.room, closed=taken))
    return lack.mended(Ease(another_visit=frozenset({lack.newcomer}))) is not None


def _would(lacks: Sequence[Lack]) -> str:
    """Return what would come of it: 'would fill R22 visit 2'."""
    unfilled = [str(one.key) for one in lacks if not one.reserve_only]
    reserves = [str(one.key) for one in lacks if one.reserve_only]
    parts = [f"fill {_any_of(unfilled)}"] if unfilled else []
    parts += [f"give {_any_of(reserves)} a reserve date"] if reserves else []
    return f"would {' or '.join(parts)}"


def _any_of(names: list[str]) -> str:
    if len(names) == 1:
        return names[0]
    shown = names[:_NAMED] if len(names) > _NAMED else names
    more = f", {listed([*shown])}" if shown == names else f", among them {listed(shown)}"
    return f"any of {len(names)} visits{more}"


def _visits(short: _Short) -> Iterator[Shortage]:
    """Yield that people within reach have no visit left, if one more of each would help."""
    arrays, loads = short.lacks[0].arrays, Counter(code for visit in short.plan for code in visit.people)
    people = sorted({v for lack in short.lacks for v in near(lack)})
    volunteers = arrays.season.volunteers
    full = [v for v in people if loads[volunteers[v].code] >= volunteers[v].visits_limit]
    worth = float(short.market.prices.visits[full].max(initial=0.0))
    if worth < DEAR:
        return
    mended = [one for one in short.lacks if one.mended(Ease(another_visit=frozenset(full))) is not None]
    if mended:
        have = "has all the visits" if len(full) == 1 else "have all the visits"
        words = f"Visits offered: {len(full)} of {_volunteers(people)} within reach {have} they offered; one more"
        words += f"{' each' if len(full) > 1 else ''} {_would(mended)}."
        yield Shortage(ShortageKind.VISITS, listed([volunteers[v].code for v in full]), worth, words, _keys(mended))


def _volunteers(people: Sequence[int]) -> str:
    return counted(len(people), "volunteer", "volunteers")


def _weeks(short: _Short) -> Iterator[Shortage]:
    """Yield weeks, those together in which somebody new would mend the same visits."""
    days = short.lacks[0].arrays.problem.days
    mondays = np.array([day - dt.timedelta(days=day.weekday()) for day in days])
    worths: dict[tuple[VisitKey, ...], dict[dt.date, float]] = {}
    for monday in sorted(set(mondays.tolist())):
        worth = float(short.valuer.gains(mondays == monday).max(initial=0.0))
        mended = _keys(short.mended(closed=mondays != monday)) if worth >= DEAR else ()
        if mended:
            worths.setdefault(mended, {})[monday] = worth
    for mended, weeks in worths.items():
        lacks = [one for one in short.lacks if one.key in mended]
        named = listed([date_words(monday) for monday in weeks])
        words = f"Week{'s' if len(weeks) > 1 else ''} of {named}: {_one_more(lacks)}, free then, {_would(lacks)}."
        yield Shortage(ShortageKind.WEEK, listed([str(day) for day in weeks]), max(weeks.values()), words, mended)


def _keys(lacks: Sequence[Lack]) -> tuple[VisitKey, ...]:
    return tuple(one.key for one in lacks)


def _one_more(lacks: Sequence[Lack]) -> str:
    """Return who is meant in words: one more volunteer, with what the routes ask for."""
    asked = set(lacks[0].arrays.protocol.people.lead_training).union(*(one.route.needs for one in lacks))
    return f"one more volunteer with {listed(sorted(asked))}" if asked else "one more volunteer"


def _areas(short: _Short) -> Iterator[Shortage]:
    gains = dict(zip((route.code for route in short.market.routes), short.valuer.gains().tolist(), strict=True))
    minutes = int(short.lacks[0].arrays.season.volunteers[-1].drive_limit_minutes)
    for area in _grouped(short):
        worth = max(gains[code] for code in gains if any(code == one or _alike(short, code, one) for one in area))
        mended = short.mended([one for one in short.lacks if one.key.route in area]) if worth >= DEAR else []
        if mended:
            words = f"Round {listed(area)}: {_one_more(mended)} within {minutes} minutes {_would(mended)}."
            yield Shortage(ShortageKind.AREA, listed(area), worth, words, _keys(mended))


def _grouped(short: _Short) -> list[list[str]]:
    """Return the routes that lack something, those together that the same people live near."""
    groups: list[list[str]] = []
    for code in sorted({lack.key.route for lack in short.lacks}):
        joined = [group for group in groups if any(_alike(short, code, other) for other in group)]
        groups = [group for group in groups if group not in joined]
        groups.append(sorted([code, *(other for group in joined for other in group)]))
    return groups


def _alike(short: _Short, one: str, other: str) -> bool:
    mine, its = short.near[one], short.near[other]
    return len(mine & its) > _ALIKE * len(mine | its)


def _skills(short: _Short, compiled: Compiled, plan: Plan) -> Iterator[Shortage]:
    able = short.mended()
    full = short.valuer.gains()
    for skill in sorted(skills_asked(compiled.arrays.season)):
        without = with_newcomer(compiled.arrays, lacking=skill)
        mended = [one for one in able if not _mended(Lack.of(without, plan, one.key))]
        if not mended:
            continue
        worth = float((full - Valuer(short.market, without).gains()).max(initial=0.0))
        if worth >= DEAR:
            words = f"{skill[:1].upper()}{skill[1:]}: one more volunteer who has it {_would(mended)}; without it, none."
            yield Shortage(ShortageKind.SKILL, skill, worth, words, _keys(mended))
