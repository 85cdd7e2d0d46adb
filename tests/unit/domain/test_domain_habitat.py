from __future__ import annotations

import pytest

from planner.domain.errors import RuleError
from planner.domain.habitat import HabitatClass, HabitatRule, KeyQuestion
from planner.domain.measures import Length

CLASSES = (HabitatClass("G", "grass", stable=True), HabitatClass("C", "crop", stable=False))


def habitat(
    *key: KeyQuestion,
    step_percent: int = 10,
    minutes: float = 4.0,
    classes: tuple[HabitatClass, ...] = CLASSES,
) -> HabitatRule:
    return HabitatRule(Length(400, "m"), step_percent, minutes, classes, key=key)


@pytest.mark.parametrize("step", [0, -10, 3, 15, 101])
def test_that_the_step_divides_a_hundred(step: int) -> None:
    with pytest.raises(RuleError, match="must divide 100"):
        habitat(step_percent=step)


@pytest.mark.parametrize("step", [1, 5, 10, 20, 25, 50, 100])
def test_that_steps_which_divide_a_hundred_are_taken(step: int) -> None:
    assert habitat(step_percent=step).step_percent == step


def test_that_habitat_takes_time() -> None:
    with pytest.raises(RuleError, match="minutes_per_point must be above 0"):
        habitat(minutes=0)


def test_that_there_are_classes_each_with_a_code_of_its_own() -> None:
    with pytest.raises(RuleError, match="at least one"):
        habitat(classes=())
    with pytest.raises(RuleError, match="codes of their own"):
        habitat(classes=(CLASSES[0], CLASSES[0]))


def test_that_every_answer_of_the_key_leads_to_a_class_or_a_question() -> None:
    rule = habitat(KeyQuestion(1, "Is it ploughed?", "C", "2"), KeyQuestion(2, "Is it green?", "G", "C"))
    assert len(rule.key) == 2
    for yes, no in (("X", "G"), ("G", "3")):
        with pytest.raises(RuleError, match="question 1 of the class key leads to"):
            habitat(KeyQuestion(1, "Is it ploughed?", yes, no))


def test_that_a_key_that_leads_round_in_a_circle_is_refused() -> None:
    with pytest.raises(RuleError, match="question 1 of the class key leads back to itself"):
        habitat(KeyQuestion(1, "Is it ploughed?", "C", "2"), KeyQuestion(2, "Is it green?", "G", "1"))
    meeting_again = (
        KeyQuestion(1, "Is it wet?", "2", "3"),
        KeyQuestion(2, "Is it deep?", "C", "3"),
        KeyQuestion(3, "Is it green?", "G", "C"),
    )
    assert len(habitat(*meeting_again).key) == 3


def test_that_questions_have_numbers_of_their_own() -> None:
    with pytest.raises(RuleError, match="two questions"):
        habitat(KeyQuestion(1, "Is it ploughed?", "C", "G"), KeyQuestion(1, "Is it green?", "G", "C"))


def test_that_the_radius_is_counted_in_pole_spans() -> None:
    # Poles about 100 m apart: common practice, no published source.
    assert habitat().spans == 4.0
