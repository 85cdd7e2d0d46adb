"""What breaks, in words."""

from __future__ import annotations

import pytest

from planner.domain.disruption import VisitsCancelled
from planner.domain.errors import RuleError
from planner.domain.plan import VisitKey


@pytest.mark.parametrize(
    ("routes", "said"),
    [
        ("A", "weather cancels A visit 1"),
        ("BA", "weather cancels A visit 1 and B visit 1"),
        ("CAB", "weather cancels A visit 1, B visit 1 and C visit 1"),
        ("EDCBA", "weather cancels A visit 1, B visit 1, C visit 1 and 2 more"),
    ],
)
def test_that_several_visits_cancelled_are_named_in_order_and_counted_where_many(routes: str, said: str) -> None:
    assert str(VisitsCancelled(tuple(VisitKey(route, 1) for route in routes))) == said


@pytest.mark.parametrize("keys", [(), (VisitKey("A", 1), VisitKey("A", 1))])
def test_that_no_visit_and_a_visit_twice_are_refused(keys: tuple[VisitKey, ...]) -> None:
    with pytest.raises(RuleError, match="each once"):
        VisitsCancelled(keys)
