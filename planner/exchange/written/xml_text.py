"""XML documents as bytes."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement, indent, tostring


def add_text(parent: Element, name: str, text: str) -> None:
    """Add an element with text; none where the text is empty."""
    if text:
        SubElement(parent, name).text = text


def document(root: Element) -> bytes:
    """Return a document in UTF-8 with its declaration, an element a line."""
    indent(root)
    whole: bytes = tostring(root, encoding="UTF-8", xml_declaration=True)
    return whole + b"\n"
