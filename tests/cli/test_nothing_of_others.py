"""Whatever goes out to somebody, in files or on paper, holds nothing of anybody else's.

Allowed are the first name and the number of whoever goes with them, and the coordinator.
"""

from __future__ import annotations

import datetime as dt
import html
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from enum import Enum
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote
from zipfile import ZipFile

import piexif
import pytest
from PIL import Image
from pypdf import PdfReader

from planner.domain.field.habitat_sheet import SheetKey
from planner.domain.field.visit_record import PointRecord, RecordKey, VisitRecord
from planner.domain.geo import Place
from planner.domain.itinerary import Partner, RouteMap
from planner.domain.season import Season
from planner.domain.volunteer import Volunteer
from planner.store import SeasonFile
from planner.usecases.field_files import write_fill_in
from planner.usecases.paper.itineraries import PrintFacts, itinerary_for
from planner.usecases.paper.print_facts import facts_of
from planner.usecases.records import keep_record
from planner.usecases.reports.writing import ReportWish, report_of, write_report
from planner.usecases.sheets import attach_photos, keep_sheets
from tests.unit.usecases.sheet_seasons import draft

pytestmark = pytest.mark.xdist_group("heath")

APRIL = dt.datetime(2027, 4, 1, 9, 0, tzinfo=dt.UTC)
KINDS = {"calendar.ics", "telephone.html", "message.txt", "short message.txt"}
NEAR_DEG = 0.0006
"""A home given to three digits of a degree lies within half of the last one."""


@dataclass(frozen=True, slots=True)
class Search:
    """Looks for everybody else's data in what one person is given."""

    season: Season
    reader: Volunteer
    partners: tuple[Partner, ...]

    def found_in(self, data: str) -> list[str]:
        """Return what is in it of others, each with what was looked for."""
        text = readable(data)
        words = set(re.findall(r"\w[\w'’-]*", text.casefold()))
        digits = re.sub(r"(?<=\d)[ \-.]+(?=\d)", "", text)
        pairs = list(places_in(text))
        return [
            f"{other.code}: {what}"
            for other in self.season.volunteers
            if other.code != self.reader.code
            for what in self._of(other, text.casefold(), words, digits, pairs)
        ]

    @property
    def _words_of_ground(self) -> set[str]:
        """Words of the names of routes: somebody may be called as a heath is."""
        return set(re.findall(r"\w[\w'’-]*", " ".join(one.title for one in self.season.routes).casefold()))

    def _of(
        self, other: Volunteer, text: str, words: set[str], digits: str, pairs: list[tuple[float, float]]
    ) -> Iterator[str]:
        family = surname(other).casefold()
        if other.name.casefold() in text or (family in words and family not in self._words_of_ground):
            yield other.name
        numbers = {self.season.coordinator.telephone, *(partner.telephone for partner in self.partners)}
        if other.telephone and other.telephone not in numbers and other.telephone.replace(" ", "") in digits:
            yield other.telephone
        if other.email and other.email.casefold().partition("@")[0] in text:
            yield other.email
        if any(near(pair, other.home) for pair in pairs):
            yield str(other.home)


def surname(person: Volunteer) -> str:
    return person.name.split()[-1]


def readable(data: str) -> str:
    """Return a text without the ways in which files fold and escape it."""
    unfolded = data.replace("\r\n ", "").replace("\\n", "\n").replace("\\,", ",").replace("\\;", ";")
    return unquote(html.unescape(unfolded))


def places_in(text: str) -> Iterator[tuple[float, float]]:
    """Yield every two numbers of three digits and more that follow one another, either way round."""
    numbers = [float(one) for one in re.findall(r"-?\d{1,3}\.\d{3,}", text)]
    for a, b in pairwise(numbers):
        yield a, b
        yield b, a


def near(pair: tuple[float, float], home: Place) -> bool:
    return abs(pair[0] - home.latitude) < NEAR_DEG and abs(pair[1] - home.longitude) < NEAR_DEG


def said_by(value: object) -> Iterator[str]:
    """Yield every text and place of a value and its parts; roads of a map pass everybody's house and name nobody."""
    if isinstance(value, RouteMap):
        yield value.attribution
    elif isinstance(value, Place):
        yield f"{value.latitude:.6f}, {value.longitude:.6f};"
    elif isinstance(value, Enum) or value is None:
        return
    elif is_dataclass(value):
        for each in fields(value):
            yield from said_by(getattr(value, each.name))
    elif isinstance(value, tuple | frozenset | list):
        for one in value:
            yield from said_by(one)
    elif isinstance(value, str):
        yield value


@pytest.fixture(scope="module")
def facts(sent_once: Path) -> PrintFacts:
    with SeasonFile.open(sent_once / "heath.dimpsy") as file:
        return facts_of(file, APRIL)


def search_for(facts: PrintFacts, code: str) -> Search:
    season, visits = facts.season, facts.plan.of_volunteer(code)
    others = [season.volunteer(one) for visit in visits for one in visit.people if one != code]
    return Search(season, season.volunteer(code), tuple(Partner(one.first_name, one.telephone) for one in others))


def test_that_no_file_of_anybody_holds_anything_of_anybody_else_s(facts: PrintFacts, sent_once: Path) -> None:
    folders = sorted(path for path in (sent_once / "out").iterdir() if path.is_dir())
    assert len(folders) == 33
    for folder in folders:
        search = search_for(facts, folder.name.split()[0])
        names = {path.name for path in folder.iterdir()}
        assert names >= KINDS
        assert any(name.endswith(".gpx") for name in names)
        for path in folder.iterdir():
            assert search.found_in(f"{path.name}\n{path.read_bytes().decode()}") == [], path


def test_that_no_file_holds_where_its_reader_lives(facts: PrintFacts, sent_once: Path) -> None:
    for path in (sent_once / "out").glob("*/*"):
        home = facts.season.volunteer(path.parent.name.split()[0]).home
        pairs = places_in(readable(path.read_bytes().decode()))
        assert not [pair for pair in pairs if near(pair, home)], path


def test_that_no_itinerary_holds_anything_of_anybody_else_s(facts: PrintFacts, heath_made: Path) -> None:
    """Paper draws what stands in the itinerary and nothing else; of two people the paper itself is read too."""
    for person in facts.season.volunteers:
        if facts.plan.of_volunteer(person.code):
            itinerary = itinerary_for(facts, person.code)
            itinerary = replace(
                itinerary, volunteer=replace(person, home=Place(0, 0))
            )  # a neighbour's is as good as it
            assert search_for(facts, person.code).found_in("\n".join(said_by(itinerary))) == [], person.code
    papers = sorted((heath_made / "itineraries").glob("V0[48] *.pdf"))
    assert len(papers) == 2
    for path in papers:
        text = "\n".join(page.extract_text() for page in PdfReader(path).pages)
        assert text
        assert search_for(facts, path.name.split()[0]).found_in(text) == [], path


@pytest.fixture(scope="module")
def came_back(heath_made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the dusk demo after a first visit: sheets of both who went, a picture, and the record."""
    folder = tmp_path_factory.mktemp("back")
    for path in heath_made.glob("heath*"):
        if not path.name.endswith(".lock"):
            shutil.copy(path, folder / path.name)
    with SeasonFile.open(folder / "heath.dimpsy") as file:
        visit = next(one for one in file.plan() if one.second)
        keys = [SheetKey(visit.key.route, visit.key.number, 1, code) for code in visit.people]
        keep_sheets(file, [replace(draft(key, {"TH": 100}), note="the gate is locked") for key in keys])
        picture = Image.new("RGB", (64, 48))
        name = file.season().volunteer(visit.second).name.encode()
        picture.save(folder / "gate.jpg", exif=piexif.dump({"0th": {piexif.ImageIFD.Artist: name}}))
        attach_photos(file, keys[1], [folder / "gate.jpg"])
        count = PointRecord(1, began_utc=dt.datetime.combine(visit.date, dt.time(20), dt.UTC))
        key = RecordKey(visit.key.route, visit.key.number, visit.date)
        keep_record(file, VisitRecord(key, visit.people, (count,)), visit.date + dt.timedelta(days=1))
        write_fill_in(file, folder / "fill in")
        write_report(*report_of(file, visit.date), folder / "report", ReportWish())
    return folder


def parts_of(path: Path) -> Iterator[str]:
    """Yield every text in a file: of a workbook all that is packed in it, of a PDF its pages."""
    if path.suffix == ".xlsx":
        with ZipFile(path) as packed:
            yield from (packed.read(name).decode() for name in packed.namelist())
    elif path.suffix == ".pdf":
        yield from (page.extract_text() for page in PdfReader(path).pages)
    else:
        yield path.read_text(encoding="utf-8-sig")


def test_that_no_workbook_to_fill_in_holds_anything_of_anybody_else_s(facts: PrintFacts, came_back: Path) -> None:
    books = sorted((came_back / "fill in").iterdir())
    assert len(books) == 33
    for path in books:
        search = search_for(facts, path.name.split()[0])
        text = "\n".join((path.name, *parts_of(path)))
        assert search.found_in(text) == [], path
        somebody = next(one for one in facts.season.volunteers if one.code != search.reader.code)
        assert search_for(facts, somebody.code).found_in(text) == [f"{search.reader.code}: {search.reader.name}"], path


def test_that_no_file_of_a_report_names_a_volunteer_or_tells_a_home(facts: PrintFacts, came_back: Path) -> None:
    """Pictures stay beside the season file, with whatever a camera wrote into them."""
    everybody = Search(facts.season, replace(facts.season.volunteers[0], code="nobody"), ())
    files = sorted((came_back / "report").iterdir())
    assert {path.suffix for path in files} == {".csv", ".geojson", ".json", ".pdf"}
    assert "gate.jpg" in (came_back / "report" / "photos.csv").read_text(encoding="utf-8-sig")
    for path in files:
        assert everybody.found_in("\n".join(parts_of(path))) == [], path
    with_names = Path(came_back / "named")
    with SeasonFile.open(came_back / "heath.dimpsy") as file:
        write_report(*report_of(file, dt.date(2027, 7, 10)), with_names, ReportWish(names=True))
    named = [path.name for path in sorted(with_names.iterdir()) if everybody.found_in("\n".join(parts_of(path)))]
    assert named == ["hours.csv", "hours_by_month.csv"]


@pytest.mark.parametrize("wrap", ["{}", "DESCRIPTION:You lead\\, with {}\\nx", "<p>{}</p>", "mailto:x?body={}"])
def test_that_what_is_planted_is_found(facts: PrintFacts, wrap: str) -> None:
    reader = facts.season.volunteers[0]
    search = search_for(facts, reader.code)
    own = {reader.code, *(one.code for one in facts.season.volunteers if search_partner(search, one))}
    other = next(one for one in facts.season.volunteers if one.code not in own)
    home = other.home
    planted = {
        other.name: other.name,
        surname(other).upper(): other.name,
        other.name.replace(" ", "%20"): other.name,
        f"{surname(other)[:3]}\r\n {surname(other)[3:]}": other.name,
        other.telephone: other.telephone,
        other.telephone.replace(" ", ""): other.telephone,
        other.telephone.replace(" ", "-"): other.telephone,
        other.email: other.email,
        other.email.replace("@", "%40"): other.email,
        f"geo:{home.latitude:.3f},{home.longitude:.3f}": str(home),
        f'lat="{home.latitude}" lon="{home.longitude}"': str(home),
        f"[{home.longitude:.5f}, {home.latitude:.5f}]": str(home),
    }
    for text, what in planted.items():
        assert f"{other.code}: {what}" in search.found_in(wrap.format(text)), text
    partner = next(one for one in facts.season.volunteers if search_partner(search, one))
    assert search.found_in(wrap.format(f"{partner.first_name} {partner.telephone}")) == []
    assert search.found_in(wrap.format(partner.name)) == [f"{partner.code}: {partner.name}"]
    assert search.found_in(wrap.format(facts.season.coordinator.telephone)) == []


def search_partner(search: Search, person: Volunteer) -> bool:
    return Partner(person.first_name, person.telephone) in search.partners
