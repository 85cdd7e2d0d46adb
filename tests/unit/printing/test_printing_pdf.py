"""The file: whole or not there, the same from the same plan, on the paper that was asked for."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream, FloatObject, NumberObject

from planner.domain.errors import InputError
from planner.printing import Paper, render_pages, write_itinerary
from tests.golden.itineraries import ITINERARIES, past_midnight, southern_dawn, ten_points
from tests.golden.texts import marks_of


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("paper") / "V05 Odo Fenwick.pdf"
    write_itinerary(past_midnight(), path)
    return path


@pytest.mark.parametrize(("paper", "width", "height"), [(Paper.A4, 595.28, 841.89), (Paper.LETTER, 612.0, 792.0)])
def test_that_the_sheets_have_the_size_that_was_asked_for(
    tmp_path: Path, paper: Paper, width: float, height: float
) -> None:
    pages = write_itinerary(past_midnight(), tmp_path / "one.pdf", paper=paper)
    reader = PdfReader(tmp_path / "one.pdf")
    assert len(reader.pages) == pages == render_pages(past_midnight(), paper).page_count
    for page in reader.pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((width, height), abs=1.0)


@pytest.mark.parametrize("name", ["past_midnight", "southern_dawn"])
def test_that_every_line_can_be_read_out_of_the_file(tmp_path: Path, name: str) -> None:
    itinerary = ITINERARIES[name]()
    write_itinerary(itinerary, tmp_path / "one.pdf")
    pages = render_pages(itinerary)
    for number, page in enumerate(PdfReader(tmp_path / "one.pdf").pages):
        text = re.sub(r"\s", "", page.extract_text())
        for mark in marks_of(pages, number):
            assert re.sub(r"\s", "", mark.text) in text


def test_that_the_file_says_what_it_is(printed: Path) -> None:
    found = PdfReader(printed).metadata
    assert found is not None
    assert found.title == "Itinerary of Odo Fenwick, Heath nightjars 2027"
    assert found.creator == "Dimpsy"
    assert found.creation_date is not None
    assert found.creation_date.date() == past_midnight().printed_on


def test_that_only_the_shipped_font_is_used_and_it_is_in_the_file(printed: Path) -> None:
    names: set[str] = set()
    for page in PdfReader(printed).pages:
        in_page, not_in_page = page._get_fonts()
        names |= in_page
        assert not_in_page == set()
    assert {name.rpartition("+")[2].lstrip("/") for name in names} == {"B612-Regular", "B612-Bold"}


def test_that_nothing_is_printed_in_grey(printed: Path) -> None:
    reader = PdfReader(printed)
    shades: set[tuple[float, ...]] = set()
    for page in reader.pages:
        content = ContentStream(page.get_contents(), reader)
        for operands, operator in content.operations:
            if operator in (b"rg", b"RG", b"g", b"G", b"scn", b"SCN"):
                shades.add(
                    tuple(round(float(one), 3) for one in operands if isinstance(one, FloatObject | NumberObject))
                )
    assert shades
    assert all(set(shade) <= {0.0} or set(shade) <= {1.0} for shade in shades)


def test_that_the_same_plan_gives_the_same_bytes_and_another_revision_does_not(tmp_path: Path) -> None:
    first, again, later = (tmp_path / f"{n}.pdf" for n in range(3))
    write_itinerary(southern_dawn(), first)
    write_itinerary(southern_dawn(), again)
    write_itinerary(replace(southern_dawn(), revision=42), later)
    assert first.read_bytes() == again.read_bytes()
    assert first.read_bytes() != later.read_bytes()


def test_that_an_older_file_is_replaced_and_nothing_else_is_left_in_the_folder(tmp_path: Path) -> None:
    path = tmp_path / "Odo é Fenwick.pdf"
    path.write_text("last year's", encoding="utf-8")
    write_itinerary(past_midnight(), path)
    assert path.read_bytes().startswith(b"%PDF-1.4")
    assert list(tmp_path.iterdir()) == [path]


def test_that_whoever_may_read_other_new_files_may_read_this_one(tmp_path: Path) -> None:
    (tmp_path / "other.txt").write_text("as any program makes it", encoding="utf-8")
    write_itinerary(past_midnight(), tmp_path / "one.pdf")
    assert (tmp_path / "one.pdf").stat().st_mode == (tmp_path / "other.txt").stat().st_mode


def test_when_there_is_no_such_folder_it_is_said_with_the_way_out(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="Choose another folder"):
        write_itinerary(past_midnight(), tmp_path / "missing" / "one.pdf")


def test_when_the_name_is_taken_by_a_folder_the_half_made_file_is_taken_away(tmp_path: Path) -> None:
    (tmp_path / "one.pdf").mkdir()
    with pytest.raises(InputError):
        write_itinerary(past_midnight(), tmp_path / "one.pdf")
    assert [path.name for path in tmp_path.iterdir()] == ["one.pdf"]


def test_that_a_volunteer_with_many_outings_gets_them_all(tmp_path: Path) -> None:
    itinerary = ten_points()
    pages = write_itinerary(replace(itinerary, days=itinerary.days * 3), tmp_path / "one.pdf")
    assert pages > 50
