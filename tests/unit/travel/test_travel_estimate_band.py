"""The band of an estimate, against drive minutes on real roads."""

from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from planner.domain.travel import ESTIMATE_BAND
from planner.travel import RoadNetwork
from planner.travel.estimate import CAUTIOUS_SHARE
from tests.unit.travel.detours import CLASSES_KM, Pairs, all_pairs, route_ratios
from tests.unit.travel.real_extracts import Extract, real_extract


@pytest.fixture(scope="module", params=list(Extract), ids=lambda extract: extract.name.lower())
def network(request: pytest.FixtureRequest) -> RoadNetwork:
    extract: Extract = request.param
    return _read(extract)


@cache
def _read(extract: Extract) -> RoadNetwork:
    return RoadNetwork.read(real_extract(extract))


@pytest.fixture(scope="module")
def pairs(network: RoadNetwork) -> Pairs:
    return all_pairs(network, 150, seed=3)


def test_that_nine_of_ten_drives_on_real_roads_lie_in_the_band_whatever_their_length(pairs: Pairs) -> None:
    assert len(pairs) > 10_000
    assert pairs.in_band.mean() >= 0.9
    judged = [part for low, high in pairwise(CLASSES_KM) if len(part := pairs.between(low, high)) >= 500]
    assert len(judged) >= 3
    assert min(float(part.in_band.mean()) for part in judged) >= 0.9


def test_that_nine_of_ten_drives_over_2_km_take_no_longer_than_plans_reckon_with(pairs: Pairs) -> None:
    far = pairs.between(2.0, np.inf)
    if len(far):
        assert (far.ratios <= CAUTIOUS_SHARE).mean() >= 0.9


def test_that_the_legs_of_nine_of_ten_routes_together_take_no_longer_than_plans_reckon_with() -> None:
    ratios = route_ratios(_read(Extract.GOTHENBURG), 25, seed=2)
    assert len(ratios) >= 20
    assert (ratios <= CAUTIOUS_SHARE).mean() >= 0.9


def test_that_the_band_is_said_in_figures() -> None:
    assert str(ESTIMATE_BAND) == "35 % less than the estimate, or 100 % and 3 minutes more"
