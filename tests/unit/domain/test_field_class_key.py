"""The class key leads everybody to one class, and to every class that it can lead to."""

from __future__ import annotations

import itertools

import pytest

from planner.domain.errors import RuleError
from planner.domain.field.class_key import KeyWalk, classes_reached
from planner.domain.habitat import HabitatRule
from planner.exchange import protocol_names, shipped_protocol

RULES = {name: rule for name in protocol_names() if (rule := shipped_protocol(name).habitat) is not None}
HEATH = RULES["heath_nightjars"]


def reached(walk: KeyWalk) -> set[str]:
    """The classes that all answers from there lead to, by trying them all."""
    if walk.reached is not None:
        return {walk.reached.code}
    return reached(walk.answered(yes=True)) | reached(walk.answered(yes=False))


def walked(*answers: bool) -> KeyWalk:
    walk = KeyWalk(HEATH)
    for yes in answers:
        walk = walk.answered(yes=yes)
    return walk


@pytest.mark.parametrize("name", sorted(RULES))
def test_that_the_shipped_keys_reach_every_class_but_what_none_describes(name: str) -> None:
    rule = RULES[name]
    described = {one.code for one in rule.classes if not one.needs_note}
    assert reached(KeyWalk(rule)) == described == set(classes_reached(rule))


def test_that_living_shrubs_above_the_knee_are_tall_heath() -> None:
    walk = walked(False, False, False, False, True, True)
    assert walk.reached is not None
    assert (walk.reached.code, walk.question) == ("TH", None)
    assert [(question.number, yes) for question, yes in walk.path] == [
        (1, False),
        (2, False),
        (3, False),
        (4, False),
        (5, True),
        (6, True),
    ]


def test_that_a_step_back_asks_the_same_again() -> None:
    walk = walked(False, False)
    assert walk.question is not None
    assert walk.answered(yes=True).back() == walk
    assert KeyWalk(HEATH).back() == KeyWalk(HEATH)


def test_that_nothing_is_answered_once_a_class_is_reached() -> None:
    with pytest.raises(RuleError, match="no question left"):
        walked(True, True)


def test_that_a_protocol_without_a_key_has_no_walk() -> None:
    bare = HabitatRule(HEATH.radius, 10, 4.0, HEATH.classes)
    assert classes_reached(bare) == ()
    assert (KeyWalk(bare).question, KeyWalk(bare).reached) == (None, None)


def test_that_no_walk_is_longer_than_the_key() -> None:
    for answers in itertools.product((True, False), repeat=len(HEATH.key)):
        walk = KeyWalk(HEATH)
        for yes in answers:
            walk = walk if walk.reached is not None else walk.answered(yes=yes)
        assert walk.reached is not None
