"""Reads XML that may be hostile, element by element."""

from __future__ import annotations

import io
import re
from abc import ABC, abstractmethod
from pathlib import Path
from typing import TypeAlias
from xml.sax import SAXParseException
from xml.sax.handler import ContentHandler, feature_namespaces
from xml.sax.xmlreader import AttributesNSImpl, InputSource, Locator

import defusedxml.sax
from defusedxml.common import DefusedXmlException

from planner.domain.errors import InputError
from planner.exchange.faults import refused
from planner.exchange.map_files.drawing import PlaceCount

DEEPEST = 64
"""Deepest nesting that is read; a GPX file with extensions has about 8, folders of a KML file seldom more than 20."""
EXPORT_AGAIN = "Export it again, or choose another file."

LONGEST_TAG = 2**20
"""Longest mark with its attributes, in bytes: each attribute takes some hundred bytes of memory."""
_LONG_TAG = re.compile(rb"<[^<>]{%d}" % LONGEST_TAG)
LONGEST_TEXT = 2**21
"""Longest text of one element, in letters, coordinates apart."""

_Name: TypeAlias = tuple[str | None, str]


def parse_safely(data: bytes, path: Path, handler: ContentHandler, inside: str = "") -> None:
    """Run a handler over XML that may be hostile.

    Args:
        data: the XML.
        path: the file it stands in, for what is said of it.
        handler: told of every element.
        inside: what the XML is called inside of that file, where it is but a part of it.

    Raises:
        InputError: with the line where it cannot be read on: it is not well-formed, or declares a DOCTYPE.
    """
    parser = defusedxml.sax.make_parser()
    parser.forbid_dtd = True
    parser.setFeature(feature_namespaces, True)
    parser.setContentHandler(handler)
    source = InputSource()
    source.setByteStream(io.BytesIO(data))
    place = f"{inside}, " if inside else ""
    if _LONG_TAG.search(data):
        raise refused(path, inside, f"marks of at most {LONGEST_TAG // 2**20} MB each", "a longer one", EXPORT_AGAIN)
    try:
        parser.parse(source)
    except SAXParseException as error:
        where = f"{place}line {error.getLineNumber()}"
        raise refused(path, where, "well-formed XML to its end", error.getMessage(), EXPORT_AGAIN) from error
    except DefusedXmlException as error:
        where = f"{place}line {parser.getLineNumber()}"
        todo = "Do not trust this file; export it again."
        raise refused(path, where, "XML without a DOCTYPE", "a DOCTYPE", todo) from error
    except (ValueError, LookupError) as error:
        # An encoding that the declaration names and Python does not know, or bytes that are not of it.
        raise refused(path, f"{place}line 1", "XML in an encoding that is known", str(error), EXPORT_AGAIN) from error


def one_line(text: str) -> str:
    """Return text trimmed, with single spaces."""
    return " ".join(text.split())


class ElementReader(ContentHandler, ABC):
    """Walks through the elements of one vocabulary, and knows the line; all others are passed over.

    A reader of one format says which namespaces are its own, and what its elements mean.
    """

    def __init__(self, path: Path, inside: str = "") -> None:
        super().__init__()
        self.path = path
        self.open: list[str] = []
        """Names of the open elements from the root on, empty for those of other vocabularies."""
        self.places = PlaceCount(path)
        """What a reader adds to for every point and line."""
        self._inside = f"{inside}, " if inside else ""
        self._text: list[str] | None = None
        self._text_depth = self._room = 0
        self._place_in_file: Locator | None = None

    @abstractmethod
    def knows(self, namespace: str, name: str) -> bool:
        """Whether an element belongs to the vocabulary."""

    @abstractmethod
    def began(self, name: str, parent: str, values: dict[str, str]) -> None:
        """Take in an element that opens, with its attributes."""

    @abstractmethod
    def ended(self, name: str, text: str | None) -> None:
        """Take in an element that closes; its text where :meth:`gather` was called as it opened."""

    @abstractmethod
    def checked_root(self, namespace: str, name: str, values: dict[str, str]) -> None:
        """Raise InputError where a root element is not that of the format."""

    @property
    def where(self) -> str:
        """The line that is being read."""
        line = (self._place_in_file.getLineNumber() or 0) if self._place_in_file else 0
        return f"{self._inside}line {line}"

    def gather(self, most: int = LONGEST_TEXT) -> None:
        """Gather the text of the element that just opened, and refuse it where it is longer than so many letters."""
        self._text, self._text_depth, self._room = [], len(self.open), most

    def refused(self, expected: str, found: str, todo: str) -> InputError:
        """Return the error of a file that is refused at this line."""
        return refused(self.path, self.where, expected, found, todo)

    def setDocumentLocator(self, locator: Locator) -> None:  # noqa: N802 - as the SAX library has it
        """Keep what knows the line."""
        self._place_in_file = locator

    def startElementNS(self, name: _Name, qname: str | None, attrs: AttributesNSImpl) -> None:  # noqa: ARG002, N802 - as the SAX library has it
        """Note an element that opens."""
        namespace, local = name[0] or "", name[1]
        values = {key: value for (space, key), value in dict(attrs.items()).items() if space is None}
        if not self.open:
            self.checked_root(namespace, local, values)
        if len(self.open) >= DEEPEST:
            raise self.refused(f"elements nested at most {DEEPEST} deep", "deeper ones", EXPORT_AGAIN)
        parent = self.open[-1] if self.open else ""
        known = self.knows(namespace, local)
        self.open.append(local if known else "")
        if known:
            self.began(local, parent, values)

    def endElementNS(self, name: _Name, qname: str | None) -> None:  # noqa: ARG002, N802 - as the SAX library has it
        """Note an element that closes."""
        text = None
        if self._text is not None and self._text_depth == len(self.open):
            text, self._text = "".join(self._text), None
        local = self.open.pop()
        if local:
            self.ended(local, text)

    def characters(self, content: str) -> None:
        """Note text of an element whose text is gathered."""
        if self._text is not None:
            self._text.append(content)
            self._room -= len(content)
            if self._room < 0:
                raise self.refused("names and notes of a few words", "a text without end", EXPORT_AGAIN)
