"""How far drives by road lie from the estimate without roads, on the real networks of the tests."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from planner.domain.travel import ESTIMATE_BAND
from planner.travel import RoadNetwork, geodesic_metres
from planner.travel.estimate import CAUTIOUS_SHARE
from tests.unit.travel.detours import CLASSES_KM, Pairs, all_pairs, random_places, route_ratios
from tests.unit.travel.real_extracts import Extract, NotToBeHadError, obtain

_QUANTILES = (0.05, 0.5, 0.95)
_FEWEST = 100


def run(arguments: list[str]) -> dict[str, object]:
    """Print, by network and class of distance, road metres to crow's metres and road minutes to estimated ones.

    ``in_band`` is the share of pairs inside the band that is said wherever an estimate is shown, ``within_cautious``
    the share that takes no longer than what plans reckon with.

    Args:
        arguments: ``--places N`` on each network, of which all pairs are taken; ``--ways N`` whose lines are measured;
            ``--seed N``; ``--extracts NAME...``, all by default.
    """
    parser = argparse.ArgumentParser(prog="detour")
    parser.add_argument("--places", type=int, default=300)
    parser.add_argument("--ways", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--extracts", nargs="+", choices=[one.name.lower() for one in Extract], default=None)
    options = parser.parse_args(arguments)
    pairs: list[Mapping[str, object]] = []
    routes: list[Mapping[str, object]] = []
    absent = []
    for extract in Extract:
        if options.extracts and extract.name.lower() not in options.extracts:
            continue
        try:
            network = RoadNetwork.read(obtain(extract))
        except NotToBeHadError as error:
            absent.append(str(error))
            continue
        metres = _way_ratios(network, options.ways, options.seed)
        pairs += _rows(extract.name.lower(), all_pairs(network, options.places, options.seed), metres)
        routes.append({"network": extract.name.lower(), **_spread(route_ratios(network, 60, options.seed))})
    return {
        "band": str(ESTIMATE_BAND),
        "cautious_share": CAUTIOUS_SHARE,
        "pairs": pairs,
        "legs_of_routes_together": routes,
        "not_to_be_had": absent,
        "roads": "© OpenStreetMap contributors, ODbL",
    }


def _rows(network: str, pairs: Pairs, ways: npt.NDArray[np.float64]) -> Iterator[Mapping[str, object]]:
    for low, high in pairwise(CLASSES_KM):
        part = pairs.between(low, high)
        if len(part) < _FEWEST:
            continue
        metres = ways[(ways[:, 0] >= low) & (ways[:, 0] < high), 1]
        yield {
            "network": network,
            "km": f"{low:g} to {high:g}",
            **{f"metres_{name}": value for name, value in _spread(metres).items()},
            **{f"minutes_{name}": value for name, value in _spread(part.ratios).items()},
            "in_band": round(float(part.in_band.mean()), 3),
            "within_cautious": round(float((part.ratios <= CAUTIOUS_SHARE).mean()), 3),
        }


def _way_ratios(network: RoadNetwork, count: int, seed: int) -> npt.NDArray[np.float64]:
    """Return kilometres as the crow flies, and metres along the quickest way for each metre of them, shape (n, 2)."""
    rows = []
    for here, there in pairwise(random_places(network, count + 1, seed + 1).tolist()):
        line, crow_m = network.path(tuple(here), tuple(there)), geodesic_metres(tuple(here), tuple(there))
        if line and crow_m > 0.0:
            rows.append((crow_m / 1000.0, sum(geodesic_metres(a, b) for a, b in pairwise(line)) / crow_m))
    return np.array(rows)


def _spread(ratios: npt.NDArray[np.float64]) -> dict[str, object]:
    if not len(ratios):
        return {"count": 0, **{f"p{quantile * 100:.0f}": None for quantile in _QUANTILES}}
    values = np.quantile(ratios, _QUANTILES)
    spread = {
        f"p{quantile * 100:.0f}": round(float(value), 2) for quantile, value in zip(_QUANTILES, values, strict=True)
    }
    return {"count": len(ratios), **spread}
