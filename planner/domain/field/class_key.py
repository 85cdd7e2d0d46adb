"""Walking the class key: one yes/no question after another, until a class is reached."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Self

from planner.domain.errors import RuleError
from planner.domain.habitat import HabitatClass, HabitatRule, KeyQuestion


@dataclass(frozen=True, slots=True)
class KeyAnswer:
    """One question on the way, and what was said to it."""

    question: KeyQuestion
    yes: bool

    @property
    def leads_to(self) -> str:
        """The number of the next question, or the code of the class."""
        return self.question.yes if self.yes else self.question.no


@dataclass(frozen=True, slots=True)
class KeyWalk:
    """How far one has come through the key; made by :meth:`begin`."""

    rule: HabitatRule
    path: tuple[KeyAnswer, ...] = ()
    """What was answered so far."""

    @classmethod
    def begin(cls, rule: HabitatRule) -> Self:
        """Return the walk before its first question.

        Raises:
            RuleError: the protocol has no class key.
        """
        if not rule.key:
            raise RuleError("the protocol has no class key")
        return cls(rule)

    @property
    def question(self) -> KeyQuestion | None:
        """What is asked next; None once a class is reached."""
        if not self.path:
            return self.rule.key[0]
        return _questions(self.rule).get(self.path[-1].leads_to)

    @property
    def reached(self) -> HabitatClass | None:
        """The class that the answers lead to; None while something is asked."""
        return self.rule.by_code[self.path[-1].leads_to] if self.question is None else None

    def answered(self, *, yes: bool) -> Self:
        """Return the walk one answer further.

        Raises:
            RuleError: a class is reached already.
        """
        question = self.question
        if question is None:
            raise RuleError("the key has reached its class: there is nothing more to answer")
        return replace(self, path=(*self.path, KeyAnswer(question, yes)))

    def back(self) -> Self:
        """Return the walk without its last answer; at the beginning it stays there."""
        return replace(self, path=self.path[:-1])

    def back_to(self, number: int) -> Self:
        """Return the walk at a question that was answered, to answer it otherwise.

        Raises:
            RuleError: that question was not on the way.
        """
        for place, answer in enumerate(self.path):
            if answer.question.number == number:
                return replace(self, path=self.path[:place])
        raise RuleError(f"question {number} was not on the way")


def classes_reached(rule: HabitatRule) -> tuple[str, ...]:
    """Return the codes of the classes that the key leads to, in the protocol's order."""
    questions = _questions(rule)
    reached, ahead = set[str](), [str(rule.key[0].number)] if rule.key else []
    while ahead:
        target = ahead.pop()
        if target in reached:
            continue
        reached.add(target)
        if target in questions:
            ahead += [questions[target].yes, questions[target].no]
    return tuple(one.code for one in rule.classes if one.code in reached)


def _questions(rule: HabitatRule) -> Mapping[str, KeyQuestion]:
    """Return the questions by what an answer names them with."""
    return {str(question.number): question for question in rule.key}
