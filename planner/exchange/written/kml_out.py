"""Routes as KML 2.2 (OGC 07-147r2): a folder for each, with its points and the line through them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.etree.ElementTree import Element, SubElement

from planner.domain.geo import Place
from planner.domain.route import Route
from planner.exchange.written.letters import CAUTION, degrees, plain, point_name, title
from planner.exchange.written.xml_text import add_text, document


def kml_bytes(name: str, routes: Sequence[Route]) -> bytes:
    """Return a KML file of routes.

    Args:
        name: of the season.
        routes: the routes, in the order in which they are written.
    """
    root = Element("kml", {"xmlns": "http://www.opengis.net/kml/2.2"})
    whole = SubElement(root, "Document")
    add_text(whole, "name", plain(name))
    add_text(whole, "description", CAUTION)
    for route in routes:
        folder = SubElement(whole, "Folder")
        add_text(folder, "name", title(route))
        code = plain(route.code)
        line = _placemark(folder, title(route), "", {"route": code})
        if len(route.points) > 1:
            at = " ".join(_coordinates(point.place) for point in route.points)
            SubElement(SubElement(line, "LineString"), "coordinates").text = at
        for point in route.points:
            note = plain(point.note)
            fields = {"route": code, "point": str(point.number), "note": note}
            made = _placemark(folder, point_name(route, point), note, fields)
            SubElement(SubElement(made, "Point"), "coordinates").text = _coordinates(point.place)
    return document(root)


def _placemark(folder: Element, name: str, description: str, fields: Mapping[str, str]) -> Element:
    made = SubElement(folder, "Placemark")
    add_text(made, "name", name)
    add_text(made, "description", description)
    extended = SubElement(made, "ExtendedData")
    for key, text in fields.items():
        if text:
            SubElement(SubElement(extended, "Data", {"name": key}), "value").text = text
    return made


def _coordinates(place: Place) -> str:
    return f"{degrees(place.longitude)},{degrees(place.latitude)}"
