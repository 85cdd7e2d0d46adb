"""The time zone of a file's places, for a season that is yet to be made. Zones of the towns: from memory."""

from __future__ import annotations

from pathlib import Path

from planner.usecases.importing.zone_of_files import zone_of_files
from tests.unit.exchange.samples import write

POINTS = "route,point,latitude,longitude\nR1,1,48.86,2.35\nR1,2,48.87,2.36\nR1,3,51.5,-0.12\n"
PEOPLE = "code,name,latitude,longitude\nV1,Ada Thornbury,37.98,23.73\n"


def test_that_the_zone_of_most_places_is_found_and_of_homes_too(tmp_path: Path) -> None:
    points, people = write(tmp_path / "points.csv", POINTS), write(tmp_path / "people.csv", PEOPLE)
    found = zone_of_files([points, people])
    assert found.zone == "Europe/Paris"
    assert found.reason == "Most of the 4 places in points.csv, people.csv lie in Europe/Paris."
    assert zone_of_files([people]).zone == "Europe/Athens"


def test_that_a_file_without_places_or_with_faults_says_why(tmp_path: Path) -> None:
    wrong = zone_of_files([write(tmp_path / "wrong.csv", POINTS.replace("48.86", "148.86"))])
    assert wrong.zone == ""
    assert "148.86" in wrong.reason
    routes = zone_of_files([write(tmp_path / "routes.csv", "route,name\nR1,Fernhythe Common\n")])
    assert routes.reason == "There are no places of routes or volunteers in it."
    at_sea = zone_of_files([write(tmp_path / "sea.csv", "route,point,latitude,longitude\nR1,1,0,-30\n")])
    assert at_sea.zone == ""
    assert "at sea" in at_sea.reason
