"""The season as it is played: plan, storm, repair, records with mistakes, calibration, visit 2, reports; with a log."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from planner.domain.disruption import EveningCancelled
from planner.domain.field.absent_class import AbsentClass
from planner.domain.field.habitat_sheet import HabitatSheet, SheetKey
from planner.domain.plan import PlannedVisit, Status, VisitKey
from planner.domain.reports.season_report import SeasonReport
from planner.scheduling import SeasonProblem
from planner.store import SeasonFile
from planner.usecases.calibrating import Calibrated, calibration, use_calibration
from planner.usecases.checking import check
from planner.usecases.evening.cancelling import accept, ways_of, ways_on
from planner.usecases.plan.planning import plan
from planner.usecases.records import breaks, judge_record, keep_records
from planner.usecases.reports import ReportWish, report_of, write_report
from planner.usecases.season.opening import whole_road_network
from planner.usecases.season.problem import season_problem
from planner.usecases.sending.send import send_files
from planner.usecases.sheets import forget_sheets, keep_sheets, mark_absent
from tests.whole_season.evenings import Evenings
from tests.whole_season.ground import Ground
from tests.whole_season.mistakes import Expected, Returned, place_of

FROM_THE_FIELD = ("sheet.", "record.", "photo.")
"""What the names of findings on sheets, records and photos begin with."""
Say = Callable[[str], None]
Plant = Callable[["Season", Returned], None]


@dataclass(frozen=True, slots=True)
class Findings:
    """What was said of what came back, and what had to be said."""

    expected: frozenset[Expected]
    found: frozenset[Expected]

    @property
    def missed(self) -> frozenset[Expected]:
        """Planted and not found."""
        return self.expected - self.found

    @property
    def invented(self) -> frozenset[Expected]:
        """Found and not planted."""
        return self.found - self.expected


class Season:
    """The demo season while it is played."""

    def __init__(self, file: SeasonFile, factors: Mapping[str, float], seed: int, say: Say) -> None:
        """Begin a season.

        Args:
            file: the planned demo, open for writing.
            factors: what the drives of each route really take, as a multiple of what the map says.
            seed: of the ground and of the small differences between evenings.
            say: told each line of the log.
        """
        self.file, self.factors, self.seed, self.say = file, dict(factors), seed, say
        season = file.season()
        assert season.protocol.habitat is not None
        self.ground = Ground(season.protocol.habitat, season.routes, seed)
        self.absent: set[AbsentClass] = set()
        self.honest = Returned({}, {})
        """What came back last, as it would have been without mistakes."""
        self._as_mapped = self.problem(season.dates.first)

    def problem(self, today: dt.date) -> SeasonProblem:
        """Return the season with its light and drives, as it stands."""
        season = self.file.season()
        return season_problem(season, whole_road_network(self.file.path, season.roads), today)

    def visits(self, number: int) -> tuple[PlannedVisit, ...]:
        """Return the visits of a number that are planned and not done."""
        return tuple(one for one in self.file.plan() if one.key.number == number and one.status is not Status.DONE)

    def storm(self, date: dt.date) -> tuple[VisitKey, ...]:
        """Lose an evening to a storm and accept the first way on; return the visits it took."""
        hit = tuple(visit.key for visit in self.file.plan() if visit.date == date)
        ways = ways_on(self.file, EveningCancelled(date), today=date)
        done = accept(self.file, ways, 1)
        self.say(f"Storm on {date:%a} {date.day} {date:%b}: {len(hit)} visits lost their evening. {done.label}.")
        return hit

    def send(self, folder: Path, now: dt.datetime) -> None:
        """Write everybody's files."""
        sent = send_files(self.file, folder, None, now)
        states = [one.news.value for one in sent.people]
        counted = ", ".join(f"{states.count(state)} {state}" for state in dict.fromkeys(states))
        self.say(f"Notices: {counted}.")

    def come_back(
        self, number: int, plant: Plant, known: frozenset[Expected] = frozenset()
    ) -> tuple[Returned, Findings]:
        """Let everything of a visit come back, with mistakes, and return what is said of it and was not known."""
        visits = self.visits(number)
        today = max(visit.date for visit in visits) + dt.timedelta(days=1)
        evenings = Evenings(self._as_mapped, self.factors, self.seed + number)
        records = {one.key: one for one in map(evenings.record, visits)}
        self.honest = Returned({one.key: one for one in self._sheets(visits)}, records)
        returned = Returned(dict(self.honest.sheets), dict(records))
        plant(self, returned)
        keep_records(self.file, list(returned.records.values()), today)
        keep_sheets(self.file, list(returned.sheets.values()))
        found = self.said(today)
        self.say(f"Visit {number}: {len(returned.records)} records and {len(returned.sheets)} sheets came back.")
        for words in returned.planted:
            self.say(f"  planted: {words}")
        return returned, Findings(frozenset(returned.expected), frozenset(found) - known)

    def mend(self, returned: Returned, records: Iterable[str], today: dt.date) -> set[Expected]:
        """Let people be asked and sheets corrected, and the records of some routes; return what is still said."""
        honest = self.honest
        keep_sheets(self.file, list(honest.sheets.values()))
        forget_sheets(self.file, [key for key in returned.sheets if key not in honest.sheets])
        routes = set(records)
        keep_records(self.file, [one for key, one in honest.records.items() if key.route in routes], today)
        self.say(
            f"Mended: {len(returned.planted)} mistakes looked into;"
            f" records of {', '.join(sorted(routes))} written anew."
        )
        return self.said(today)

    def said(self, today: dt.date) -> set[Expected]:
        """Return what a check says of sheets, records and photos."""
        findings = check(self.file, today).findings
        return {place_of(one) for one in findings if one.rule.value.startswith(FROM_THE_FIELD)}

    def repair(self, today: dt.date) -> int:
        """Accept the first way on for each visit that its record left open; return how many there were."""
        repaired, problem = 0, self.problem(today)
        for record in self.file.records():
            stands = self.file.plan()
            broken = breaks(judge_record(problem, stands, record, self.file.records()))
            if broken is None:
                continue
            ways = ways_of(self.file.season(), stands, problem, broken)
            self.say(f"  {accept(self.file, ways, 1).label}")
            repaired += 1
        return repaired

    def calibrate(self, today: dt.date) -> Calibrated:
        """Plan with what was driven from now on."""
        season = self.file.season()
        network = whole_road_network(self.file.path, season.roads)
        found = calibration(self.problem(today), self.file.plan(), network, self.file.records())
        use_calibration(self.file, found.factors)
        assert found.season is not None
        self.say(
            f"Calibration: {len(found.legs)} drives, {len(found.left_out)} left out; the season's drives take"
            f" {found.season.after:.2f} of what the map says; {len(found.factors.routes)} routes have their own factor."
        )
        return found

    def plan_again(self, today: dt.date) -> None:
        """Plan what is still to come."""
        planned = plan(self.file, today=today)
        self.say(f"Planned again: {len(planned.result.plan)} visits, {len(planned.result.explanations)} explained.")

    def report(self, folder: Path, today: dt.date) -> SeasonReport:
        """Write the reports and print their figures."""
        report, found = report_of(self.file, today)
        written = write_report(report, found, folder, ReportWish())
        self.say(f"Reports: {', '.join(one.path.name for one in written.files)}.")
        return report

    def mark_absent(self, absent: Iterable[AbsentClass]) -> None:
        """Let the coordinator say what cannot be on a route."""
        mark_absent(self.file, absent)

    def _sheets(self, visits: Iterable[PlannedVisit]) -> Iterable[HabitatSheet]:
        season = self.file.season()
        for visit in visits:
            date = visit.setup or visit.date
            for point in season.route(visit.key.route).points:
                key = SheetKey(visit.key.route, visit.key.number, point.number, visit.lead)
                yield self.ground.sheet(key, date, roughly=visit.key.number > 1)
