"""Turn restrictions of a file, as the manoeuvres they forbid.

What each means: the OpenStreetMap wiki, Relation:restriction, Tag:restriction=no_entry, Tag:restriction=no_exit.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path

import pytest

from planner.travel import RoadNetwork
from tests.unit.travel.road_maps import RESIDENTIAL, Node, Tags, Way, osm_text

Relation = tuple[Sequence[tuple[str, int, str]], Tags]

PLACES: dict[str, tuple[int, tuple[float, float]]] = {
    "W": (1, (50.0, 10.0)),
    "C": (2, (50.0, 10.01)),
    "D": (3, (50.0, 10.02)),
    "E": (4, (50.0, 10.03)),
    "N": (5, (50.01, 10.01)),
    "S": (6, (49.99, 10.01)),
    "M": (7, (50.01, 10.02)),
    "T": (8, (49.99, 10.02)),
}
"""Two crossings C and D side by side, with a road to each side."""
WAYS = ("WC", "CD", "DE", "CN", "CS", "DM", "DT")
NUMBERS = {way: number for number, way in enumerate(WAYS, start=1)}


def _network(
    folder: Path, *relations: Relation, ways: Sequence[str] = WAYS, tags: Mapping[str, Tags] | None = None
) -> RoadNetwork:
    nodes: dict[int, Node] = dict(PLACES.values())
    lines: list[Way] = [([PLACES[letter][0] for letter in way], (tags or {}).get(way, RESIDENTIAL)) for way in ways]
    return _read(folder, nodes, lines, *relations)


def _read(folder: Path, nodes: Mapping[int, Node], lines: Sequence[Way], *relations: Relation) -> RoadNetwork:
    text = osm_text(nodes, lines).removesuffix("</osm>")
    for number, (members, said) in enumerate(relations, start=1):
        inside = "".join(f'<member type="{kind}" ref="{ref}" role="{role}"/>' for kind, ref, role in members)
        inside += "".join(f'<tag k="{key}" v="{value}"/>' for key, value in said.items())
        text += f'<relation id="{number}">{inside}</relation>'
    path = folder / "turns.osm"
    path.write_text(text + "</osm>", encoding="utf-8")
    return RoadNetwork.read(path)


def _turn(start: str, via: str, end: str, value: str, **tags: str) -> Relation:
    """Return a restriction from one way over a node, or over ways, to another."""
    vias = [("node", PLACES[via][0], "via")] if len(via) == 1 else [("way", NUMBERS[w], "via") for w in via.split()]
    members = [("way", NUMBERS[start], "from"), *vias, ("way", NUMBERS[end], "to")]
    return members, {
        "type": "restriction",
        "restriction": value,
        **{key.replace("__", ":"): v for key, v in tags.items()},
    }


def _bans(network: RoadNetwork) -> set[str]:
    """Return what is forbidden as the letters of the nodes it leads through."""
    roads = network.roads
    letters = {place: letter for letter, (_, place) in PLACES.items()}

    def letter(node: int) -> str:
        return letters[float(roads.node_latitudes[node]), float(roads.node_longitudes[node])]

    found = set()
    for first, last in zip(roads.banned_starts[:-1].tolist(), roads.banned_starts[1:].tolist(), strict=True):
        ends = [
            (int(roads.tails[arc // 2]), int(roads.heads[arc // 2]))[:: 1 - 2 * (arc % 2)]
            for arc in roads.banned_arcs[first:last].tolist()
        ]
        assert all(one[1] == following[0] for one, following in pairwise(ends))
        found.add(letter(ends[0][0]) + "".join(letter(end) for _, end in ends))
    return found


@pytest.mark.parametrize(
    ("turn", "bans"),
    [
        (_turn("WC", "C", "CN", "no_left_turn"), {"WCN"}),
        (_turn("CN", "C", "WC", "no_right_turn"), {"NCW"}),
        (_turn("WC", "C", "CD", "no_straight_on"), {"WCD"}),
        (_turn("WC", "C", "WC", "no_u_turn"), {"WCW"}),
        (_turn("CD", "D", "CD", "no_u_turn"), {"CDC"}),
        (_turn("WC", "C", "CN", "only_left_turn"), {"WCD", "WCS", "WCW"}),
        (_turn("WC", "C", "CD", "only_straight_on"), {"WCN", "WCS", "WCW"}),
        (_turn("CN", "CD", "DM", "no_u_turn"), {"NCDM"}),
        (_turn("WC", "CD", "DT", "no_right_turn"), {"WCDT"}),
        (_turn("WC", "CD", "DE", "only_straight_on"), {"WCDM", "WCDT", "WCDC"}),
        (_turn("WC", "C", "CN", "no_left_turn;no_u_turn"), {"WCN"}),
    ],
)
def test_that_a_restriction_forbids_what_the_wiki_says_it_does(tmp_path: Path, turn: Relation, bans: set[str]) -> None:
    network = _network(tmp_path, turn)
    assert _bans(network) == bans
    assert "1 turn restriction is kept." in network.roads.notes


def test_that_no_entry_has_many_ways_in_and_no_exit_many_ways_out(tmp_path: Path) -> None:
    entry = [
        ("way", NUMBERS["WC"], "from"),
        ("way", NUMBERS["CS"], "from"),
        ("node", 2, "via"),
        ("way", NUMBERS["CN"], "to"),
    ]
    out = [
        ("way", NUMBERS["CD"], "from"),
        ("node", 3, "via"),
        ("way", NUMBERS["DM"], "to"),
        ("way", NUMBERS["DT"], "to"),
    ]
    network = _network(
        tmp_path,
        (entry, {"type": "restriction", "restriction": "no_entry"}),
        (out, {"type": "restriction", "restriction": "no_exit"}),
    )
    assert _bans(network) == {"WCN", "SCN", "CDM", "CDT"}


@pytest.mark.parametrize(
    ("tags", "kept"),
    [
        ({}, True),
        ({"except": "bicycle;psv"}, True),
        ({"except": "psv; motorcar"}, False),
        ({"except": "motor_vehicle"}, False),
        ({"except": "vehicle"}, False),
        ({"restriction__hgv": "no_left_turn"}, True),
    ],
)
def test_that_vehicles_named_as_exceptions_are_exceptions(tmp_path: Path, tags: dict[str, str], kept: bool) -> None:
    assert _bans(_network(tmp_path, _turn("WC", "C", "CN", "no_left_turn", **tags))) == ({"WCN"} if kept else set())


@pytest.mark.parametrize(
    ("tags", "bans"),
    [
        ({"type": "restriction", "restriction:motorcar": "no_left_turn"}, {"WCN"}),
        ({"type": "restriction", "restriction:motor_vehicle": "no_left_turn"}, {"WCN"}),
        ({"type": "restriction:motorcar", "restriction": "no_left_turn"}, {"WCN"}),
        ({"type": "restriction", "restriction:hgv": "no_left_turn"}, set()),
        ({"type": "restriction:hgv", "restriction": "no_left_turn"}, set()),
        ({"type": "restriction", "restriction": "only_left_turn", "restriction:motorcar": "no_left_turn"}, {"WCN"}),
    ],
)
def test_that_a_restriction_for_cars_counts_and_one_for_lorries_does_not(
    tmp_path: Path, tags: dict[str, str], bans: set[str]
) -> None:
    network = _network(tmp_path, (_turn("WC", "C", "CN", "no_left_turn")[0], tags))
    assert _bans(network) == bans
    assert not any("not understood" in note or "hours" in note for note in network.roads.notes)


@pytest.mark.parametrize(
    "tags",
    [
        {"restriction:conditional": "no_left_turn @ (Mo-Fr 07:00-09:00)"},
        {"restriction:motorcar:conditional": "no_left_turn @ (Jul)"},
        {"restriction": "no_left_turn", "hour_on": "07:00", "hour_off": "09:00"},
    ],
)
def test_that_a_restriction_by_hour_is_counted_and_not_kept(tmp_path: Path, tags: dict[str, str]) -> None:
    network = _network(tmp_path, (_turn("WC", "C", "CN", "no_left_turn")[0], {"type": "restriction", **tags}))
    assert _bans(network) == set()
    assert "1 turn restriction holds at some hours only: not looked at." in network.roads.notes


UNCLEAR = "1 turn restriction is not understood: left out."
ELSEWHERE = "1 turn restriction names roads that are not for cars or lie beyond the border: left out."


@pytest.mark.parametrize(
    ("members", "value", "note"),
    [
        ([("way", 1, "from"), ("way", 4, "to")], "no_left_turn", UNCLEAR),
        ([("way", 1, "from"), ("node", 2, "via")], "no_left_turn", UNCLEAR),
        ([("node", 2, "via"), ("way", 4, "to")], "no_left_turn", UNCLEAR),
        ([("way", 1, "from"), ("node", 2, "via"), ("node", 3, "via"), ("way", 4, "to")], "no_left_turn", UNCLEAR),
        ([("way", 1, "from"), ("way", 2, "from"), ("node", 2, "via"), ("way", 4, "to")], "no_left_turn", UNCLEAR),
        ([("way", 1, "from"), ("node", 2, "via"), ("way", 4, "to")], "no_dancing", UNCLEAR),
        ([("way", 1, "from"), ("node", 2, "via"), ("way", 4, "to")], "no_left_turn;only_right_turn", UNCLEAR),
        ([("way", 1, "from"), ("way", 7, "via"), ("way", 4, "to")], "no_left_turn", UNCLEAR),
        ([("way", 1, "from"), ("node", 2, "via"), ("way", 99, "to")], "no_left_turn", ELSEWHERE),
        ([("way", 99, "from"), ("node", 2, "via"), ("way", 4, "to")], "no_left_turn", ELSEWHERE),
        ([("way", 1, "from"), ("node", 99, "via"), ("way", 4, "to")], "only_left_turn", ELSEWHERE),
        ([("way", 1, "from"), ("node", 3, "via"), ("way", 3, "to")], "no_straight_on", ""),
    ],
)
def test_that_what_cannot_be_understood_is_counted_never_guessed(
    tmp_path: Path, members: list[tuple[str, int, str]], value: str, note: str
) -> None:
    network = _network(tmp_path, (members, {"type": "restriction", "restriction": value}))
    assert _bans(network) == set()
    assert [said for said in network.roads.notes if "turn restriction" in said] == ([note] if note else [])


def test_that_a_way_that_goes_on_beyond_the_junction_leaves_it_unclear(tmp_path: Path) -> None:
    ways = ("WCD", "CN", "CS")
    members = [("way", 1, "from"), ("node", 2, "via"), ("way", 2, "to")]
    network = _network(tmp_path, (members, {"type": "restriction", "restriction": "no_left_turn"}), ways=ways)
    assert _bans(network) == set()
    assert UNCLEAR in network.roads.notes


def test_that_a_junction_of_hundreds_of_roads_leaves_what_it_allows_unclear(tmp_path: Path) -> None:
    rays = range(2, 302)
    nodes: dict[int, Node] = {1: (50.0, 10.0), **{ray: (50.0 + ray / 1e4, 10.1) for ray in rays}}
    members = [("way", 1, "from"), ("node", 1, "via"), ("way", 2, "to")]
    rule = (members, {"type": "restriction", "restriction": "only_straight_on"})
    network = _read(tmp_path, nodes, [([1, ray], RESIDENTIAL) for ray in rays], rule)
    assert len(network.roads.banned_starts) == 1
    assert UNCLEAR in network.roads.notes


def test_that_a_way_cut_into_edges_gives_the_edge_at_the_junction(tmp_path: Path) -> None:
    ways = ("WC", "CDE", "DM", "CN")
    members = [("way", 2, "from"), ("node", 2, "via"), ("way", 4, "to")]
    network = _network(tmp_path, (members, {"type": "restriction", "restriction": "no_right_turn"}), ways=ways)
    assert _bans(network) == {"DCN"}


def test_that_a_via_way_cut_into_edges_is_forbidden_whole(tmp_path: Path) -> None:
    ways = ("WC", "CDE", "DM", "DT", "EM")
    members = [("way", 1, "from"), ("way", 2, "via"), ("way", 5, "to")]
    network = _network(tmp_path, (members, {"type": "restriction", "restriction": "no_left_turn"}), ways=ways)
    assert _bans(network) == {"WCDEM"}


def test_that_via_ways_named_backwards_are_put_in_order(tmp_path: Path) -> None:
    turn = _turn("WC", "DM CD", "DT", "no_left_turn")
    assert _bans(_network(tmp_path, turn)) == set()
    ways = ("WC", "CD", "DE", "EM")
    members = [("way", 1, "from"), ("way", 3, "via"), ("way", 2, "via"), ("way", 4, "to")]
    network = _network(tmp_path, (members, {"type": "restriction", "restriction": "no_left_turn"}), ways=ways)
    assert _bans(network) == {"WCDEM"}


@pytest.mark.parametrize("oneway", ["yes", "-1"])
def test_that_nothing_is_forbidden_where_no_car_goes_anyway(tmp_path: Path, oneway: str) -> None:
    tags = {"CN": {**RESIDENTIAL, "oneway": oneway}}
    network = _network(tmp_path, _turn("WC", "C", "CN", "no_left_turn"), tags=tags)
    assert _bans(network) == ({"WCN"} if oneway == "yes" else set())


def test_that_two_restrictions_that_say_the_same_are_kept_once(tmp_path: Path) -> None:
    turn = _turn("WC", "C", "CN", "no_left_turn")
    assert len(_network(tmp_path, turn, turn).roads.banned_starts) == 2


def test_that_the_drive_goes_round_what_is_forbidden(tmp_path: Path) -> None:
    free, barred = _network(tmp_path), _network(tmp_path, _turn("WC", "C", "CN", "no_left_turn"))
    west, north = PLACES["W"][1], PLACES["N"][1]
    # Past the crossing, turned round at the end of the road, and back.
    assert barred.minutes([west], [north])[0, 0] > 1.5 * free.minutes([west], [north])[0, 0]
    assert math.isfinite(barred.minutes([west], [north])[0, 0])
    assert barred.minutes([north], [west])[0, 0] == pytest.approx(free.minutes([north], [west])[0, 0])


def test_that_bans_come_back_from_a_saved_network(tmp_path: Path) -> None:
    network = _network(tmp_path, _turn("WC", "CD", "DE", "only_straight_on"))
    network.save(tmp_path / "roads.npz")
    again = RoadNetwork.load(tmp_path / "roads.npz")
    assert _bans(again) == _bans(network)
    assert again.roads.notes == network.roads.notes
