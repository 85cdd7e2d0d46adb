"""Walks the protocol's class key: question by question to the class that a piece of ground is called by."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.domain.errors import RuleError
from planner.domain.habitat import HabitatClass, HabitatRule, KeyQuestion


@dataclass(frozen=True, slots=True)
class KeyWalk:
    """How far somebody has come in the class key."""

    rule: HabitatRule
    answers: tuple[bool, ...] = ()
    """Yes or no to each question so far."""

    @property
    def path(self) -> tuple[tuple[KeyQuestion, bool], ...]:
        """The questions that were answered, with their answers."""
        return self._walked()[0]

    @property
    def question(self) -> KeyQuestion | None:
        """What is asked now; None once a class is reached, or where the protocol has no key."""
        target = self._walked()[1]
        return next((one for one in self.rule.key if str(one.number) == target), None)

    @property
    def reached(self) -> HabitatClass | None:
        """The class that the answers lead to; None while there are questions left."""
        return self.rule.by_code.get(self._walked()[1])

    def answered(self, *, yes: bool) -> KeyWalk:
        """Return the walk with one more answer.

        Raises:
            RuleError: there is nothing more to answer.
        """
        if self.question is None:
            raise RuleError("the class key has no question left: go back, or begin again")
        return replace(self, answers=(*self.answers, yes))

    def back(self) -> KeyWalk:
        """Return the walk without its last answer; at the first question, the same."""
        return replace(self, answers=self.answers[:-1])

    def _walked(self) -> tuple[tuple[tuple[KeyQuestion, bool], ...], str]:
        """Return the answered questions, and the number or code that the last answer leads to."""
        numbered = {str(one.number): one for one in self.rule.key}
        target = str(self.rule.key[0].number) if self.rule.key else ""
        path = []
        for yes in self.answers:
            question = numbered[target]
            path.append((question, yes))
            target = question.yes if yes else question.no
        return tuple(path), target
