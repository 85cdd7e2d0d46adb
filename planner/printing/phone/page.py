"""The telephone page as a whole: one file that needs nothing else."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from functools import cache
from xml.etree.ElementTree import Element

from planner.domain.itinerary import Itinerary
from planner.printing.phone.ground_part import Ground, add_ground, grounds_of
from planner.printing.phone.knowledge_part import add_care, add_contact, add_habitat, add_weather
from planner.printing.phone.markup import as_html, put, say
from planner.printing.phone.outing_part import Part, add_outing, line_of, part_of
from planner.printing.times import MONTHS
from planner.printing.wording import INVENTED, PRIVATE
from planner.shipped import resources


def phone_page(itinerary: Itinerary) -> bytes:
    """Return one volunteer's itinerary as a single HTML file (UTF-8) to be carried on a telephone.

    It loads nothing and sends nothing: a content security policy forbids all but its own style and script, each named
    by its hash. Everything stands in it without the script too; the script adds what comes next by the telephone's
    clock. The same itinerary gives the same bytes. It holds the volunteer's own name, a partner's first name
    and number, and the coordinator; no home.

    Args:
        itinerary: what is to be carried; its moments are shown in its own zone.
    """
    days = (*itinerary.days, *itinerary.reserves)
    in_time = sorted(days, key=lambda day: day.outing.leave_home_utc)
    parts = [part_of(itinerary, day, number) for number, day in enumerate(in_time, start=1)]
    root = Element("html", {"lang": "en-GB"})
    _add_head(root, itinerary)
    _add_body(root, itinerary, parts, grounds_of(parts))
    return as_html(root)


def _add_head(root: Element, itinerary: Itinerary) -> None:
    head = put(root, "head")
    put(head, "meta", charset="utf-8")
    style, script = _resource("page.css"), _resource("page.js")
    policy = (
        f"default-src 'none'; style-src '{_hash(style)}'; script-src '{_hash(script)}'; base-uri 'none';"
        " form-action 'none'"
    )
    put(head, "meta", http_equiv="Content-Security-Policy", content=policy)
    put(head, "meta", name="viewport", content="width=device-width, initial-scale=1")
    put(head, "meta", name="color-scheme", content="dark")
    put(head, "meta", name="theme-color", content="#000000")
    put(head, "meta", name="referrer", content="no-referrer")
    put(head, "meta", name="robots", content="noindex")
    put(head, "meta", name="format-detection", content="telephone=no")
    put(head, "title", f"{itinerary.season}, outings of {itinerary.volunteer.name}")
    put(head, "style", style)


def _add_body(root: Element, itinerary: Itinerary, parts: Sequence[Part], grounds: Sequence[Ground]) -> None:
    body = put(root, "body", id="top", data_zone=itinerary.zone, data_made=itinerary.printed_on.isoformat())
    main = put(body, "main")
    _add_next(main)
    _add_titles(main, itinerary)
    _add_list(main, parts)
    add_contact(main, itinerary)
    for part in parts:
        add_outing(main, part, next(ground.name for ground in grounds if part in ground.parts))
    for ground in grounds:
        add_ground(main, itinerary, ground)
    add_weather(main, itinerary)
    add_habitat(main, itinerary)
    add_care(main, itinerary)
    _add_foot(body, itinerary)
    put(body, "script", _resource("page.js"))


def _add_next(main: Element) -> None:
    """Add the empty place of what comes next: only the script fills and shows it."""
    section = put(main, "section", id="next", aria_labelledby="next-title", hidden="")
    put(section, "h2", "Next", id="next-title")
    put(section, "p", id="next-now")
    put(section, "div", id="next-cards")
    put(section, "ul", id="next-doubts")
    put(section, "p", id="next-said", role="status", class_="unseen")


def _add_titles(main: Element, itinerary: Itinerary) -> None:
    header = put(main, "header")
    put(header, "p", itinerary.survey)
    put(header, "h1", itinerary.season)
    put(header, "p", itinerary.volunteer.name, class_="loud")
    put(header, "p", _edition(itinerary))
    if itinerary.invented:
        put(header, "p", INVENTED.replace("paper", "page"), class_="notice")


def _edition(itinerary: Itinerary) -> str:
    day = itinerary.printed_on
    made = f"Made {day.day} {MONTHS[day.month - 1]} {day.year}, revision {itinerary.revision}."
    return f"{made} Void if a newer one came."


def _add_list(main: Element, parts: Sequence[Part]) -> None:
    navigation = put(main, "nav", aria_labelledby="outings-title")
    put(navigation, "h2", "Your outings", id="outings-title")
    if not parts:
        put(navigation, "p", "No outing is planned for you.")
        return
    rows = put(navigation, "ul", role="list")
    for part in parts:
        link = put(put(rows, "li"), "a", line_of(part), href=f"#outing{part.number}", class_="key")
        say(link, f": leave {part.clock.show(part.leave_utc)}")


def _add_foot(body: Element, itinerary: Itinerary) -> None:
    footer = put(body, "footer")
    label = put(footer, "label", class_="key")
    put(label, "input", type="checkbox", id="daylight")
    say(label, " Black on white, for daylight. In the dark it dazzles.")
    put(footer, "p", PRIVATE.replace("This paper", "This page"), class_="loud")
    put(footer, "p", _edition(itinerary))


@cache
def _resource(name: str) -> str:
    return (resources() / "phone" / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    """Return what a content security policy calls a text by (W3C CSP 3, hash source)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
