"""What a person decided about a file is said in words beside it."""

from __future__ import annotations

from planner.desktop.importing.words import choices_words
from planner.exchange import Choices


def test_that_rows_left_out_are_said_with_the_other_decisions() -> None:
    choices = Choices(leave_out=frozenset({"row 14", "row 15"}), utm_zone="30N")
    assert choices_words(choices) == ["rows left out: 2", "UTM zone 30N"]
    assert choices_words(Choices()) == []
