"""Setting words into a width, in letters that the shipped font has."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtGui import QFontInfo

from planner.printing.fonts import Face, has_glyph, printable, qt_font
from planner.printing.setting import ELLIPSIS, at_most_lines, elided, largest_face, wrapped

BODY = Face(11)
WORDS = st.lists(st.text("abcdefgWMil.-", min_size=1, max_size=30), min_size=1, max_size=12).map(" ".join)


@given(WORDS, st.floats(8.0, 120.0))
def test_that_no_line_is_wider_than_its_column_and_no_letter_is_lost(text: str, width: float) -> None:
    lines = wrapped(text, BODY, width)
    assert all(BODY.width(line) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


@given(WORDS, st.floats(8.0, 120.0))
def test_that_a_cut_line_fits_and_says_that_it_is_cut(text: str, width: float) -> None:
    shown = elided(text, BODY, width)
    assert BODY.width(shown) <= width
    assert shown == text or shown.endswith(ELLIPSIS)
    assert (shown == text) == (BODY.width(text) <= width)


def test_when_nothing_fits_only_the_ellipsis_is_left() -> None:
    assert elided("Windpump", BODY, 1.0) == ELLIPSIS


def test_that_what_goes_beyond_the_lines_allowed_is_cut_in_the_last_one() -> None:
    text = "opposite the second of the three white gates, well before the cattle grid"
    lines = at_most_lines(text, BODY, 50.0, 2)
    assert len(lines) == 2
    assert lines[1].endswith(ELLIPSIS)
    assert at_most_lines(text, BODY, 500.0, 2) == (text,)


def test_that_empty_text_has_no_line() -> None:
    assert wrapped("", BODY, 50.0) == ()


def test_that_the_largest_face_that_fits_is_taken_and_the_smallest_where_none_does() -> None:
    faces = (Face(30), Face(20), Face(12))
    assert largest_face("Odo", faces, 500.0) == faces[0]
    assert largest_face("Odo Fenwick", faces, Face(20).width("Odo Fenwick")) == faces[1]
    assert largest_face("Odo Fenwick", faces, 5.0) == faces[2]


def test_that_letters_the_font_lacks_are_printed_without_their_accent() -> None:
    assert printable("Łucja Nováč, Ångström\u2009Straße") == "Lucja Novác, Ångström Straße"


def test_that_an_accent_written_apart_is_joined_to_its_letter() -> None:
    assert printable("Re\u0301mi") == "Rémi"


def test_that_a_script_without_latin_letters_is_left_to_the_system() -> None:
    assert printable("山") == "山"


def test_that_the_font_is_the_shipped_one_in_both_weights() -> None:
    assert has_glyph("é")
    assert not has_glyph("山")
    for face in (Face(10), Face(10, bold=True)):
        found = QFontInfo(qt_font(face))
        assert (found.family(), found.bold(), found.exactMatch()) == ("B612", face.bold, True)


@given(st.floats(10.0, 30.0).map(lambda size: round(size, 1)))
def test_that_width_grows_with_the_size_of_the_letters(points: float) -> None:
    # Ten times the size, ten times the width: glyph advances carry no hinting.
    assert abs(Face(points).width("Leave home 21:39") / points - BODY.width("Leave home 21:39") / 11) < 0.01
