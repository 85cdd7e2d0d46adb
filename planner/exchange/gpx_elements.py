"""The elements of a GPX file that matter here, each with its line, read without trusting the file."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias
from xml.sax import SAXParseException
from xml.sax.handler import ContentHandler, feature_namespaces
from xml.sax.xmlreader import AttributesNSImpl, InputSource, Locator

import defusedxml.sax
from defusedxml.common import DefusedXmlException

from planner.domain.errors import InputError
from planner.exchange.faults import refused
from planner.exchange.source_text import read_bytes

DEEPEST = 64
"""Deepest nesting that is read; a GPX file with extensions has about 8."""
VERSIONS = ("1.0", "1.1")
"""GPX versions; the schemas are at https://www.topografix.com/GPX/1/0 and /1/1."""
_NAMESPACES = {"", *(f"http://www.topografix.com/GPX/{version.replace('.', '/')}" for version in VERSIONS)}
_WANTED = "a GPX file"
_AGAIN = "Export it again, or choose another file."
_TEXTS = {"name", "desc", "cmt", "type"}

_Name: TypeAlias = tuple[str | None, str]


@dataclass(slots=True)
class GpxPoint:
    """A waypoint or a point of a route, as it is written."""

    line: int
    element: str
    """wpt or rtept."""
    latitude: str
    longitude: str
    texts: dict[str, str] = field(default_factory=dict)
    """Contents of name, desc, cmt and type."""

    @property
    def where(self) -> str:
        """Line and element."""
        return f"line {self.line}, <{self.element}>"


@dataclass(slots=True)
class GpxRoute:
    """A route with its points."""

    line: int
    texts: dict[str, str] = field(default_factory=dict)
    points: list[GpxPoint] = field(default_factory=list)

    @property
    def where(self) -> str:
        """Line and element."""
        return f"line {self.line}, <rte>"


@dataclass(slots=True)
class GpxElements:
    """What a GPX file holds."""

    routes: list[GpxRoute] = field(default_factory=list)
    waypoints: list[GpxPoint] = field(default_factory=list)
    track_lines: list[int] = field(default_factory=list)
    """Line of each track."""


def read_elements(path: Path) -> GpxElements:
    """Read a GPX 1.0 or 1.1 file.

    Coordinates and names come back as text, unjudged. Elements of other namespaces are passed over.

    Raises:
        InputError: the file is unreadable, empty, too large, not well-formed (cut off, say), declares a DOCTYPE, is
            nested too deeply, or is no GPX of these versions.
    """
    handler = _Handler(path)
    parse_safely(read_bytes(path, _WANTED), path, handler)
    return handler.elements


def parse_safely(data: bytes, path: Path, handler: ContentHandler) -> None:
    """Run a handler over XML that may be hostile; raises InputError with the line where it cannot be read on."""
    parser = defusedxml.sax.make_parser()
    parser.forbid_dtd = True
    parser.setFeature(feature_namespaces, True)
    parser.setContentHandler(handler)
    source = InputSource()
    source.setByteStream(io.BytesIO(data))
    try:
        parser.parse(source)
    except SAXParseException as error:
        where = f"line {error.getLineNumber()}"
        raise refused(path, where, "well-formed XML to its end", error.getMessage(), _AGAIN) from error
    except DefusedXmlException as error:
        where = f"line {parser.getLineNumber()}"
        todo = "Do not trust this file; export it again."
        raise refused(path, where, "XML without a DOCTYPE", "a DOCTYPE", todo) from error
    except (ValueError, LookupError) as error:
        # An encoding that the declaration names and Python does not know, or bytes that are not of it.
        raise refused(path, "line 1", "XML in an encoding that is known", str(error), _AGAIN) from error


class _Handler(ContentHandler):
    """Collects routes, waypoints and tracks of the root's namespace."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.elements = GpxElements()
        self._path = path
        self._namespace: str | None = None
        self._open: list[str] = []
        self._route: GpxRoute | None = None
        self._point: GpxPoint | None = None
        self._text: list[str] | None = None
        self._place_in_file: Locator | None = None

    @property
    def _line(self) -> int:
        return (self._place_in_file.getLineNumber() or 0) if self._place_in_file else 0

    def setDocumentLocator(self, locator: Locator) -> None:  # noqa: N802 - as the SAX library has it
        """Keep what knows the line."""
        self._place_in_file = locator

    def startElementNS(self, name: _Name, qname: str | None, attrs: AttributesNSImpl) -> None:  # noqa: ARG002, N802 - as the SAX library has it
        """Note an element that opens."""
        namespace, local = name
        if not self._open:
            self._root(namespace, local, attrs)
        if len(self._open) >= DEEPEST:
            raise self._refused(f"elements nested at most {DEEPEST} deep", "deeper ones", _AGAIN)
        parent = self._open[-1] if self._open else ""
        known = namespace == self._namespace
        self._open.append(local if known else "")
        if known:
            self._start(local, parent, attrs)

    def endElementNS(self, name: _Name, qname: str | None) -> None:  # noqa: ARG002, N802 - as the SAX library has it
        """Note an element that closes."""
        local = self._open.pop()
        if self._text is not None and local in _TEXTS:
            owner = self._point or self._route
            if owner is not None:
                owner.texts.setdefault(local, " ".join("".join(self._text).split()))
            self._text = None
        elif local in {"wpt", "rtept"}:
            self._point = None
        elif local == "rte":
            self._route = None

    def characters(self, content: str) -> None:
        """Note text inside a name or a description."""
        if self._text is not None:
            self._text.append(content)

    def _start(self, local: str, parent: str, attrs: AttributesNSImpl) -> None:
        values: Mapping[_Name, str] = dict(attrs.items())
        match parent, local:
            case "gpx", "trk":
                self.elements.track_lines.append(self._line)
            case "gpx", "rte":
                self._route = GpxRoute(self._line)
                self.elements.routes.append(self._route)
            case ("rte", "rtept") | ("gpx", "wpt"):
                latitude, longitude = (values.get((None, key), "") for key in ("lat", "lon"))
                self._point = GpxPoint(self._line, local, latitude, longitude)
                (self._route.points if self._route else self.elements.waypoints).append(self._point)
            case "rte" | "rtept" | "wpt", text if text in _TEXTS:
                self._text = []

    def _root(self, namespace: str | None, local: str, attrs: AttributesNSImpl) -> None:
        self._namespace = namespace
        if local != "gpx" or (namespace or "") not in _NAMESPACES:
            raise self._refused("the root element <gpx>", f"<{local}>" + _of(namespace), "Choose a GPX file.")
        version = attrs.get((None, "version"), "")
        if version not in VERSIONS:
            found = f"version {version!r}" if version else "no version"
            raise self._refused("GPX version 1.0 or 1.1", found, "Export it again as GPX 1.1.")

    def _refused(self, expected: str, found: str, todo: str) -> InputError:
        return refused(self._path, f"line {self._line}", expected, found, todo)


def _of(namespace: str | None) -> str:
    return f" of {namespace}" if namespace else ""
