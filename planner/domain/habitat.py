"""The habitat part of a protocol: classes, step, circle, and the short key that chooses a class."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from planner.domain.errors import RuleError
from planner.domain.measures import Length

POLE_SPACING_M = 100
"""Utility poles commonly stand about 100 m apart: common practice, no published source."""


class HabitatTiming(StrEnum):
    """When a visit's habitat round is done."""

    BEFORE_COUNTS = "before_counts"
    AFTER_COUNTS = "after_counts"
    SETUP_DAY_ONLY = "setup_day_only"


@dataclass(frozen=True, slots=True)
class HabitatClass:
    """One class of ground cover. *Stable* ones should not change between visits, *changeable* ones may."""

    code: str
    name: str
    stable: bool
    hint: str = ""
    needs_note: bool = False
    grazeable: bool = field(default=True, metadata={"on_paper": False})
    """Whether it can be part of the grazed share: water and walls cannot. No paper says it."""


@dataclass(frozen=True, slots=True)
class KeyQuestion:
    """One yes/no question of the class key; each answer names the next question's number or a class code."""

    number: int
    ask: str
    yes: str
    no: str


@dataclass(frozen=True, slots=True)
class HabitatRule:
    """How habitat is estimated round a point: percent by class in steps, summing to exactly 100."""

    radius: Length
    step_percent: int
    minutes_per_point: float
    classes: tuple[HabitatClass, ...]
    timing: HabitatTiming = HabitatTiming.BEFORE_COUNTS
    circles_may_overlap: bool = False
    sides_of_road: bool = False
    """Left and right of the road are judged apart, instead of one circle."""
    grazed_share: bool = False
    livestock: bool = False
    key: tuple[KeyQuestion, ...] = ()

    def __post_init__(self) -> None:
        if self.step_percent < 1 or 100 % self.step_percent:
            raise RuleError(f"step_percent must divide 100, found {self.step_percent}")
        if self.minutes_per_point <= 0:
            raise RuleError(f"minutes_per_point must be above 0, found {self.minutes_per_point:g}")
        codes = [one.code for one in self.classes]
        if not codes or len(set(codes)) != len(codes):
            raise RuleError("habitat classes need codes of their own, and there must be at least one")
        self._check_key(set(codes))

    def _check_key(self, codes: set[str]) -> None:
        numbers = [question.number for question in self.key]
        if len(set(numbers)) != len(numbers):
            raise RuleError("two questions of the class key have one number")
        targets = codes | {str(number) for number in numbers}
        for question in self.key:
            for answer in (question.yes, question.no):
                if answer not in targets:
                    raise RuleError(
                        f"question {question.number} of the class key leads to {answer!r},"
                        " which is neither a class code nor a question"
                    )

        self._check_loops({str(question.number): (question.yes, question.no) for question in self.key})

    def _check_loops(self, answers: dict[str, tuple[str, str]]) -> None:
        for start, both in answers.items():
            reached, ahead = set[str](), list(both)
            while ahead:
                target = ahead.pop()
                if target == start:
                    raise RuleError(f"question {start} of the class key leads back to itself: no class is reached")
                if target in answers and target not in reached:
                    reached.add(target)
                    ahead += answers[target]

    @property
    def by_code(self) -> Mapping[str, HabitatClass]:
        """The classes, found by their code."""
        return {one.code: one for one in self.classes}

    @property
    def spans(self) -> float:
        """The radius counted in pole spans, as an aid to judging it by eye."""
        return self.radius.metres / POLE_SPACING_M
