from __future__ import annotations

import dataclasses
import importlib
import pkgutil

import pytest

import planner.domain
from planner.domain.measures import Length

RECORDS = sorted(
    {
        kind
        for module in pkgutil.iter_modules(planner.domain.__path__)
        for kind in vars(importlib.import_module(f"planner.domain.{module.name}")).values()
        if isinstance(kind, type) and dataclasses.is_dataclass(kind)
    },
    key=lambda kind: kind.__qualname__,
)


@pytest.mark.parametrize("kind", RECORDS)
def test_that_every_record_of_the_domain_is_a_value(kind: type) -> None:
    parameters = kind.__dataclass_params__  # type: ignore[attr-defined]  # every dataclass has them, mypy does not know
    assert parameters.frozen
    assert hasattr(kind, "__slots__")


def test_that_a_value_cannot_be_changed() -> None:
    length = Length(1.0, "km")
    with pytest.raises(dataclasses.FrozenInstanceError):
        length.value = 2.0  # type: ignore[misc]  # the fault under test
    assert {length, Length(1.0, "km")} == {length}
