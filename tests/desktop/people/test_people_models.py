"""The tables of the People room keep to the rules of item models, and say what is known."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester

from planner.desktop.people.dates_model import CELL_ROLE, DatesModel, DayCell, PersonDates
from planner.desktop.people.reach_model import ReachModel
from planner.desktop.people.table_filter import Only, PeopleFilter
from planner.desktop.people.table_model import Column, PeopleModel
from planner.desktop.people.visits_model import VisitsModel
from planner.domain.calendar import DateRange
from planner.domain.finding import Severity
from planner.domain.geo import Place
from planner.domain.plan import PlannedVisit, Status, VisitKey
from planner.domain.volunteer import Volunteer
from planner.domain.window import PartOfDay
from planner.usecases.people.load import LoadWord, PersonDriving, PersonLoad, PersonRow
from planner.usecases.people.planned_dates import Duty, DutyKind
from planner.usecases.people.reach import RouteReach
from planner.usecases.people.usable_dates import CellUse, DateUse

STRICT = QAbstractItemModelTester.FailureReportingMode.Fatal

SEASON = DateRange(dt.date(2027, 5, 5), dt.date(2027, 6, 1))
"""Wednesday to Tuesday."""
PARTS = (PartOfDay.DAYLIGHT, PartOfDay.DUSK)
SIXTH = dt.date(2027, 5, 6)


def _row(code: str, name: str = "Ann Example", **changes: object) -> PersonRow:
    person = Volunteer(code, name, Place(50, 1), training=frozenset({"course"}))
    load = PersonLoad(1, 3, 1.2, LoadWord.FAIR)
    row = PersonRow(person, load, 12, PersonDriving(17.0, 125.0), None, 0)
    return replace(row, **changes)  # type: ignore[arg-type]  # fields of a row


ROWS = (
    _row("V01", "Ann Example", usable=3),
    _row("V02", "Bea Example", usable=0, worst=Severity.TROUBLE, findings=1),
    _row("V03", "Cy Other", usable=None, driving=None, load=PersonLoad(0, 2, 1.0, LoadWord.IDLE)),
    _row("V04", "Di Other", load=PersonLoad(3, 2, 1.0, LoadWord.BEYOND)),
)


def _people() -> tuple[PeopleModel, PeopleFilter]:
    model = PeopleModel()
    shown = PeopleFilter()
    shown.setSourceModel(model)
    model.show(ROWS)
    return model, shown


def _codes(shown: PeopleFilter) -> list[str]:
    return [shown.index(row, Column.CODE).data() for row in range(shown.rowCount())]


def test_that_the_table_keeps_the_rules_of_models_while_people_come_change_and_go() -> None:
    model, shown = _people()
    QAbstractItemModelTester(model, STRICT, model)
    QAbstractItemModelTester(shown, STRICT, shown)
    model.show((replace(ROWS[0], usable=4), *ROWS[1:]))
    model.show(ROWS[:2])
    model.show(())
    assert model.rowCount() == 0


def test_that_a_cell_says_what_is_known_and_a_dotted_line_what_is_not_yet() -> None:
    model, _ = _people()
    texts = [[model.index(row, column).data() for column in Column] for row in range(2, 4)]
    assert texts[0] == ["", "V03", "Cy Other", "0 / 2", "not used", "…", "", "", "course", "car"]
    assert texts[1] == ["", "V04", "Di Other", "3 / 2", "beyond", "12", "17 min", "2:05", "course", "car"]


def test_that_marks_and_bars_are_said_in_words_too() -> None:
    model, _ = _people()

    def told(row: int, column: Column) -> str:
        return str(model.index(row, column).data(Qt.ItemDataRole.AccessibleTextRole))

    assert told(1, Column.MARK) == "1 findings, the worst: trouble"
    assert told(0, Column.MARK) == "nothing found"
    assert told(3, Column.VISITS) == "3 of 2 visits; an even share would be 1.0. Has more visits than were offered."
    assert told(2, Column.USABLE) == "is being computed"


def test_that_only_changed_rows_are_told_as_changed() -> None:
    model, _ = _people()
    changed: list[int] = []
    model.dataChanged.connect(lambda top, _bottom: changed.append(top.row()))
    model.show((*ROWS[:3], replace(ROWS[3], usable=1)))
    assert changed == [3]


def test_that_figures_are_sorted_as_figures_and_what_is_not_known_comes_last() -> None:
    _, shown = _people()
    shown.sort(Column.USABLE)
    assert _codes(shown) == ["V02", "V01", "V04", "V03"]
    shown.sort(Column.VISITS, Qt.SortOrder.DescendingOrder)
    assert _codes(shown)[0] == "V04"
    shown.sort(Column.MARK)
    assert _codes(shown)[0] == "V02"


def test_that_a_search_finds_every_word_and_narrowing_joins_it() -> None:
    _, shown = _people()
    shown.sort(Column.CODE)
    shown.seek("example course")
    assert _codes(shown) == ["V01", "V02"]
    shown.show_only(Only.FOUND)
    assert _codes(shown) == ["V02"]
    shown.seek("")
    shown.show_only(Only.NO_EVENING)
    assert _codes(shown) == ["V02"]
    shown.show_only(Only.UNDERUSED)
    assert _codes(shown) == ["V03"]
    shown.show_only(Only.OVERUSED)
    assert _codes(shown) == ["V04"]


def _dates(**changes: object) -> DatesModel:
    shown = PersonDates(SEASON, PARTS, frozenset({(SIXTH, PartOfDay.DUSK)}))
    return DatesModel(replace(shown, **changes))  # type: ignore[arg-type]  # fields of what is shown


def test_that_the_calendar_keeps_the_rules_of_models() -> None:
    model = _dates()
    QAbstractItemModelTester(model, STRICT, model)
    model.mark([(SIXTH, PartOfDay.DUSK)], stroke=False)
    model.show(replace(model.shown, given=frozenset()))
    model.show(replace(model.shown, dates=DateRange(SIXTH, SIXTH), parts=(PartOfDay.DAWN,)))
    assert (model.rowCount(), model.columnCount()) == (1, 7)


def test_that_every_part_of_every_date_has_one_place_and_nothing_else_has_one() -> None:
    model = _dates()
    places = {
        cell: (row, column)
        for row in range(model.rowCount())
        for column in range(model.columnCount())
        if (cell := model.cell(model.index(row, column))) is not None
    }
    assert set(places) == {(day, part) for day in SEASON for part in PARTS}
    assert all(column == day.weekday() for (day, _), (_, column) in places.items())
    assert all(model.cell(model.index_of(cell)) == cell for cell in places)
    assert not model.index_of((dt.date(2027, 5, 4), PartOfDay.DUSK)).isValid()
    assert not model.index(0, 0).flags() & Qt.ItemFlag.ItemIsEnabled


def test_that_a_block_spans_weeks_weekdays_and_parts_of_day() -> None:
    model = _dates()
    start = model.index_of((dt.date(2027, 5, 11), PartOfDay.DUSK))
    end = model.index_of((dt.date(2027, 5, 26), PartOfDay.DUSK))
    days = [dt.date(2027, 5, day) for day in (11, 12, 18, 19, 25, 26)]
    assert model.block(start, end) == model.block(end, start) == {(day, PartOfDay.DUSK) for day in days}
    one_day = model.block(model.index_of((SIXTH, PartOfDay.DAYLIGHT)), model.index_of((SIXTH, PartOfDay.DUSK)))
    assert one_day == {(SIXTH, PartOfDay.DAYLIGHT), (SIXTH, PartOfDay.DUSK)}
    corner = model.block(model.index(0, 0), model.index(1, 2))
    assert {day for day, _ in corner} == {dt.date(2027, 5, 5)}


def test_that_a_stroke_shows_as_done_and_a_mark_does_not() -> None:
    model = _dates()
    seventh = dt.date(2027, 5, 7), PartOfDay.DUSK
    model.mark([seventh])
    assert seventh not in model.given
    model.mark([seventh], stroke=True)
    assert model.given == {(SIXTH, PartOfDay.DUSK), seventh}
    model.mark([(SIXTH, PartOfDay.DUSK)], stroke=False)
    assert model.given == frozenset()
    model.mark(())
    assert model.given == {(SIXTH, PartOfDay.DUSK)}


def test_that_a_date_is_said_in_words_with_its_use_and_what_is_planned() -> None:
    cell = SIXTH, PartOfDay.DUSK
    use = DateUse({cell: CellUse.DARK}, {cell: "no nautical dusk"}, ("R1",), frozenset({PartOfDay.DUSK}))
    duties = {cell: (Duty(DutyKind.VISIT, VisitKey("R1", 2), leads=False),)}
    model = _dates(use=use, duties=duties)
    index = model.index_of(cell)
    words = index.data(Qt.ItemDataRole.AccessibleTextRole)
    assert words == "Thu 6 May, evening: given; no window: no nautical dusk; second on R1 visit 2"
    shown = index.data(CELL_ROLE)
    assert isinstance(shown, DayCell)
    assert (shown.given, shown.use, len(shown.duties), shown.first_part) == (True, CellUse.DARK, 1, False)


def test_that_days_are_numbered_and_months_begin_with_their_name() -> None:
    model = _dates()
    first = [model.index_of((day, PartOfDay.DAYLIGHT)).data() for day in SEASON]
    assert first[:2] == ["5 May", "6"]
    assert first[-1] == "1 Jun"
    assert model.index_of((SIXTH, PartOfDay.DUSK)).data() == ""
    assert [model.headerData(row, Qt.Orientation.Vertical) for row in range(2)] == ["daytime", "evening"]


def test_that_the_routes_in_reach_keep_the_rules_of_models_and_say_what_is_too_far() -> None:
    model = ReachModel()
    QAbstractItemModelTester(model, STRICT, model)
    near = RouteReach("R1", "R1 Lane", 11.2, within=True, estimated=False, visits=(1, 2))
    guessed = replace(near, route="R2", title="R2 Lane", minutes=41.0, within=False, estimated=True, visits=())
    island = replace(guessed, route="R3", title="R3 Lane", minutes=float("inf"), estimated=False)
    model.show((near, guessed, island))
    texts = [[model.index(row, column).data() for column in range(4)] for row in range(3)]
    assert texts == [
        ["R1 Lane", "12 min", "yes", "1, 2"],
        ["R2 Lane", "about 41 min", "no, too far", ""],
        ["R3 Lane", "no road", "no, too far", ""],
    ]
    model.show(())
    assert model.rowCount() == 0


def test_that_the_visits_of_somebody_keep_the_rules_of_models_and_say_the_role() -> None:
    model = VisitsModel()
    QAbstractItemModelTester(model, STRICT, model)
    leads = PlannedVisit(VisitKey("R1", 1), "V1", SIXTH, "dusk", "V2", reserve=dt.date(2027, 5, 8), setup=SIXTH)
    helps = replace(leads, key=VisitKey("R2", 2), lead="V3", second="V1", reserve=None, status=Status.CONFIRMED)
    model.show("V1", (leads, helps))
    texts = [[model.index(row, column).data() for column in range(model.columnCount())] for row in range(2)]
    assert texts == [
        ["Thu 6 May", "R1 visit 1", "lead", "V2", "Sat 8 May", "Thu 6 May"],
        ["Thu 6 May, confirmed", "R2 visit 2", "second", "V3", "", ""],
    ]
    model.show("V1", ())
    assert model.rowCount() == 0
