"""A new season, asked for in three steps."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QDateEdit, QFileDialog, QLabel, QLineEdit, QListWidget, QWizard
from pytestqt.qtbot import QtBot

from planner.desktop.look.colours import LIGHT
from planner.desktop.season.protocol_page import ProtocolPage
from planner.desktop.window.new_season import NewSeason
from planner.desktop.window.zone_search import ZoneSearch
from planner.light import zone_finder
from planner.usecases.season.new_season import new_season, usual_dates
from planner.usecases.season.protocols import protocol_offers, write_protocol
from tests.desktop.windows import part

TODAY = dt.date(2026, 11, 25)


@pytest.fixture
def wizard(tmp_path: Path, qtbot: QtBot) -> NewSeason:
    made = NewSeason(protocol_offers(), TODAY, tmp_path)
    qtbot.addWidget(made)
    made.show()
    return made


def _choose(wizard: NewSeason, name: str) -> None:
    protocols = part(wizard, QListWidget)
    names = [protocols.item(row).text() for row in range(protocols.count())]
    protocols.setCurrentRow(next(row for row, text in enumerate(names) if name in text))


def test_that_a_season_is_made_from_what_was_asked(wizard: NewSeason, tmp_path: Path) -> None:
    _choose(wizard, "Heath nightjars")
    wizard.next()
    forward = wizard.button(QWizard.WizardButton.NextButton)
    assert not forward.isEnabled(), "the zone is never guessed"
    part(wizard.dates_page, QComboBox).setEditText("Europe/London")
    assert forward.isEnabled()
    wizard.next()
    assert wizard.path == tmp_path / "Nightjars 2027.dimpsy"
    made = new_season(wizard.path, wizard.wish)
    assert made.season.protocol.invented
    assert [str(dates) for dates in made.season.visits] == ["2027-05-10 to 2027-06-03", "2027-06-04 to 2027-07-02"]


def test_that_a_zone_is_found_by_a_place_and_taken_only_when_it_is_asked_for(wizard: NewSeason, qtbot: QtBot) -> None:
    wizard.next()
    page = wizard.dates_page
    search = part(page, ZoneSearch)
    search.place.setFocus()
    QTest.keyClicks(search.place, "54.98, -2.21")
    QTest.keyClick(search.place, Qt.Key.Key_Return)
    qtbot.waitUntil(search.take.isVisible, timeout=20_000)
    assert search.take.text() == "Take Europe/London"
    assert "54.98000, -2.21000 lies in Europe/London" in search.said.text()
    assert page.zone == ""
    assert wizard.currentPage() is page
    QTest.mouseClick(search.take, Qt.MouseButton.LeftButton)
    assert page.zone == "Europe/London"
    search.place.setFocus()
    QTest.keyClick(search.place, Qt.Key.Key_Return)
    assert wizard.currentPage() is page, "Enter looks for the zone and does not turn the page"
    QTest.keyClicks(search.place, "1")
    assert not search.take.isVisible(), "what was found for another place is not on offer"
    search.place.setText("nowhere")
    search.look.click()
    qtbot.waitUntil(lambda: "'nowhere'" in search.said.text(), timeout=5_000)
    assert not search.take.isVisible()
    assert page.zone == "Europe/London"


def test_that_a_zone_is_found_by_the_places_of_a_file(
    wizard: NewSeason, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = tmp_path / "points.csv"
    table.write_text("route,point,latitude,longitude\nR1,1,48.86,2.35\n", encoding="utf-8")
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_asked: ([str(table)], ""))
    wizard.next()
    search = part(wizard.dates_page, ZoneSearch)
    QTest.mouseClick(search.file, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(search.take.isVisible, timeout=10_000)
    assert search.said.text() == "The place in points.csv lies in Europe/Paris."
    assert wizard.dates_page.zone == ""
    search.take.click()
    assert wizard.dates_page.zone == "Europe/Paris"


def test_that_without_the_map_of_zones_it_is_said_how_to_get_it(
    wizard: NewSeason, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "timezonefinder", None)
    zone_finder._finder.cache_clear()
    wizard.next()
    search = part(wizard.dates_page, ZoneSearch)
    search.place.setText("54.98, -2.21")
    search.look.click()
    qtbot.waitUntil(search.said.isVisible, timeout=5_000)
    assert "pip install 'dimpsy[zones]'" in search.said.text()
    assert "34 MB" in search.said.text()
    assert not search.take.isVisible()
    zone_finder._finder.cache_clear()


def _name_file(monkeypatch: pytest.MonkeyPatch, asked: str, path: Path) -> None:
    """Have a file named where the system's own dialog would ask for one."""
    monkeypatch.setattr(QFileDialog, asked, lambda *_asked: (str(path), ""))


def test_that_a_shipped_protocol_is_written_to_a_file_changed_and_taken_as_ones_own(
    wizard: NewSeason, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, mine = wizard.protocol_page, tmp_path / "mine.toml"
    _choose(wizard, "Heath nightjars")
    _name_file(monkeypatch, "getSaveFileName", tmp_path / "mine")
    QTest.mouseClick(page.write, Qt.MouseButton.LeftButton)
    assert str(mine) in page.said.text()
    text = mine.read_text(encoding="utf-8")
    mine.write_text(text.replace("Heath nightjars at dusk (invented)", "Nightjars of ours"), encoding="utf-8")
    QTest.mouseClick(page.write, Qt.MouseButton.LeftButton)
    assert "Nightjars of ours" in mine.read_text(encoding="utf-8"), "nobody was asked whether to write over it"
    assert page.said.text().startswith("Nothing was written:")
    _name_file(monkeypatch, "getOpenFileName", mine)
    rows = part(wizard, QListWidget).count()
    for _ in range(2):
        QTest.mouseClick(page.another, Qt.MouseButton.LeftButton)
    protocols = part(wizard, QListWidget)
    assert protocols.count() == rows + 1, "taken twice it is offered once"
    assert protocols.currentItem().text() == "Nightjars of ours – mine.toml"
    assert not page.said.isVisible()
    assert not page.write.isEnabled()
    wizard.next()
    part(wizard.dates_page, QComboBox).setEditText("Europe/London")
    wizard.next()
    assert new_season(wizard.path, wizard.wish).season.protocol.name == "Nightjars of ours"


def test_that_a_faulty_protocol_is_told_in_place_with_all_its_faults(
    wizard: NewSeason, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, mine = wizard.protocol_page, tmp_path / "mine.toml"
    write_protocol("heath_nightjars", mine)
    text = mine.read_text(encoding="utf-8")
    mine.write_text(text.replace('least = "800 m"', 'least = "far"').replace("fewest = 8", "few = 8"), encoding="utf-8")
    _name_file(monkeypatch, "getOpenFileName", mine)
    before = page.offer
    QTest.mouseClick(page.another, Qt.MouseButton.LeftButton)
    assert page.said.isVisible()
    assert page.said.text() == "mine.toml cannot be taken:"
    assert page.faults.isVisible()
    faults = page.faults.toPlainText()
    assert [
        words for words in ("points.few: ", "points.fewest: ", "points.spacing.least: ") if words not in faults
    ] == []
    assert page.offer is before
    mine.write_text("".join(f"key_{number} = 1\n" for number in range(5000)), encoding="utf-8")
    QTest.mouseClick(page.another, Qt.MouseButton.LeftButton)
    assert len(page.faults.toPlainText().splitlines()) == 201
    _choose(wizard, "Heath nightjars")
    assert not page.faults.isVisible(), "another one was chosen"


def test_that_dates_that_do_not_fit_are_said_and_keep_one_on_the_page(wizard: NewSeason) -> None:
    _choose(wizard, "Heath nightjars")
    wizard.next()
    part(wizard.dates_page, QComboBox).setEditText("Europe/London")
    last = wizard.dates_page.findChildren(QDateEdit)[1]
    last.setDate(QDate(2027, 6, 1))
    assert not wizard.dates_page.isComplete()
    last.setDate(QDate(2027, 1, 1))
    assert not wizard.dates_page.isComplete()


def test_that_a_file_that_is_there_is_never_written_over(wizard: NewSeason, tmp_path: Path) -> None:
    _choose(wizard, "Heath nightjars")
    wizard.next()
    part(wizard.dates_page, QComboBox).setEditText("Europe/London")
    wizard.next()
    assert wizard.place_page.isComplete()
    (tmp_path / "taken.dimpsy").touch()
    path = wizard.place_page.findChildren(QLineEdit)[0]
    for field in wizard.place_page.findChildren(QLineEdit):
        if field.accessibleName() == "Season file":
            path = field
    path.setText(str(tmp_path / "taken"))
    assert not wizard.place_page.isComplete()
    path.setText(str(tmp_path / "nowhere" / "new.dimpsy"))
    assert not wizard.place_page.isComplete()


@pytest.mark.parametrize("offer", protocol_offers(), ids=lambda offer: offer.name)
def test_that_every_protocol_has_usual_dates_of_a_season_to_come(offer: object) -> None:
    (given,) = [one for one in protocol_offers() if one == offer]
    usual = usual_dates(given.protocol, TODAY)
    assert usual.season.first > TODAY
    assert len(usual.visits) == len(given.protocol.visits)
    assert all(usual.season.first <= dates.first <= dates.last <= usual.season.last for dates in usual.visits)


def test_that_the_figures_of_every_protocol_are_said_in_words(wizard: NewSeason, qtbot: QtBot) -> None:
    protocols = part(wizard, QListWidget)
    said = []
    for row, offer in enumerate(protocol_offers()):
        protocols.setCurrentRow(row)
        said += [label.text() for label in wizard.currentPage().findChildren(QLabel)]
        page = ProtocolPage(offer.protocol, LIGHT)
        qtbot.addWidget(page)
        said += [label.text() for label in page.findChildren(QLabel)]
    assert any("light window 1, pass 1: within minutes" in text for text in said)
    assert [text for text in said if "windows[" in text or "passes[" in text or "_minutes" in text] == []
