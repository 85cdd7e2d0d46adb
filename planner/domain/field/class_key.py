"""Walking the class key: one yes/no question after another, until a class is reached."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.domain.errors import RuleError
from planner.domain.habitat import HabitatClass, HabitatRule, KeyQuestion


@dataclass(frozen=True, slots=True)
class KeyWalk:
    """How far somebody has come in the class key; without answers, the beginning."""

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
        return _question(self.rule, self._walked()[1])

    @property
    def reached(self) -> HabitatClass | None:
        """The class that the answers lead to; None while there are questions left, or where there is no key."""
        return self.rule.by_code.get(self._walked()[1]) if self.question is None else None

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
        target = str(self.rule.key[0].number) if self.rule.key else ""
        path = []
        for yes in self.answers:
            question = _question(self.rule, target)
            if question is None:
                raise RuleError("the class key has fewer questions than there are answers")
            path.append((question, yes))
            target = question.yes if yes else question.no
        return tuple(path), target


def classes_reached(rule: HabitatRule) -> tuple[str, ...]:
    """Return the codes of the classes that the key leads to, in the protocol's order."""
    reached, ahead = set[str](), [str(rule.key[0].number)] if rule.key else []
    while ahead:
        target = ahead.pop()
        question = _question(rule, target)
        if target not in reached and question is not None:
            ahead += [question.yes, question.no]
        reached.add(target)
    return tuple(one.code for one in rule.classes if one.code in reached)


def _question(rule: HabitatRule, target: str) -> KeyQuestion | None:
    """Return the question that an answer leads to; None where it is a class."""
    return next((question for question in rule.key if str(question.number) == target), None)
