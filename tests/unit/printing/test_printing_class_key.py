"""The class key on paper: a diagram in which every answer leads on, whose lines run through no box."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtGui import QImage, QPainter

from planner.domain.habitat import HabitatClass, HabitatRule, KeyQuestion
from planner.domain.measures import Length
from planner.exchange import shipped_protocol
from planner.printing.blocks import filled_pages
from planner.printing.canvas import WHITE, Canvas, TextMark
from planner.printing.class_key import class_key
from planner.printing.fonts import load_fonts
from planner.printing.key_diagram import EXIT_MM, MOST_COLUMNS, SPACINGS, KeyRow, key_rows, row_block
from planner.printing.paper import Paper

CODES = tuple("ABCDEFGH")


def rule(*key: KeyQuestion) -> HabitatRule:
    classes = tuple(HabitatClass(code, f"class {code.lower()}", stable=True) for code in CODES)
    return HabitatRule(Length(200, "m"), 10, 4.0, classes, key=key)


def asked(number: int, yes: str, no: str) -> KeyQuestion:
    return KeyQuestion(number, f"Is it number {number}?", yes, no)


def test_that_questions_that_follow_on_no_stand_under_each_other() -> None:
    rows = key_rows(rule(asked(1, "A", "2"), asked(2, "B", "3"), asked(3, "C", "D")))
    assert [(row.question.number, row.column, row.exits, row.down, row.lands) for row in rows] == [
        (1, 0, (("yes", "A"),), (("no", 0),), 0),
        (2, 0, (("yes", "B"),), (("no", 0),), 0),
        (3, 0, (("yes", "C"), ("no", "D")), (), None),
    ]


def test_that_the_questions_of_yes_come_first_a_column_further_in_and_no_passes_them() -> None:
    heath = shipped_protocol("heath_nightjars").habitat
    assert heath is not None
    rows = {row.question.number: row for row in key_rows(heath)}
    assert list(rows) == [1, 2, 3, 4, 5, 6, 7]
    assert (rows[5].down, rows[5].exits, rows[5].lands) == ((("yes", 1), ("no", 0)), (), 1)
    assert (rows[6].column, rows[6].passing, rows[6].lands) == (1, (0,), 0)
    assert (rows[7].column, rows[7].exits) == (0, (("yes", "GR"), ("no", "BG")))


def test_that_a_question_reached_twice_is_drawn_once_and_named_by_its_number_then() -> None:
    rows = key_rows(rule(asked(1, "2", "3"), asked(2, "A", "3"), asked(3, "B", "C")))
    assert [row.question.number for row in rows] == [1, 2, 3]
    assert rows[1].exits == (("yes", "A"), ("no", "3"))


def test_that_a_question_that_both_answers_lead_to_has_one_line() -> None:
    first, second = key_rows(rule(asked(1, "2", "2"), asked(2, "A", "B")))
    assert (first.down, first.exits, second.column) == ((("no", 0),), (("yes", "2"),), 0)


@st.composite
def keys(draw: st.DrawFn) -> HabitatRule:
    """Keys without circles: each answer leads to a class or to a question with a higher number."""
    count = draw(st.integers(1, 12))
    targets = [st.sampled_from([*CODES, *map(str, range(number + 1, count + 1))]) for number in range(1, count + 1)]
    return rule(*(asked(number, draw(target), draw(target)) for number, target in enumerate(targets, start=1)))


def _leads(rows: tuple[KeyRow, ...], place: int) -> dict[str, str]:
    """Where the finger gets to from a row by each answer, following its lines down the page."""
    row = rows[place]
    found = dict(row.exits)
    for word, column in row.down:
        for above, below in zip(rows[place:], rows[place + 1 :], strict=False):
            if above.lands == column:
                found[word] = str(below.question.number)
                break
            assert column in below.passing, "the line ends on the way"
    return found


@given(keys())
def test_that_the_finger_gets_where_the_key_says(key: HabitatRule) -> None:
    rows = key_rows(key)
    assert sorted(row.question.number for row in rows) == [question.number for question in key.key]
    for place, row in enumerate(rows):
        assert _leads(rows, place) == {"yes": row.question.yes, "no": row.question.no}
        assert all(column < row.column for column in row.passing), "a line runs through a box"
        assert row.column < MOST_COLUMNS


def _marks(key: HabitatRule, paper: Paper) -> list[list[TextMark]]:
    load_fonts()
    pages = []
    for matter in filled_pages(class_key(key, paper.content), paper.content):
        image = QImage(10, 10, QImage.Format.Format_RGB32)
        image.fill(WHITE)
        painter = QPainter(image)
        marks: list[TextMark] = []
        matter.paint(Canvas(painter, marks.append))
        painter.end()
        pages.append(marks)
    return pages


@pytest.mark.parametrize("name", ["heath_nightjars", "dawn_marsh_birds_demo"])
@pytest.mark.parametrize("paper", list(Paper))
def test_that_the_shipped_keys_fit_one_page_and_say_everything_whole(name: str, paper: Paper) -> None:
    habitat = shipped_protocol(name).habitat
    assert habitat is not None
    (marks,) = _marks(habitat, paper)
    assert not [mark.whole for mark in marks if mark.cut]
    assert all(paper.content.holds(mark.box, slack=0.5) for mark in marks)
    words = [mark.text for mark in marks]
    assert words.count("yes") + words.count("no") == 2 * len(habitat.key)
    assert "Begin here" in words
    assert all(one.code in words for one in habitat.classes)


def test_that_what_stands_on_the_page_does_not_overlap() -> None:
    heath = shipped_protocol("heath_nightjars").habitat
    assert heath is not None
    (marks,) = _marks(heath, Paper.A4)
    for number, one in enumerate(marks):
        for other in marks[number + 1 :]:
            a, b = one.box.inset(0.2, one.face.line * 0.3), other.box.inset(0.2, other.face.line * 0.3)
            apart = a.right <= b.left or b.right <= a.left or a.bottom <= b.top or b.bottom <= a.top
            assert apart, (one.text, other.text)


def test_that_a_long_question_makes_its_box_taller() -> None:
    load_fonts()
    long = rule(KeyQuestion(1, "Is it " + "very " * 60 + "wet?", "A", "B"))
    short = rule(asked(1, "A", "B"))
    heights = [row_block(key_rows(one)[0], one, 2 * EXIT_MM, SPACINGS[0]).height for one in (long, short)]
    assert heights[0] > 2 * heights[1]
