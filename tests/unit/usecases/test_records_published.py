"""Records under published protocols, timed by hand from the sunsets of an outside almanac.

Sunset is that of ``ephem``, its upper limb 34' below the horizon: 90° 50' for the centre, as HM Nautical Almanac
Office information sheet 7 and the US Naval Observatory define it. The protocols' figures and their sources stand in
the shipped protocol files.
"""

from __future__ import annotations

import datetime as dt
import zoneinfo
from collections.abc import Sequence
from dataclasses import dataclass, replace

import ephem

from planner.domain.calendar import DateRange
from planner.domain.conditions import Condition, Share
from planner.domain.disruption import Remains
from planner.domain.field.visit_record import PointRecord, RecordKey, RecordState, VisitRecord
from planner.domain.finding import Finding, Rule, Severity
from planner.domain.geo import Place
from planner.domain.plan import Plan, PlannedVisit, VisitKey
from planner.domain.route import Point, Route
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.domain.weather import Quantity
from planner.exchange import shipped_protocol
from planner.scheduling import SeasonProblem
from planner.usecases.records import Judged, judge_record
from planner.usecases.season.problem import season_problem

MAY = dt.date(2027, 5, 12)


@dataclass(frozen=True)
class Survey:
    """One route under a shipped protocol, and its visit on one date."""

    problem: SeasonProblem
    plan: Plan
    places: tuple[Place, ...]

    @classmethod
    def of(cls, protocol: str, points: int, start: tuple[float, float], zone: str, step_deg: float) -> Survey:
        """A route that runs east from a place, in steps of so many degrees of longitude."""
        rules = shipped_protocol(protocol)
        places = tuple(Place(start[0], start[1] + step_deg * number) for number in range(points))
        route = Route("R1", "Invented Road", tuple(Point(k, place) for k, place in enumerate(places, start=1)))
        dates = DateRange(MAY - dt.timedelta(days=2), MAY + dt.timedelta(days=2))
        season = Season(
            "Published", rules, zone, dates, (dates,) * len(rules.visits), routes=(route,), volunteers=(HELEN,)
        )
        window = rules.windows[0].name
        plan = Plan((PlannedVisit(VisitKey("R1", 1), "V1", MAY, window),))
        return cls(season_problem(season, None, MAY + dt.timedelta(days=1)), plan, places)

    def sunset(self, point: int) -> dt.datetime:
        """Sunset of the date at a point, by the outside almanac."""
        observer = ephem.Observer()
        place = self.places[point - 1]
        observer.lat, observer.lon = str(place.latitude), str(place.longitude)
        observer.pressure, observer.horizon = 0, "-0:34"
        noon = dt.datetime.combine(MAY, dt.time(12), tzinfo=self.problem.season.tzinfo).astimezone(dt.UTC)
        observer.date = ephem.Date(noon.replace(tzinfo=None))
        sets: dt.datetime = observer.next_setting(ephem.Sun()).datetime()
        return sets.replace(tzinfo=dt.UTC)

    def after_sunset(self, point: int, minutes: float, run: int = 1) -> PointRecord:
        """A count at a point that began so many minutes after its own sunset."""
        return self.began(point, self.sunset(point) + dt.timedelta(minutes=minutes), run)

    def began(self, point: int, moment: dt.datetime, run: int = 1) -> PointRecord:
        """A count of the protocol's length that began at a moment."""
        counted = dt.timedelta(minutes=self.problem.season.protocol.count.counted_minutes)
        return PointRecord(point, run, None, moment, moment + counted)

    def judged(self, counts: Sequence[PointRecord], cloud: float | None = None) -> Judged:
        """What is said of a record of these counts."""
        sky = () if cloud is None else (Condition(Quantity.CLOUD, Share(cloud, "%")),)
        record = VisitRecord(RecordKey("R1", 1, MAY), ("V1",), tuple(counts), sky, sky, state=RecordState.FINAL)
        return judge_record(self.problem, self.plan, record)


HELEN = Volunteer("V1", "Helen Orchard", Place(44.0, -72.2), telephone="07700 900201")


def light_findings(judged: Judged) -> list[tuple[int | None, str]]:
    """Points and words of what is said about the light."""
    return [(one.subject.point, one.what) for one in judged.findings if one.rule is Rule.RECORD_WINDOW]


def worse_than_notes(judged: Judged) -> list[Finding]:
    return [one for one in judged.findings if one.severity is not Severity.NOTE]


def test_that_frogs_are_heard_from_half_an_hour_after_sunset_until_one_o_clock() -> None:
    """Frog call survey, three periods: from sunset + 30 min, end by 01:00 by the clock, stops in the order 1 to 10."""
    survey = Survey.of("frogs_three_periods", 10, (44.0, -72.4), "America/New_York", 0.02)
    good = [survey.after_sunset(point, 31 + 12 * (point - 1)) for point in range(1, 11)]
    assert worse_than_notes(survey.judged(good)) == []
    one = dt.datetime.combine(MAY + dt.timedelta(days=1), dt.time(1), tzinfo=zoneinfo.ZoneInfo("America/New_York"))
    on_the_minute = [*good[:9], survey.began(10, one.astimezone(dt.UTC) - dt.timedelta(minutes=5))]
    assert worse_than_notes(survey.judged(on_the_minute)) == []
    late = survey.judged([*good[:9], survey.began(10, one.astimezone(dt.UTC) - dt.timedelta(minutes=2))])
    assert light_findings(late) == [
        (10, "The count at point 10 ended at 01:03, 3 min after its light window closes at 01:00.")
    ]
    assert (late.follows, late.points_that_count) == (Remains.WHOLE, tuple(range(1, 10)))
    early = survey.judged([survey.after_sunset(1, 27), *good[1:]])
    assert [point for point, _ in light_findings(early)] == [1]
    assert "3 min before its light window opens" in light_findings(early)[0][1]


def test_that_each_point_of_a_long_route_has_its_own_sunset() -> None:
    """A point 0.9° of longitude further east has its sunset 3.6 minutes earlier (360° in 24 hours)."""
    survey = Survey.of("frogs_three_periods", 10, (44.0, -72.4), "America/New_York", 0.1)
    east_earlier = (survey.sunset(1) - survey.sunset(10)).total_seconds() / 60
    assert abs(east_earlier - 3.6) < 0.1
    good = [survey.after_sunset(point, 31 + 12 * (point - 1)) for point in range(1, 11)]
    first_by_the_last = survey.began(1, survey.sunset(10) + dt.timedelta(minutes=30))
    assert [point for point, _ in light_findings(survey.judged([first_by_the_last, *good[1:]]))] == [1]
    turned = [survey.began(10, survey.sunset(10) + dt.timedelta(minutes=30)), *good[1:9]]
    assert light_findings(survey.judged(turned)) == [], "the same moment is inside at the last point"


def test_that_two_species_have_a_window_for_each_pass_and_the_second_goes_back() -> None:
    """Nightjars, two species: outward from sunset - 30 min, back from sunset + 30 min, in reverse."""
    survey = Survey.of("nightjars_two_species_two_passes", 6, (49.6, -119.6), "America/Vancouver", 0.022)
    out = [survey.after_sunset(point, -29 + 10 * (point - 1)) for point in range(1, 7)]
    back = [survey.after_sunset(point, 31 + 10 * (6 - point), run=2) for point in range(6, 0, -1)]
    assert out[-1].ended_utc is not None
    good = survey.judged([*out[:5], survey.after_sunset(6, 23), *back])
    assert worse_than_notes(good) == []
    assert good.follows is Remains.NOTHING
    hasty = survey.judged([*out[:5], survey.after_sunset(6, 12), survey.after_sunset(6, 20, run=2), *back[1:]])
    assert [point for point, _ in light_findings(hasty)] == [6]
    assert "point 6, pass 2" in light_findings(hasty)[0][1]
    forward_again = [replace(one, point=7 - one.point) for one in back]
    wrong = survey.judged([*out[:5], survey.after_sunset(6, 23), *forward_again])
    assert [one.severity for one in wrong.findings if one.rule is Rule.RECORD_ORDER] == [Severity.TROUBLE]


def test_that_woodcock_begin_earlier_under_an_overcast_sky_and_are_over_in_38_minutes() -> None:
    """Singing-ground survey: start at sunset + 22 min, + 15 min under more than three quarters of cloud; 38 min."""
    survey = Survey.of("woodcock_singing_ground", 10, (44.0, -72.4), "America/New_York", 0.008)

    def counts(first: float) -> list[PointRecord]:
        opens = survey.sunset(1) + dt.timedelta(minutes=first)
        return [survey.began(point, opens + dt.timedelta(minutes=4 * (point - 1))) for point in range(1, 11)]

    for first, cloud in ((22.0, 75.0), (22.0, 10.0), (15.0, 80.0)):
        assert light_findings(survey.judged(counts(first), cloud)) == []
    early = light_findings(survey.judged(counts(15.0), 75.0))
    assert [point for point, _ in early] == [1, 2], "sunset + 15 and + 19 lie before sunset + 22, + 23 does not"
    unsaid = survey.judged(counts(15.0))
    assert [one.severity for one in unsaid.findings if one.rule is Rule.RECORD_WINDOW] == [Severity.DOUBT]
    late = light_findings(survey.judged(counts(29.0), 80.0))
    assert sorted(point or 0 for point, _ in late) == [1, 7, 8, 9, 10], "14 minutes late; from 53 minutes on it is over"
    slow = [*counts(22.0)[:9], survey.began(10, survey.sunset(1) + dt.timedelta(minutes=22 + 38))]
    assert [point for point, _ in light_findings(survey.judged(slow, 10.0))] == [10]
