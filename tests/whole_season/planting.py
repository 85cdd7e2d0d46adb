"""Which mistakes are planted in which visit of the played season."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.field.visit_record import VisitRecord
from planner.domain.finding import Rule
from planner.domain.habitat import HabitatClass
from planner.domain.plan import VisitKey
from tests.whole_season.mistakes import (
    Circle,
    Returned,
    lacking_ten,
    last_count_late,
    not_in_tens,
    percents,
    short_count,
    stopped_after,
    windy_at_the_end,
    with_circle,
    wrong_order,
)
from tests.whole_season.story import Season


def plant_in_visit_1(season: Season, back: Returned) -> None:
    """Plant mistakes in single sheets and in records."""
    _in_sheets(season, back)
    _in_records(season, back)


def plant_in_visit_2(season: Season, back: Returned) -> None:
    """Plant mistakes that only the visit before gives away."""
    earlier = {sheet.key: sheet for sheet in season.file.sheets() if sheet.key.visit == 1}

    moved = _sheet_of(back, "R02", 2, 4)
    giver, taker = _stable_pair(season, percents(back.sheets[moved]))
    back.change_sheet(moved, lambda sheet: with_circle(sheet, _given(percents(sheet), giver, taker, 30)))
    back.plant("R02 point 4: thirty points of a stable class moved", (Rule.SHEET_MOVED, "R02", 2, 4))

    turned = _sheet_of(back, "R03", 2, 5)
    other = next(code for code in ("TH", "TR", "BG") if code not in _circle_of(earlier, "R03", 5))
    back.change_sheet(turned, lambda sheet: with_circle(sheet, {other: 100}))
    back.plant(f"R03 point 5: all {other}, of which there was none", (Rule.SHEET_TURNED, "R03", 2, 5))

    one, two = _sheet_of(back, "R04", 2, 2), _sheet_of(back, "R04", 2, 7)
    first, second = back.sheets[one], back.sheets[two]
    back.sheets[one], back.sheets[two] = replace(second, key=one), replace(first, key=two)
    back.plant("R04 points 2 and 7: sheets swapped", (Rule.SHEET_SWAPPED, "R04", 2, 2))

    for key in [key for key in back.sheets if key.route == "R05"]:
        original = next(sheet for found, sheet in earlier.items() if (found.route, found.point) == ("R05", key.point))
        back.sheets[key] = replace(original, key=key, date=back.sheets[key].date)
    back.plant("R05: the whole visit copied from visit 1", (Rule.SHEET_COPIED, "R05", 2, 1))


def _in_sheets(season: Season, back: Returned) -> None:
    ten = _sheet_of(back, "R01", 1, 2)
    back.change_sheet(ten, lacking_ten)
    back.plant("R01 point 2: adds up to 90", (Rule.SHEET_SUM, "R01", 1, 2))

    fives = _sheet_of(back, "R01", 1, 6)
    back.change_sheet(fives, not_in_tens)
    back.plant("R01 point 6: two figures are no tens", (Rule.SHEET_STEP, "R01", 1, 6))

    strange = _sheet_of(back, "R06", 1, 3)
    circle = percents(back.sheets[strange])
    largest = max(circle, key=lambda code: circle[code])
    code = next(one.code for one in _classes(season) if one.code not in circle and not one.needs_note)
    season.mark_absent([AbsentClass("R06", code, 3)])
    back.change_sheet(strange, lambda sheet: with_circle(sheet, _given(percents(sheet), largest, code, 10)))
    back.plant(f"R06 point 3: {code}, which cannot be there", (Rule.SHEET_ABSENT_CLASS, "R06", 1, 3))

    copy, of = _sheet_of(back, "R09", 1, 6), _sheet_of(back, "R09", 1, 5)
    back.change_sheet(copy, lambda sheet: replace(back.sheets[of], key=sheet.key))
    back.plant("R09 point 6: copied from point 5", (Rule.SHEET_COPIED, "R09", 1, 6))

    gone = _sheet_of(back, "R10", 1, 8)
    del back.sheets[gone]
    back.plant("R10 point 8: no sheet", (Rule.SHEET_MISSING, "R10", 1, None))

    dated = _sheet_of(back, "R14", 1, 1)
    back.change_sheet(dated, lambda sheet: replace(sheet, date=dt.date(2027, 6, 1)))
    back.plant("R14 point 1: the date of no outing", (Rule.SHEET_DATE, "R14", 1, 1))

    twice = _sheet_of(back, "R15", 1, 4)
    second = next(one for one in season.file.plan() if str(one.key) == "R15 visit 1").second or "V01"
    circle = percents(back.sheets[twice])
    others = [one.code for one in _classes(season) if one.code not in circle and not one.needs_note]
    disagreeing = with_circle(back.sheets[twice], {others[0]: 60, others[1]: 40})
    back.sheets[replace(twice, observer=second)] = replace(disagreeing, key=replace(twice, observer=second))
    back.plant("R15 point 4: two observers see two things", (Rule.SHEET_OBSERVERS, "R15", 1, 4))


def _in_records(season: Season, back: Returned) -> None:
    back.change_record(VisitKey("R16", 1), short_count)
    third = _record_of(back, "R16").counts[2].point
    back.plant(
        f"R16: three minutes at point {third}",
        (Rule.RECORD_SHORT, "R16", 1, third),
        (Rule.RECORD_FOLLOWS, "R16", 1, None),
    )

    last = _record_of(back, "R18").counts[-1].point
    back.change_record(VisitKey("R18", 1), lambda record: last_count_late(record, 90))
    back.plant(
        f"R18: point {last} an hour and a half late",
        (Rule.RECORD_WINDOW, "R18", 1, last),
        (Rule.RECORD_FOLLOWS, "R18", 1, None),
    )

    back.change_record(VisitKey("R20", 1), windy_at_the_end)
    last = _record_of(back, "R20").counts[-1].point
    back.plant(
        "R20: wind past the limit at the last count",
        (Rule.RECORD_WEATHER, "R20", 1, last),
        (Rule.RECORD_FOLLOWS, "R20", 1, None),
    )

    back.change_record(VisitKey("R21", 1), lambda record: stopped_after(record, 6))
    back.plant("R21: stopped by the weather after six points", (Rule.RECORD_FOLLOWS, "R21", 1, None))

    back.change_record(VisitKey("R22", 1), wrong_order)
    back.plant("R22: two points the wrong way round", (Rule.RECORD_ORDER, "R22", 1, None))

    out = {code for record in back.records.values() for code in record.team}
    people = season.file.season().volunteers
    untrained = next(one.code for one in people if not one.training and one.code not in out)
    back.change_record(VisitKey("R24", 1), lambda one: replace(one, team=(untrained,), left_utc=None, home_utc=None))
    back.plant(f"R24: {untrained} led without the training", (Rule.RECORD_PEOPLE, "R24", 1, None))


def _sheet_of(back: Returned, route: str, visit: int, point: int) -> SheetKey:
    return next(key for key in back.sheets if (key.route, key.visit, key.point) == (route, visit, point))


def _record_of(back: Returned, route: str) -> VisitRecord:
    return next(record for key, record in back.records.items() if key.route == route)


def _classes(season: Season) -> tuple[HabitatClass, ...]:
    rule = season.file.season().protocol.habitat
    assert rule is not None
    return rule.classes


def _given(circle: Circle, giver: str, taker: str, percent: int) -> Circle:
    given = dict(circle)
    percent = min(percent, given[giver])
    given[giver] -= percent
    given[taker] = given.get(taker, 0) + percent
    return {code: share for code, share in given.items() if share}


def _stable_pair(season: Season, circle: Circle) -> tuple[str, str]:
    stable = [one.code for one in _classes(season) if one.stable]
    giver = max((code for code in circle if code in stable), key=lambda code: circle[code])
    return giver, next(code for code in stable if code != giver)


def _circle_of(sheets: dict[SheetKey, HabitatSheet], route: str, point: int) -> Circle:
    return next(percents(sheet) for key, sheet in sheets.items() if (key.route, key.point) == (route, point))
