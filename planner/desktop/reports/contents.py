"""What each page of the Reports room shows of a report."""

from __future__ import annotations

from collections.abc import Iterator

from planner.desktop.reports import fills
from planner.desktop.reports.bars import Bar, Part, Plot, Row
from planner.desktop.reports.figures_model import Figure
from planner.desktop.reports.figures_page import Content
from planner.desktop.reports.words import (
    day_words,
    km_words,
    month_words,
    source_words,
    standing_words,
    state_words,
    tr,
)
from planner.desktop.units import Units
from planner.domain.reports.driving_saved import BY_HAND_WORDS, COMPARED_WORDS, DrivingSaved
from planner.domain.reports.hours import Basis, HoursReport, PersonMonth
from planner.domain.reports.progress import Tally, VisitState
from planner.domain.reports.season_report import RouteChance, SeasonReport


def progress_content(report: SeasonReport) -> Content:
    """Return how far visits and sheets have come."""
    progress, whole = report.progress, report.progress.whole
    sheets = whole.sheets
    said = tr("%1 of %2 visits are done.", whole.count(VisitState.DONE), whole.visits)
    if sheets.due:
        said += " " + tr(
            "Habitat sheets: %1 of %2 are in, %3 begun, %4 missing of visits that were made.",
            sheets.final, sheets.due, sheets.draft, sheets.missing,
        )  # fmt: skip
    by_visit = [_tally_row(one, tr("Visit %1", number)) for number, one in enumerate(progress.by_visit, start=1)]
    by_area = [_tally_row(one, one.name) for one in progress.by_area]
    legend = tuple((state_words(state), fill) for state, fill in fills.STATES.items())
    rows = [
        (
            Figure(one.title),
            Figure(str(one.key.number), float(one.key.number)),
            Figure(one.area),
            Figure(standing_words(one)),
            Figure(day_words(one.date), one.date.isoformat() if one.date else ""),
            Figure(f"{one.standing}/{one.points}", float(one.standing)),
            Figure(f"{one.sheets.final}/{one.sheets.due}" if one.sheets.due else "", float(one.sheets.final)),
        )
        for one in progress.standings
    ]
    return Content(said, progress.area_words, Plot((*by_visit, *by_area), legend), rows)


def _tally_row(tally: Tally, label: str) -> Row:
    whole = max(tally.visits, 1)
    parts = tuple(Part(tally.count(state) / whole, fill) for state, fill in fills.STATES.items())
    said = tr("%1 of %2", tally.count(VisitState.DONE), tally.visits)
    return Row(label, (Bar(parts, said),))


def risk_content(report: SeasonReport) -> Content:
    """Return how likely the weather lets routes be completed, the weakest first; and what it has taken."""
    lost = tr("Evenings lost or cut short so far, team by team: %1.", len(report.lost))
    if report.lost_unknown_until is not None:
        until = day_words(report.lost_unknown_until)
        lost += " " + tr("Nothing is known of what was cancelled up to %1: an older release did not keep it.", until)
    chances = report.chances
    if chances is None:
        unknown = tr("No chance can be told: nothing is planned, or nothing is said of the weather.")
        where = tr("How often weather takes an evening is said in the Season room, under Name, dates, weather.")
        return Content(f"{unknown} {where} {lost}")
    said = tr("Expected: %1 of %2 visits done.", f"{chances.expected_visits:.1f}", chances.filled)
    about = tr("Weather: %1.", chances.weather_words)
    plot = [Row(one.title, (Bar((Part(one.complete, fills.CHANCE),), _chance(one)),)) for one in chances.routes]
    rows = [
        (
            Figure(one.title),
            Figure(_chance(one), one.complete),
            Figure(str(one.weakest_visit), float(one.weakest_visit)),
            Figure(_percent(one.weakest), one.weakest),
        )
        for one in chances.routes
    ]
    return Content(f"{said} {lost}", about, Plot(tuple(plot)), rows)


def _chance(one: RouteChance) -> str:
    return _percent(one.complete) if one.whole else tr("a visit is unfilled")


def _percent(chance: float) -> str:
    """Return a chance in whole percent; neither 0 nor 100 where it is not quite so."""
    if 0.0 < chance < 0.005:
        return "< 1 %"
    if 0.995 <= chance < 1.0:
        return "> 99 %"
    return f"{100 * chance:.0f} %"


def hours_content(report: SeasonReport, names: dict[str, str], units: Units) -> Content:
    """Return what people gave and are to give, by person and month."""
    hours = report.hours
    if not hours.outings:
        return Content(tr("Nobody goes out yet: hours are told once visits are planned."))
    said = tr(
        "%1 h recorded, %2 h done as planned, %3 h to come. %4 driven, %5 to come.",
        *(f"{hours.hours(basis):.0f}" for basis in Basis),
        *(km_words(hours.km(past=past), units) for past in (True, False)),
    )
    if hours.unrecorded:
        said += " " + tr("%1 visits are past without a finished record: they are in no sum.", hours.unrecorded)
    if hours.untold:
        said += " " + tr("Of %1 outings nobody can tell the hours.", hours.untold)
    legend = (
        (tr("recorded"), fills.RECORDED),
        (tr("done, as planned"), fills.AS_PLANNED),
        (tr("to come"), fills.TO_COME),
    )
    rows = [_month_figures(one, names.get(one.person, one.person), units) for one in hours.by_month]
    return Content(said, hours.said, Plot(tuple(_person_rows(hours, names)), legend), rows)


def _person_rows(hours: HoursReport, names: dict[str, str]) -> Iterator[Row]:
    people: dict[str, list[PersonMonth]] = {}
    for one in hours.by_month:
        people.setdefault(one.person, []).append(one)
    sums = {
        code: (
            sum(one.recorded_hours for one in months),
            sum(one.as_planned_hours for one in months),
            sum(one.planned_hours for one in months),
        )
        for code, months in people.items()
    }
    most = max((sum(parts) for parts in sums.values()), default=0.0) or 1.0
    for code, parts in sums.items():
        kinds = (fills.RECORDED, fills.AS_PLANNED, fills.TO_COME)
        bar = tuple(Part(one / most, fill) for one, fill in zip(parts, kinds, strict=True))
        yield Row(names.get(code, code), (Bar(bar, f"{sum(parts):.1f} h"),))


def _month_figures(one: PersonMonth, name: str, units: Units) -> tuple[Figure, ...]:
    def hours(value: float) -> Figure:
        return Figure(f"{value:.1f}" if value else "", value)

    km = one.past_km + one.planned_km
    return (
        Figure(name),
        Figure(month_words(one.month), one.month.isoformat()),
        Figure(str(one.outings), float(one.outings)),
        hours(one.recorded_hours),
        hours(one.as_planned_hours),
        hours(one.planned_hours),
        Figure(km_words(km, units), km),
        Figure(", ".join(source_words(source) for source in one.km_sources)),
    )


def driving_content(report: SeasonReport) -> Content:
    """Return what the plan drives beside a plan made by hand."""
    saved = report.saved
    about = f"{BY_HAND_WORDS} {COMPARED_WORDS}"
    if not saved.said:
        return Content(tr("There is nothing to compare yet: no visit is filled by the plan and by hand."), about)
    rows = [
        (
            Figure(one.route),
            Figure(str(one.visits), float(one.visits)),
            Figure(f"{one.plan_minutes:.0f}", one.plan_minutes),
            Figure(f"{one.hand_minutes:.0f}", one.hand_minutes),
            Figure(f"{one.saved_minutes:+.0f}" if abs(one.saved_minutes) >= 0.5 else "0", one.saved_minutes),
        )
        for one in saved.routes
    ]
    legend = ((tr("the plan"), fills.PLAN), (tr("by hand"), fills.HAND))
    said = " ".join((*saved.said, saved.beside_said))
    return Content(said, about, Plot(tuple(_driving_rows(saved)), legend), rows)


def _driving_rows(saved: DrivingSaved) -> Iterator[Row]:
    most = max((max(one.plan_minutes, one.hand_minutes) for one in saved.routes), default=0.0) or 1.0
    for one in saved.routes:
        sides = ((one.plan_minutes, fills.PLAN), (one.hand_minutes, fills.HAND))
        bars = tuple(Bar((Part(minutes / most, fill),), f"{minutes:.0f} min") for minutes, fill in sides)
        yield Row(one.route, bars)
