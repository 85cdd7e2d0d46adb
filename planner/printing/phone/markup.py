"""HTML put together as a tree: whatever stands in a name or a note, it stays text."""

from __future__ import annotations

from xml.etree.ElementTree import Element, SubElement, tostring


def put(parent: Element, tag: str, words: str = "", /, **attributes: str) -> Element:
    """Add an element at the end of another and return it.

    Args:
        parent: what it is added to.
        tag: its name.
        words: text that it begins with.
        **attributes: in Python's spelling: ``class_`` for class, ``data_from`` for data-from.
    """
    named = {name.rstrip("_").replace("_", "-"): value for name, value in attributes.items()}
    element = SubElement(parent, tag, named)
    element.text = words or None
    return element


def say(parent: Element, words: str) -> None:
    """Add text after all that an element holds."""
    if len(parent):
        parent[-1].tail = (parent[-1].tail or "") + words
    else:
        parent.text = (parent.text or "") + words


def as_html(root: Element) -> bytes:
    """Return a document in UTF-8; what UTF-8 cannot hold, half a letter, is named by its number."""
    text: str = tostring(root, encoding="unicode", method="html")
    return b"<!doctype html>\n" + text.encode("utf-8", "xmlcharrefreplace") + b"\n"
