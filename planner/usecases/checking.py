"""Check a season: its routes and people, and its plan where there is one; every finding, worst first."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from planner.domain.field.visit_record import RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity, Subject, worst_first
from planner.domain.plan import Plan, Status, VisitKey
from planner.domain.protocol import Protocol
from planner.domain.season import Season
from planner.domain.travel import ESTIMATED_WORDS, RECORDED_ESTIMATES_WORDS
from planner.scheduling import SeasonProblem, audit
from planner.store import SeasonFile
from planner.travel import RoadNetwork
from planner.usecases.calibrating import drive_findings
from planner.usecases.plan.planning import is_past, over_todo
from planner.usecases.plan.risk import PlanRisk, plan_risk
from planner.usecases.records import record_findings
from planner.usecases.route_checks import RouteFacts, check_routes
from planner.usecases.route_checks.measuring import homes_off_road_metres, route_facts
from planner.usecases.season.opening import LOST_WORDS, road_network
from planner.usecases.season.problem import roads_from_homes, season_problem
from planner.usecases.season.zones import zone_findings
from planner.usecases.sheets import NO_SHEETS, KeptSheets, kept_sheet_findings
from planner.usecases.sheets.spare_photos import spare_findings

_EXPLAINED_BY_ROUTE = {
    Rule.ROUTE_TOO_LONG,
    Rule.ROUTE_UNREACHABLE,
    Rule.ROUTE_POINTS,
    Rule.ROUTE_LEAD,
    Rule.AREA_NOBODY,
}
"""Findings on a route that say already why its visits cannot be filled."""
MOST_HOURS_FROM_SUN = 3.75
"""Clocks of western China in summer stand about 3.2 hours from the sun; from memory, no land is worse by much."""
_EXPLAINED_BY_VISIT = {Rule.VISIT_NOBODY, Rule.VISIT_NO_LIGHT}
_MOST_ALIKE = 5
"""Visits without any sheet that are told one by one; more are counted."""
_TOLD_BY_RECORD = {
    Rule.VISIT_DATE,
    Rule.VISIT_PEOPLE,
    Rule.VISIT_TRAINING,
    Rule.VISIT_WINDOW,
    Rule.VISIT_NO_LIGHT,
}
"""Rules of a plan that a visit's own record is held against, once there is one."""


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """What was measured of each route, and what it was measured by."""

    problem: SeasonProblem
    network: RoadNetwork | None
    facts: Mapping[str, RouteFacts]
    """By route code."""
    said: tuple[Finding, ...]
    """What the checks of routes and people say."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What stands, in a sentence, and what needs a look."""

    stands: str
    findings: tuple[Finding, ...]
    may_be_planned: bool
    """Whether there is a route with points and somebody to go."""
    may_be_printed: bool
    """Whether there is a plan and it breaks no rule in a visit that can still be changed."""
    risk: PlanRisk | None = None
    """What the weather leaves of the plan; None without a plan, or where nothing is said of the weather."""
    weather_unsaid: bool = False
    """Whether there is a plan, and nothing is said of the weather."""
    measured: Measured | None = None
    """For the next check; None where the caller keeps none."""


def check(file: SeasonFile, today: dt.date | None = None) -> Checked:
    """Return every finding on the season in the file; changes nothing. Visits before ``today`` are past."""
    season, plan = file.season(), file.plan()
    network = road_network(file.path, season.roads)
    problem, sheets = season_problem(season, network, today), KeptSheets(file.sheets(), file.path)
    found = check_season(season, plan, problem, network, records=file.records(), sheets=sheets)
    return replace(found, findings=worst_first([*found.findings, *spare_findings(file)]))


def check_season(
    season: Season,
    plan: Plan,
    problem: SeasonProblem,
    network: RoadNetwork | None,
    before: Checked | None = None,
    *,
    records: Sequence[VisitRecord] = (),
    sheets: KeptSheets = NO_SHEETS,
) -> Checked:
    """Return every finding on a season and its plan, whose light and drives are computed already.

    Args:
        season: as it stands.
        plan: as it stands.
        problem: its light and drives.
        network: its roads.
        before: what was found last; routes whose light, drives and roads are those of then are not measured anew.
        records: the visit records that are kept.
        sheets: the habitat sheets that are kept.
    """
    measured = _measured(problem, network, before)
    findings = [*_season_findings(season, network), *measured.said]
    if len(plan):
        findings += _of_plan(list(_unexplained(audit(problem, plan), findings)), plan, records)
    findings += drive_findings(season, records)
    findings += record_findings(problem, plan, records)
    findings += _told_together(kept_sheet_findings(season, plan, sheets, records, problem.today))
    fixed = {visit.key for visit in plan if visit.status is Status.DONE or is_past(visit, problem.today)}
    sound = not any(one.severity is Severity.BROKEN and _visit_of(one) not in fixed for one in findings)
    return Checked(
        stands=_stands(season, plan),
        findings=worst_first(findings),
        may_be_planned=bool(problem.season.routes and season.volunteers),
        may_be_printed=bool(len(plan)) and sound,
        risk=plan_risk(problem, plan),
        weather_unsaid=bool(len(plan)) and season.lost_evenings is None,
        measured=measured,
    )


def _measured(problem: SeasonProblem, network: RoadNetwork | None, before: Checked | None) -> Measured:
    known = before.measured if before is not None else None

    def still_holds(code: str) -> bool:
        return (
            known is not None
            and known.network is network
            and known.problem.light.get(code) is problem.light[code]
            and known.problem.drives.get(code) is problem.drives[code]
        )

    roads = roads_from_homes(problem.season, network)
    facts = {
        route.code: known.facts[route.code]
        if known is not None and still_holds(route.code)
        else route_facts(problem, route, roads)
        for route in problem.season.routes
    }
    if known is not None and known.problem.season == problem.season and all(map(still_holds, facts)):
        return Measured(problem, network, facts, known.said)
    said = check_routes(problem.season, facts, homes_off_road_metres(problem.season, roads))
    return Measured(problem, network, facts, said)


def _unexplained(audited: list[Finding], told: list[Finding]) -> Iterator[Finding]:
    """Yield the audit's findings, without the unfilled visits whose cause is told already."""
    routes = {code for finding in told if finding.rule in _EXPLAINED_BY_ROUTE for code in finding.subject.routes}
    visits = {(f.subject.route, f.subject.visit) for f in told if f.rule in _EXPLAINED_BY_VISIT}
    for finding in audited:
        subject = finding.subject
        if finding.rule is Rule.VISIT_UNFILLED and (
            subject.route in routes or (subject.route, subject.visit) in visits
        ):
            continue
        yield finding


def _of_plan(audited: list[Finding], plan: Plan, records: Sequence[VisitRecord]) -> Iterator[Finding]:
    """Yield the audit's findings; a visit that is done breaks the plan no more, and its record tells most of it."""
    done = {visit.key: visit for visit in plan if visit.status is Status.DONE}
    recorded = {one.key.visit_key for one in records if one.state is RecordState.FINAL}
    for finding in audited:
        key = _visit_of(finding)
        if key is None or key not in done or finding.severity is not Severity.BROKEN:
            yield finding
        elif key not in recorded or finding.rule not in _TOLD_BY_RECORD:
            yield replace(finding, severity=Severity.DOUBT, todo=over_todo(done[key]))


def _told_together(findings: Sequence[Finding]) -> Iterator[Finding]:
    """Yield the findings on sheets; visits of which nothing has come back are one finding where they are many."""
    empty = Counter(finding.what for finding in findings if finding.rule is Rule.SHEET_MISSING)
    many = {what for what, times in empty.items() if times > _MOST_ALIKE}
    alike: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.rule is Rule.SHEET_MISSING and finding.what in many:
            alike.setdefault(finding.what, []).append(finding)
        else:
            yield finding
    for what, same in alike.items():
        visits = [str(key) for key in map(_visit_of, same) if key is not None]
        named = f"{', '.join(visits[:_MOST_ALIKE])} and {len(visits) - _MOST_ALIKE} more"
        yield replace(same[0], subject=Subject(), what=f"{len(same)} visits: {what} They are {named}.")


def _visit_of(finding: Finding) -> VisitKey | None:
    subject = finding.subject
    return VisitKey(subject.route, subject.visit) if subject.visit is not None else None


def _season_findings(season: Season, network: RoadNetwork | None) -> Iterator[Finding]:
    for word, there in (("routes", season.routes), ("volunteers", season.volunteers)):
        if not there:
            yield Finding(
                Rule.SEASON_EMPTY,
                Severity.TROUBLE,
                Subject(),
                f"There are no {word} yet.",
                "Bring in their files in the Season room, or by dimpsy import FILE SOURCE... (its --help tells more).",
            )
    yield from _coordinator(season)
    yield from _zone(season)
    yield from zone_findings(season)
    for route in season.routes:
        if not route.points:
            yield Finding(
                Rule.ROUTE_POINTS,
                Severity.TROUBLE,
                Subject(route=route.code),
                "The route has no points yet, so it is not planned.",
                "Import its points as a table or a GPX file.",
            )
    if season.routes and network is None:
        yield _no_roads(season)
    yield from _memory(season.protocol)


def _coordinator(season: Season) -> Iterator[Finding]:
    if not season.coordinator.telephone:
        yield Finding(
            Rule.SEASON_COORDINATOR,
            Severity.TROUBLE,
            Subject(),
            "The coordinator has no telephone number: every paper tells people in the dark to ring it.",
            "Give it in the Season room, or by dimpsy coordinator FILE --telephone NUMBER.",
        )


def _zone(season: Season) -> Iterator[Finding]:
    """Judge the zone against the sun: no land keeps clocks further from it than about three hours."""
    first = next((point.place for route in season.routes for point in route.points), None)
    if first is None:
        return
    middle = dt.datetime.combine(season.dates.first, dt.time(12), tzinfo=season.tzinfo)
    offset = middle.utcoffset() or dt.timedelta(0)
    apart_hours = abs(offset.total_seconds() / 3600 - first.longitude / 15)
    apart_hours = min(apart_hours, 24 - apart_hours)
    if apart_hours > MOST_HOURS_FROM_SUN:
        yield Finding(
            Rule.SEASON_ZONE,
            Severity.TROUBLE,
            Subject(),
            f"The clocks of {season.zone} are {apart_hours:.0f} hours from the sun at {first}.",
            "One of the two is wrong: make the season again with the zone of the routes, or mend their coordinates.",
        )


def _no_roads(season: Season) -> Finding:
    if season.roads is None:
        recorded = season.drive_factors.estimates_doubt() is not None
        what = f"There is no road map. {RECORDED_ESTIMATES_WORDS if recorded else ESTIMATED_WORDS}"
        return Finding(
            Rule.ROADS_MISSING, Severity.DOUBT, Subject(), what, "Import an OpenStreetMap extract of the area."
        )
    what = f"The road map made from {season.roads.source_name} {LOST_WORDS}. {ESTIMATED_WORDS}"
    todo = f"Import {season.roads.source_name} again, or put its .npz file back beside the season file."
    return Finding(Rule.ROADS_MISSING, Severity.TROUBLE, Subject(), what, todo)


def _memory(protocol: Protocol) -> Iterator[Finding]:
    figures = list(dict.fromkeys(figure.words for figure in protocol.from_memory))
    if figures:
        yield Finding(
            Rule.PROTOCOL_UNVERIFIED,
            Severity.NOTE,
            Subject(),
            f"'{protocol.name}': {'; '.join(figures)} are from memory and nobody has verified them.",
            "Compare them with the survey's own instructions before relying on them.",
        )


def _stands(season: Season, plan: Plan) -> str:
    visits = len(season.routes) * len(season.protocol.visits)
    reserved = sum(visit.reserve is not None for visit in plan)
    planned = f"{len(plan)} of {visits} visits filled, {reserved} with a reserve date"
    routes, people = _counted(len(season.routes), "route"), _counted(len(season.volunteers), "volunteer")
    return f"{season.name}: {routes}, {people}, {planned}."


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}{'' if count == 1 else 's'}"
