"""What follows for the log of what people were told when it is held against what stands now."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace
from enum import StrEnum

from planner.domain.field.told import Told, ToldKey


class News(StrEnum):
    """How what stands now differs from what was last told."""

    NEW = "new"
    CHANGED = "changed"
    CANCELLED = "cancelled"
    SAME = "unchanged"


def news_of(before: Told | None, after: Told) -> News:
    """Return what an entry brings to somebody who was told ``before``; new again where it had been cancelled."""
    if before is not None and (before.content, before.cancelled) == (after.content, after.cancelled):
        return News.SAME
    if after.cancelled:
        return News.CANCELLED
    return News.NEW if before is None or before.cancelled else News.CHANGED


def last_news(told: Told) -> News:
    """Return what an entry brought when it was last told."""
    if told.cancelled:
        return News.CANCELLED
    return News.CHANGED if told.before else News.NEW


def told_next(log: Iterable[Told], standing: Mapping[ToldKey, str], when_utc: dt.datetime) -> tuple[Told, ...]:
    """Return what everybody has been told once all that differs has gone out, by key.

    An entry that stands as it was told stays as it is, revision and moment included. One that differs, that stands
    again, or that stands no longer gets the next revision number (RFC 5545, section 3.8.7.4): a calendar takes the
    highest, so that an entry that goes and comes back is not doubled.

    Args:
        log: what was told.
        standing: the content of each entry that stands now.
        when_utc: the moment at which it goes out.
    """
    told = {one.key: one for one in log}
    return tuple(_next(key, told.get(key), standing.get(key), when_utc) for key in sorted({*told, *standing}))


def _next(key: ToldKey, told: Told | None, content: str | None, when_utc: dt.datetime) -> Told:
    if told is None:
        return Told(key, 0, content or "", cancelled=False, when_utc=when_utc)
    if content is None:
        return told if told.cancelled else _revised(told, told.content, when_utc, cancelled=True)
    if not told.cancelled and told.content == content:
        return told
    return _revised(told, content, when_utc, cancelled=False)


def _revised(told: Told, content: str, when_utc: dt.datetime, *, cancelled: bool) -> Told:
    before = "" if told.cancelled else told.content
    return replace(
        told, sequence=told.sequence + 1, content=content, cancelled=cancelled, when_utc=when_utc, before=before
    )
