"""Turn restrictions as an OpenStreetMap file has them: relations of ways and the node or ways between.

Sources: the OpenStreetMap wiki, Relation:restriction, Tag:restriction=no_entry, Tag:restriction=no_exit,
Conditional restrictions.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import osmium

_MODES = ("motorcar", "motor_vehicle", "vehicle")
"""What a private car is called, the most exact first."""
RELATION_TYPES = ("restriction", *(f"restriction:{mode}" for mode in _MODES))
"""Values of ``type`` that a turn restriction for cars may have; the longer ones are an old way of writing."""
_VALUE_KEYS = (*(f"restriction:{mode}" for mode in _MODES), "restriction")
_BY_HOUR_KEYS = (
    *(f"{key}:conditional" for key in _VALUE_KEYS),
    *("day_on", "day_off", "hour_on", "hour_off"),
)
_TURNS = ("left_turn", "right_turn", "straight_on", "u_turn")
_KNOWN = frozenset({"no_entry", "no_exit", *(f"{word}_{turn}" for word in ("no", "only") for turn in _TURNS)})


@dataclass(frozen=True, slots=True)
class TurnRule:
    """One turn restriction, in ids of the file."""

    only: bool
    """Whether it names the one turn that is allowed, not one that is forbidden."""
    u_turn: bool
    froms: tuple[int, ...]
    """Ways."""
    via_nodes: tuple[int, ...]
    """One node, or none."""
    via_ways: tuple[int, ...]
    """Ways in the order they are driven; none where there is a node."""
    tos: tuple[int, ...]
    """Ways."""

    @property
    def ways(self) -> tuple[int, ...]:
        """All ways it names."""
        return self.froms + self.via_ways + self.tos


@dataclass(slots=True)
class TurnRules:
    """The turn restrictions for cars in a file."""

    rules: list[TurnRule] = field(default_factory=list)
    by_hour: int = 0
    """How many hold at some hours or on some condition only: they are not looked at."""
    not_understood: int = 0
    """How many have no members or value that the wiki describes."""

    def add(self, relation: osmium.osm.Relation) -> None:
        """Take a relation whose type is one of ``RELATION_TYPES``; those for other vehicles are passed over."""
        tags = {tag.k: tag.v for tag in relation.tags}
        if not _for_cars(tags):
            return
        value = next((tags[key] for key in _VALUE_KEYS if key in tags), None)
        if value is None or any(key in tags for key in ("day_on", "day_off", "hour_on", "hour_off")):
            self.by_hour += 1
            return
        values = {part.strip() for part in value.split(";")} & _KNOWN
        rule = _rule(values, [(member.type, member.ref, member.role) for member in relation.members])
        if rule is None:
            self.not_understood += 1
        else:
            self.rules.append(rule)


def _for_cars(tags: Mapping[str, str]) -> bool:
    """Return whether a restriction is meant for cars: not all its tags are for others, and cars are no exception."""
    excepted = {part.strip() for part in tags.get("except", "").split(";")}
    if excepted & set(_MODES):
        return False
    return any(key in tags for key in (*_VALUE_KEYS, *_BY_HOUR_KEYS)) or not any(
        key.startswith("restriction:") for key in tags
    )


def _rule(values: set[str], members: list[tuple[str, int, str]]) -> TurnRule | None:
    """Return the restriction, None where its members are not those the wiki describes."""
    froms, tos = _of(members, "from", "w"), _of(members, "to", "w")
    via_nodes, via_ways = _of(members, "via", "n"), _of(members, "via", "w")
    only = any(value.startswith("only_") for value in values)
    fits = (
        bool(values)
        and len(froms) > 0 < len(tos)
        and (len(via_nodes) == 1) != (len(via_ways) > 0)
        and len(via_nodes) < 2
        and (len(froms) == 1 or "no_entry" in values)
        and (len(tos) == 1 or "no_exit" in values)
        and len({value.startswith("only_") for value in values}) == 1
    )
    if not fits:
        return None
    u_turn = any(value.endswith("u_turn") for value in values)
    return TurnRule(only, u_turn, froms, via_nodes, via_ways, tos)


def _of(members: list[tuple[str, int, str]], role: str, kind: str) -> tuple[int, ...]:
    return tuple(ref for member, ref, said in members if (member, said) == (kind, role))
