"""The root element of an XML file, from its beginning alone."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import NamedTuple
from xml.sax.handler import ContentHandler
from xml.sax.xmlreader import AttributesNSImpl

from planner.exchange.safe_xml import parse_safely


class XmlName(NamedTuple):
    """Name of an element."""

    namespace: str
    """Empty where there is none."""
    name: str


class _RootFoundError(Exception):
    """Ends the parsing: the first look may hold no more than the beginning of a file."""


class _Root(ContentHandler):
    def __init__(self) -> None:
        super().__init__()
        self.found = XmlName("", "")

    def startElementNS(  # noqa: N802 - as the SAX library has it
        self,
        name: tuple[str | None, str],
        qname: str | None,  # noqa: ARG002 - as the SAX library has it
        attrs: AttributesNSImpl,  # noqa: ARG002 - as the SAX library has it
    ) -> None:
        self.found = XmlName(name[0] or "", name[1])
        raise _RootFoundError


def looks_like_xml(data: bytes) -> bool:
    """Whether bytes begin like XML, in whatever encoding."""
    start = data[:200].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    return start.startswith(b"<")


def root_of(data: bytes, path: Path) -> XmlName:
    """Return the root element; raises InputError where there is none, or a DOCTYPE before it."""
    root = _Root()
    with suppress(_RootFoundError):
        parse_safely(data, path, root)
    return root.found
