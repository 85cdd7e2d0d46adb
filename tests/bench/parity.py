"""Drive times on real extracts, ours beside igraph's on a graph of allowed turns; the largest difference in seconds."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from tests.unit.travel.parity import parity, with_restrictions
from tests.unit.travel.real_extracts import Extract, NotToBeHadError, obtain

_GENERATED = {Extract.TOWN: 60, Extract.HELSINKI: 0, Extract.GOTHENBURG: 1500}
"""Turn restrictions added at random where an extract brings few or none."""


def run(arguments: list[str]) -> dict[str, object]:
    """Compare all pairs of random places on each extract.

    Args:
        arguments: ``--places N`` on each extract; ``--seed N``; ``--extracts NAME...``, all by default.
    """
    parser = argparse.ArgumentParser(prog="parity")
    parser.add_argument("--places", type=int, default=33)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--extracts", nargs="+", choices=[one.name.lower() for one in Extract], default=None)
    options = parser.parse_args(arguments)
    rows, absent = [], []
    with tempfile.TemporaryDirectory() as folder:
        for extract, added in _GENERATED.items():
            if options.extracts and extract.name.lower() not in options.extracts:
                continue
            try:
                path = obtain(extract)
            except NotToBeHadError as error:
                absent.append(str(error))
                continue
            if added:
                path = with_restrictions(path, Path(folder) / f"{extract.name}.osm.pbf", added, options.seed)
            found = parity(path, options.places, options.seed)
            rows.append(
                {
                    "extract": extract.name.lower(),
                    "pairs": found.pairs,
                    "oneway_pieces": found.oneway_pieces,
                    "restrictions_added": added,
                    "turns_forbidden": found.bans,
                    "pairs_they_change": found.changed,
                    "worst_seconds": round(found.worst_seconds, 6),
                }
            )
    return {"parity": rows, "not_to_be_had": absent, "roads": "© OpenStreetMap contributors, ODbL"}
