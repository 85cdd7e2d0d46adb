"""The table of conditions: what is seen or forecast of evenings, for the protocol's weather limits."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from planner.domain.conditions import MEASURES, Condition, Seen
from planner.domain.errors import RuleError
from planner.domain.weather import Quantity
from planner.exchange.faults import FaultList
from planner.exchange.reads import ConditionsRead, ConditionsRow
from planner.exchange.table_files.cells import Cells
from planner.exchange.table_files.layouts import Layout
from planner.exchange.table_files.tables import Row, read_table

CONDITIONS = Layout(
    "a table of conditions",
    ("date", "wind"),
    ("route", "rain", "fog", "snow", "noise", "cloud", "cloud_percent", "air_temperature", "water_temperature", "note"),
)

_WORDS: Mapping[str, Seen] = {
    **{seen.value: seen for seen in Seen},
    "no": Seen.NONE,
    "yes": Seen.SOME,
}
_SAID = "none, some, within or beyond"
_MEANING = "Write none, some (not judged yet), within (it keeps to the protocol's words) or beyond."


def read_conditions(path: Path) -> ConditionsRead:
    """Read a table of conditions: date, if wanted the route, and what is known of wind, rain, fog and so on.

    Measured columns hold a figure with its unit ('12 km/h', '8 C'), or a word; the others a word: none, some, within
    or beyond. An empty cell says nothing. A row without a route is for every route.

    Raises:
        InputError: with every fault of the file.
    """
    faults = FaultList(path)
    read = conditions_of(read_table(path, CONDITIONS, faults), faults)
    faults.raise_any()
    return read


def conditions_of(rows: Sequence[Row], faults: FaultList) -> ConditionsRead:
    """Return the conditions of some rows; what is wrong is noted among the faults."""
    conditions = [found for row in rows if (found := _row(Cells(row, faults)))]
    return ConditionsRead(faults.source, tuple(conditions))


def _row(cells: Cells) -> ConditionsRow | None:
    date = cells.date("date")
    known = [condition for quantity in Quantity if (condition := _READERS[quantity](cells, quantity))]
    if not known and cells.sound:
        cells.note("wind", "at least one condition in the row", "Fill in what is known, or remove the row.")
    if date is None or not cells.sound:
        return None
    return ConditionsRow(cells.origin, date, cells.text("route"), tuple(known))


def _worded(cells: Cells, quantity: Quantity) -> Condition | None:
    text = cells.text(quantity.value).casefold()
    if not text:
        return None
    if text not in _WORDS:
        cells.note(quantity.value, _SAID, _MEANING)
        return None
    return Condition(quantity, seen=_WORDS[text])


def _measured(cells: Cells, quantity: Quantity) -> Condition | None:
    text = cells.text(quantity.value)
    try:
        if text.casefold() in _WORDS:
            return Condition(quantity, seen=_WORDS[text.casefold()])
        return Condition(quantity, MEASURES[quantity].measured(_plain(text))) if text else None
    except RuleError as error:
        example = "12 km/h" if quantity is Quantity.WIND else "8 C"
        cells.note(quantity.value, f"a figure with its unit, such as {example}, or a word ({_SAID})", f"{error}.")
        return None


def _cloud(cells: Cells, quantity: Quantity) -> Condition | None:
    """Cloud has two columns: its share in percent, and a word for what the protocol says of it."""
    word = _worded(cells, quantity)
    if not cells.text("cloud_percent"):
        return word
    share = cells.percent("cloud_percent")
    if share is None:
        return None
    return Condition(quantity, MEASURES[quantity](100 * share, "%"), word.seen if word is not None else None)


def _plain(text: str) -> str:
    """Return a measure with a decimal point, and degrees without their sign."""
    return text.replace(",", ".").replace("°", " ").replace("º", " ")


_READERS: Mapping[Quantity, Callable[[Cells, Quantity], Condition | None]] = {
    **dict.fromkeys(Quantity, _worded),
    **dict.fromkeys(MEASURES, _measured),
    Quantity.CLOUD: _cloud,
}
