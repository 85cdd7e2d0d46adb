"""One season from its plan to its reports: all planted mistakes are found, and none is invented."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from planner.domain.finding import Severity
from planner.domain.plan import Status
from planner.domain.reports.progress import VisitState
from planner.domain.reports.season_report import SeasonReport
from planner.store import SeasonFile
from planner.usecases.calibrating import Calibrated
from planner.usecases.checking import check
from tests.whole_season.mistakes import Expected, Returned
from tests.whole_season.planting import plant_in_visit_1, plant_in_visit_2
from tests.whole_season.story import Findings, Season

pytestmark = pytest.mark.xdist_group("whole season")

STORM = dt.date(2027, 5, 10)
AFTER_VISIT_1 = dt.date(2027, 5, 20)
AFTER_VISIT_2 = dt.date(2027, 7, 2)
WRITTEN_ANEW = ("R22", "R24")
"""Routes whose records had only been written down wrongly."""
REMADE = ("R16", "R18", "R20", "R21")
"""Routes whose visit 1 the protocol wants made again."""
SEED = 20270510


@dataclass(frozen=True, slots=True)
class Played:
    """What playing the season came to."""

    hit: int
    """Visits that the storm took."""
    unfilled_by_storm: int
    visit_1: Findings
    after_mending: frozenset[Expected]
    repaired: int
    calibrated: Calibrated
    factors: Mapping[str, float]
    again: frozenset[Expected]
    """What is said once visits were made again."""
    visit_2: Findings
    report: SeasonReport
    broken: tuple[str, ...]
    open: tuple[str, ...]
    """Visits in the plan that are not done at the end."""
    done: int
    log: tuple[str, ...]


@pytest.fixture(scope="module")
def played(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Played:
    """Play the demo season once; its log is printed (``pytest -s``)."""
    folder = tmp_path_factory.mktemp("season")
    path = Path(shutil.copytree(demo_folder, folder / "demo")) / "heath.dimpsy"
    log: list[str] = []

    def say(line: str) -> None:
        log.append(line)
        print(line)

    with SeasonFile.open(path) as file:
        factors = {route.code: 0.95 + 0.02 * (7 * n % 11) for n, route in enumerate(file.season().routes)}
        season = Season(file, factors, SEED, say)
        season.send(folder / "notices", dt.datetime(2027, 5, 1, 12, tzinfo=dt.UTC))
        before = len(file.plan())
        hit = len(season.storm(STORM))
        unfilled = before - len(file.plan())
        season.send(folder / "notices", dt.datetime(2027, 5, 10, 12, tzinfo=dt.UTC))
        returned, visit_1 = season.come_back(1, plant_in_visit_1)
        after_mending = season.mend(returned, WRITTEN_ANEW, AFTER_VISIT_1)
        repaired = season.repair(AFTER_VISIT_1)
        calibrated = season.calibrate(AFTER_VISIT_1)
        season.plan_again(AFTER_VISIT_1)
        again = season.come_back(1, nothing)[1].found
        visit_2 = season.come_back(2, plant_in_visit_2, known=again)[1]
        report = season.report(folder / "reports", AFTER_VISIT_2)
        return Played(
            hit=hit,
            unfilled_by_storm=unfilled,
            visit_1=visit_1,
            after_mending=frozenset(after_mending),
            repaired=repaired,
            calibrated=calibrated,
            factors=factors,
            again=again,
            visit_2=visit_2,
            report=report,
            broken=tuple(str(one) for one in check(file, AFTER_VISIT_2).findings if one.severity is Severity.BROKEN),
            open=tuple(str(visit.key) for visit in file.plan() if visit.status is not Status.DONE),
            done=sum(1 for visit in file.plan() if visit.status is Status.DONE),
            log=tuple(log),
        )


def nothing(_season: Season, _returned: Returned) -> None:
    """Plant no mistake."""


def test_that_the_storm_takes_one_evening_and_every_visit_gets_another(played: Played) -> None:
    assert played.hit == 16
    assert played.unfilled_by_storm == 0


def test_that_every_planted_mistake_of_visit_1_is_found_and_none_is_invented(played: Played) -> None:
    assert len(played.visit_1.expected) == 16
    assert played.visit_1.missed == frozenset()
    assert played.visit_1.invented == frozenset()


def test_that_after_mending_only_what_the_protocol_wants_made_again_is_said(played: Played) -> None:
    assert {route for _, route, _, _ in played.after_mending} == set(REMADE)
    assert played.repaired == len(REMADE)


def test_that_visits_made_again_are_whole_and_silent(played: Played) -> None:
    assert played.again == frozenset()


def test_that_every_planted_mistake_of_visit_2_is_found_and_none_is_invented(played: Played) -> None:
    assert played.visit_2.missed == frozenset()
    assert played.visit_2.invented == frozenset()


def test_that_calibration_gives_the_true_factors_within_the_range_it_says(played: Played) -> None:
    """Against the factors that the evenings were driven with: the season's for sure, of the routes nine in ten."""
    found = played.calibrated
    assert found.season is not None
    mean = sum(played.factors[one.route] for one in found.routes) / len(found.routes)
    assert found.season.least <= mean <= found.season.most
    assert found.season.after == pytest.approx(mean, abs=0.03)
    held = [
        one.least <= played.factors[one.route] / found.season.after <= one.most
        for one in found.routes
        if one.own and one.least is not None and one.most is not None
    ]
    assert len(held) >= 20
    assert sum(held) >= 0.9 * len(held)


def test_that_the_season_ends_done_and_its_report_adds_up(played: Played) -> None:
    progress = played.report.progress
    done = sum(1 for one in progress.standings if one.state is VisitState.DONE)
    assert done == played.done
    assert played.open == ()
    assert played.broken == ()


def test_that_the_log_tells_the_season_in_order(played: Played) -> None:
    begins = [line.split()[0] for line in played.log if not line.startswith(" ")]
    assert begins == [
        "Notices:",
        "Storm",
        "Notices:",
        "Visit",
        "Mended:",
        "Calibration:",
        "Planned",
        "Visit",
        "Visit",
        "Reports:",
    ]
