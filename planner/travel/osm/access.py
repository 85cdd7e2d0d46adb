"""Whether a volunteer's car may and can pass: permissions, barriers, fords, one-way rules."""

from __future__ import annotations

from collections.abc import Mapping

ACCESS_KEYS = ("motorcar", "motor_vehicle", "vehicle", "access")
"""The most exact key first: it overrules those after it."""

_CLOSED_VALUES = frozenset(
    {"no", "private", "permit", "customers", "delivery", "residents", "employees", "staff", "restricted"}
    | {"agricultural", "forestry", "military", "emergency", "use_sidepath", "dismount"}
    | {"bus", "psv", "taxi", "hov", "foot", "bicycle", "horse"}
)
_IMPASSABLE_BARRIERS = frozenset(
    {"block", "bollard", "chain", "debris", "jersey_barrier", "log", "planter", "spikes"}
    | {"bus_trap", "sump_buster", "cycle_barrier", "motorcycle_barrier", "horse_stile", "stile"}
    | {"kissing_gate", "wicket_gate", "turnstile", "full-height_turnstile"}
)
_FORDS_NO_CAR_PASSES = frozenset({"boat", "stepping_stones"})
_NO_ORDINARY_CAR = {
    "area": {"yes"},
    "impassable": {"yes"},
    "4wd_only": {"yes"},
    # There only while it freezes: Key:ice_road, Key:winter_road, Key:seasonal.
    "ice_road": {"yes"},
    "winter_road": {"yes"},
    "seasonal": {"winter"},
    # A ferry's timetable is not known, and the last one may have gone.
    "route": {"ferry"},
    "smoothness": {"horrible", "very_horrible", "impassable"},
    "service": {"emergency_access"},
}
_ONEWAY_KEYS = ("oneway:motorcar", "oneway:motor_vehicle", "oneway:vehicle", "oneway")
_FORD_KEYS = ("ford", "highway")
WAY_KEYS = (
    *("highway", "junction", *_ONEWAY_KEYS, *_NO_ORDINARY_CAR, "ford"),
    *(f"{key}{direction}" for key in ACCESS_KEYS for direction in ("", ":forward", ":backward")),
)
"""Every key that ``open_directions`` looks at."""
NODE_KEYS = ("barrier", "locked", *_FORD_KEYS, *ACCESS_KEYS)
"""Every key that ``node_closes`` looks at."""
_BOTH, _FORWARD, _BACKWARD, _NEITHER = (True, True), (True, False), (False, True), (False, False)
_ONEWAY_VALUES = {
    "yes": _FORWARD,
    "true": _FORWARD,
    "1": _FORWARD,
    "-1": _BACKWARD,
    "reverse": _BACKWARD,
    "no": _BOTH,
    "false": _BOTH,
    "0": _BOTH,
    "alternating": _BOTH,
    # The direction depends on the hour, which the map does not tell.
    "reversible": _NEITHER,
}


def allowed(tags: Mapping[str, str], direction: str = "") -> bool | None:
    """Return whether a private car without special permission is allowed; None where nothing is said.

    The first of ``ACCESS_KEYS`` that is tagged decides, for one direction its ``:forward`` or ``:backward`` form
    before the plain one. ``destination`` counts as allowed, ``private`` and ``customers`` as not: a volunteer has
    no leave to enter. Of several values (``agricultural;destination``) one that allows is enough.
    """
    for key in ACCESS_KEYS:
        value = tags.get(f"{key}:{direction}", tags.get(key))
        if value is not None:
            return any(part.strip().lower() not in _CLOSED_VALUES for part in value.split(";"))
    return None


def is_closed_ford(tags: Mapping[str, str], *, fords_open: bool) -> bool:
    """Return whether water stops the car here."""
    ford = tags.get("ford", "yes" if tags.get("highway") == "ford" else "no")
    return ford in _FORDS_NO_CAR_PASSES or (ford != "no" and not fords_open)


def node_closes(tags: Mapping[str, str], *, fords_open: bool) -> bool:
    """Return whether the road is cut at a node: a barrier that stays shut, or a ford.

    A locked barrier, a barrier a car is not allowed through, and one that no car fits through (bollard, block,
    stile) are closed. A gate or lift gate of which nothing else is said is open, as are a cattle grid, a toll booth
    and a barrier of an unknown kind: on a public road such a gate is shut against cattle, not against cars. A mini
    roundabout, a traffic signal and a stop sign are open too, and the time they take is not known.
    Sources: the OpenStreetMap wiki, Key:barrier, Key:locked, Key:access, Key:ford.
    """
    if is_closed_ford(tags, fords_open=fords_open):
        return True
    barrier = tags.get("barrier", "no")
    if barrier == "no":
        return False
    verdict = allowed(tags)
    if verdict is None:
        verdict = barrier not in _IMPASSABLE_BARRIERS
    return not verdict or tags.get("locked") == "yes"


def open_directions(tags: Mapping[str, str], *, fords_open: bool) -> tuple[bool, bool]:
    """Return whether a way is open to a car (forward, backward), as far as its class may be driven at all.

    One-way: ``yes``, ``true``, ``1``, ``-1``, ``reverse``; understood on motorways, roundabouts and circular
    junctions unless ``oneway=no``; a rule for cars (``oneway:motorcar``) comes before that for all. On a motorway's
    slip road it is not understood. ``alternating`` traffic goes both ways by turns; ``reversible`` closes both, for
    its direction hangs on the hour. Ferries are no roads. Restrictions by hour or season are not read, but flagged
    (see ``road_flags``); roads that are there only while it freezes are closed.
    Sources: the OpenStreetMap wiki, Key:oneway, Tag:junction=roundabout, Tag:junction=circular, Key:access.
    """
    if any(tags.get(key) in values for key, values in _NO_ORDINARY_CAR.items()):
        return _NEITHER
    if is_closed_ford(tags, fords_open=fords_open):
        return _NEITHER
    forward, backward = _oneway(tags)
    return (
        forward and allowed(tags, "forward") is not False,
        backward and allowed(tags, "backward") is not False,
    )


def _oneway(tags: Mapping[str, str]) -> tuple[bool, bool]:
    for key in _ONEWAY_KEYS:
        directions = _ONEWAY_VALUES.get(tags.get(key, "").strip().lower())
        if directions is not None:
            return directions
    if tags.get("junction") in {"roundabout", "circular"} or tags.get("highway") == "motorway":
        return _FORWARD
    return _BOTH
