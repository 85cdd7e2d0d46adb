"""What has to be told to whom: what each was last told, held against the plan as it stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from planner.domain.errors import ImpossibleError
from planner.domain.field.calendar_entry import CalendarEntry
from planner.domain.field.telling import News, last_news, news_of, told_next
from planner.domain.field.told import Told, ToldKey, ToldKind
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.scheduling import SeasonProblem
from planner.usecases.paper.itineraries import PrintFacts
from planner.usecases.paper.runs import print_bars
from planner.usecases.sending.entries import (
    content_of,
    entries_as_far_as_timed,
    entries_of,
    entry_of,
    standing,
)

_LONG_BEFORE = dt.timedelta(days=366)
"""Before the season begins: when what was told on paper counts as told. No letter shows it."""


@dataclass(frozen=True, slots=True)
class EntryNews:
    """One entry of somebody's calendar, and what is new about it."""

    key: ToldKey
    news: News
    before: CalendarEntry | None
    """As it was told before; None where it was not, or had been cancelled."""
    after: CalendarEntry | None
    """As it stands; None where it is cancelled."""

    @property
    def entry(self) -> CalendarEntry:
        """What it says, or said last."""
        found = self.after or self.before
        if found is None:
            raise ValueError("an entry stands or was told")
        return found


@dataclass(frozen=True, slots=True)
class PersonNews:
    """One volunteer, what they were last told, and what they must be told."""

    code: str
    name: str
    """The code again where they are no longer in the season."""
    first_name: str
    telephone: str
    email: str
    news: News
    """What this brings them; SAME where they have been told how things stand."""
    letter: News
    """What their letter is: of new outings only, of a change, or that none is left; of the last one where nothing is
    new."""
    told_utc: dt.datetime | None
    """When they were last told anything; None: never."""
    entries: tuple[EntryNews, ...]
    """Every entry by its date; where nothing is new, with what was new when they were last told."""
    after: tuple[Told, ...]
    """The log of what they were told once this has gone out."""
    stamped: dt.date
    """The date, with them, on which the newest of what they have went out, this included."""
    untimed: frozenset[ToldKey] = frozenset()
    """Entries whose hours nobody can tell."""

    @property
    def goes_out(self) -> bool:
        """Whether an outing of theirs stood ahead on that date."""
        return _goes_out(self.entries, self.stamped)

    @property
    def dates(self) -> frozenset[dt.date]:
        """Every date on which they go out or keep themselves free."""
        return frozenset(one.after.date for one in self.entries if one.after is not None)

    @property
    def differing(self) -> tuple[EntryNews, ...]:
        """The entries with something new."""
        return tuple(one for one in self.entries if one.news is not News.SAME)


@dataclass(slots=True)
class KnownEntries:
    """Entries once computed: a change on the board touches few of them."""

    _problem: object = None
    _known: dict[tuple[object, ...], Mapping[ToldKey, CalendarEntry]] = field(default_factory=dict)

    def of(self, facts: PrintFacts, code: str) -> Mapping[ToldKey, CalendarEntry]:
        """Return somebody's entries; they hang on the season's light and drives and on their visits alone."""
        if facts.problem is not self._problem:
            self._problem, self._known = facts.problem, {}
        key = (code, facts.plan.of_volunteer(code))
        if key not in self._known:
            self._known[key] = entries_of(facts.problem, facts.plan, code)
        return self._known[key]


def what_to_send(
    facts: PrintFacts,
    log: Iterable[Told],
    now_utc: dt.datetime,
    known: KnownEntries | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> tuple[PersonNews, ...]:
    """Return everybody who has an outing or was told of one, in the season's order; who left the season comes last.

    Args:
        facts: the season with its light and drives, and the plan.
        log: what was told.
        now_utc: the moment at which it would go out; what is over by then is left as it is.
        known: entries computed before.
        stop: asked before each person whether to leave the others out.

    Raises:
        ImpossibleError: the plan breaks a rule, so that nothing may go out.
    """
    broken = print_bars(facts.problem, facts.plan)
    if broken:
        raise ImpossibleError("The plan breaks these rules, so nothing goes out:", *(str(one) for one in broken))
    by_person: dict[str, list[Told]] = {}
    for one in log:
        by_person.setdefault(one.key.volunteer, []).append(one)
    known = known or KnownEntries()
    found = []
    for code, person in _everybody(facts.season, by_person):
        if stop():
            break
        entries = known.of(facts, code) if person is not None else {}
        told = by_person.get(code, [])
        today = now_utc.astimezone(facts.season.tzinfo).date()
        after = told_next(told, standing(told, entries, today), now_utc)
        if after:
            found.append(_news(code, person, told, after, facts.season.tzinfo))
    return tuple(found)


def news_of_change(
    problem: SeasonProblem, before: Plan, after: Plan, log: Iterable[Told], now_utc: dt.datetime
) -> tuple[PersonNews, ...]:
    """Return what a change of the plan brings to everybody whose outings it touches; who goes out first comes first.

    It is held against what they were told by files that went out. To whom no file went, the plan as it stood was told
    in another way: on paper, or by telephone.

    Args:
        problem: the season with its light and drives.
        before: the plan before the change.
        after: and after it.
        log: what was told.
        now_utc: the moment at which they are told; what is over by then is left as it is.
    """
    told: dict[str, list[Told]] = {}
    for one in log:
        told.setdefault(one.key.volunteer, []).append(one)
    season, today = problem.season, now_utc.astimezone(problem.season.tzinfo).date()
    long_ago = dt.datetime.combine(season.dates.first, dt.time(), dt.UTC) - _LONG_BEFORE
    found = []
    for code in _touched(season, before, after):
        stood, _ = entries_as_far_as_timed(problem, before, code)
        known = told.get(code) or list(told_next((), {key: content_of(one) for key, one in stood.items()}, long_ago))
        stands, untimed = entries_as_far_as_timed(problem, after, code)
        next_log = told_next(known, standing(known, stands, today), now_utc)
        news = _news(code, season.volunteer(code), known, next_log, season.tzinfo)
        found.append(replace(news, untimed=untimed, told_utc=news.told_utc if code in told else None))
    return tuple(found)


def _touched(season: Season, before: Plan, after: Plan) -> list[str]:
    """Return the codes of those whose visits differ, by the date that they would go out on first."""
    soonest: dict[str, dt.date] = {}
    for key in before.by_key.keys() | after.by_key.keys():
        was, now = before.by_key.get(key), after.by_key.get(key)
        date = was.date if was is not None else now.date if now is not None else dt.date.max
        for code in {*(was.people if was else ()), *(now.people if now else ())} if was != now else ():
            soonest[code] = min(soonest.get(code, dt.date.max), date)
    return sorted((one.code for one in season.volunteers if one.code in soonest), key=lambda code: soonest[code])


def _everybody(season: Season, told: Mapping[str, object]) -> Iterator[tuple[str, Volunteer | None]]:
    known = {person.code: person for person in season.volunteers}
    yield from known.items()
    yield from ((code, None) for code in sorted(told.keys() - known.keys()))


def _news(
    code: str, person: Volunteer | None, told: list[Told], after: tuple[Told, ...], zone: dt.tzinfo
) -> PersonNews:
    last = {one.key: one for one in told}
    pending = any(news_of(last.get(one.key), one) is not News.SAME for one in after)
    made = [_pending(last.get(one.key), one) for one in after] if pending else list(_last_told(after))
    entries = tuple(sorted((one for one in made if one is not None), key=lambda one: (one.entry.date, one.key)))
    stamped = max(one.when_utc for one in after).astimezone(zone).date()
    letter = _letter(entries, stamped)
    return PersonNews(
        code=code,
        name=person.name if person is not None else code,
        first_name=person.first_name if person is not None else code,
        telephone=person.telephone if person is not None else "",
        email=person.email if person is not None else "",
        news=letter if pending else News.SAME,
        letter=letter,
        told_utc=max((one.when_utc for one in told), default=None),
        entries=entries,
        after=after,
        stamped=stamped,
    )


def _letter(entries: Sequence[EntryNews], stamped: dt.date) -> News:
    if {one.news for one in entries} == {News.NEW}:
        return News.NEW
    lost = any(one.news is News.CANCELLED and one.key.kind is not ToldKind.RESERVE for one in entries)
    return News.CANCELLED if lost and not _goes_out(entries, stamped) else News.CHANGED


def _goes_out(entries: Iterable[EntryNews], since: dt.date) -> bool:
    return any(
        one.after is not None and one.after.date >= since and one.key.kind is not ToldKind.RESERVE for one in entries
    )


def _pending(before: Told | None, after: Told) -> EntryNews | None:
    news = news_of(before, after)
    if news is News.SAME and after.cancelled:
        return None
    stood = entry_of(before.content) if before is not None and not before.cancelled else None
    return EntryNews(after.key, news, stood, None if after.cancelled else entry_of(after.content))


def _last_told(after: tuple[Told, ...]) -> Iterator[EntryNews | None]:
    """Yield the entries with what was new when they were last told: the letter of then can be written again."""
    newest = max(one.when_utc for one in after)
    for one in after:
        news = last_news(one) if one.when_utc == newest else News.SAME
        if news is News.SAME and one.cancelled:
            continue
        stood = entry_of(one.before) if one.before and news is not News.SAME else None
        yield EntryNews(one.key, news, stood, None if one.cancelled else entry_of(one.content))
