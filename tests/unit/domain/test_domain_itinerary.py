from __future__ import annotations

import dataclasses

from planner.domain.itinerary import DayPlan, Itinerary, Partner
from planner.domain.volunteer import Volunteer


def field_types(record: type) -> dict[str, object]:
    return {field.name: field.type for field in dataclasses.fields(record)}


def test_that_of_a_partner_paper_shows_first_name_and_number_only() -> None:
    assert set(field_types(Partner)) == {"first_name", "telephone"}


def test_that_paper_knows_one_volunteer_only_the_one_it_is_for() -> None:
    holding = [name for name, kind in field_types(Itinerary).items() if Volunteer.__name__ in str(kind)]
    assert holding == ["volunteer"]
    assert not any(Volunteer.__name__ in str(kind) for kind in field_types(DayPlan).values())
