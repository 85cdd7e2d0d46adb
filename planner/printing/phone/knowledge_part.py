"""What holds for every outing: whom to ring, when weather says no, how habitat is judged, care on the road."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from planner.domain.habitat import HabitatRule, KeyQuestion
from planner.domain.itinerary import Itinerary
from planner.printing.phone.markup import put, say
from planner.printing.phone.outing_part import add_number
from planner.printing.wording import CARE, radius_words, weather_advice

_TAKE_PAPER = "Take the paper too: a telephone may run down, get wet or dazzle you."


def add_contact(main: Element, itinerary: Itinerary) -> None:
    """Add whom to ring."""
    coordinator = itinerary.coordinator
    name = coordinator.name or "the coordinator"
    section = put(main, "section", aria_labelledby="ring-title")
    put(section, "h2", "In doubt, ring", id="ring-title")
    line = put(section, "p", f"{name} " if coordinator.name else "Your coordinator ")
    add_number(line, coordinator.telephone, f"Ring {name}")
    put(section, "p", "Before you leave: tell someone at home when you are due back and whom to ring if you are not.")


def add_weather(main: Element, itinerary: Itinerary) -> None:
    """Add the weather limits and what to do when they are near."""
    section = put(main, "section", aria_labelledby="weather-title")
    put(section, "h2", "When weather threatens", id="weather-title")
    _add_list(section, [f"Limit: {limit}" for limit in itinerary.weather])
    _add_list(section, weather_advice(itinerary))


def add_habitat(main: Element, itinerary: Itinerary) -> None:
    """Add how habitat is judged, where this volunteer writes it down."""
    rule = itinerary.habitat
    if rule is None or not any(day.writes_habitat for day in itinerary.days):
        return
    section = put(main, "section", aria_labelledby="habitat-title")
    put(section, "h2", "Habitat", id="habitat-title")
    put(section, "p", f"{radius_words(rule)}; steps of {rule.step_percent} %; each point adds up to 100.")
    _add_list(section, [_class_words(rule, number) for number in range(len(rule.classes))])
    if rule.key:
        put(section, "h3", "Which class is it?")
        questions = put(section, "ol", class_="questions", role="list")
        for question in rule.key:
            _add_question(questions, question)


def _class_words(rule: HabitatRule, number: int) -> str:
    one = rule.classes[number]
    hint = f": {one.hint}" if one.hint else ""
    return f"{one.code} {one.name}{hint}{' (needs a note)' if one.needs_note else ''}"


def _add_question(questions: Element, question: KeyQuestion) -> None:
    row = put(questions, "li", f"{question.number}. {question.ask} ")
    for word, answer in (("yes", question.yes), ("no", question.no)):
        put(row, "span", f"{word}: {f'question {answer}' if answer.isdigit() else answer}", class_="answer")
        say(row, " ")


def add_care(main: Element, itinerary: Itinerary) -> None:
    """Add care and safety, the survey's own cautions, and the figures that nobody has verified."""
    section = put(main, "section", aria_labelledby="care-title")
    put(section, "h2", "Care and safety", id="care-title")
    first = CARE[0].replace("this paper", "this page")
    _add_list(section, (first, *CARE[1:], *itinerary.cautions, _TAKE_PAPER))
    if itinerary.unverified:
        put(section, "h3", "Figures of this survey that nobody has verified")
        _add_list(section, itinerary.unverified)


def _add_list(parent: Element, lines: Sequence[str]) -> None:
    if lines:
        rows = put(parent, "ul")
        for line in lines:
            put(rows, "li", line)
