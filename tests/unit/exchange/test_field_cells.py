"""Percentages, dates and times as people and spreadsheets write them: read in one way, or asked back."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.datetime import from_excel, to_excel

from planner.domain.calendar import DateRange
from planner.domain.conditions import Seen
from planner.domain.field.visit_record import Stopped
from planner.domain.light import Span
from planner.domain.measures import Speed
from planner.domain.weather import Quantity
from planner.exchange.field_files.bad_cells import Unclear
from planner.exchange.field_files.clocks_in_cells import Clock, clock, moment
from planner.exchange.field_files.dates_in_cells import date_of
from planner.exchange.field_files.figures_in_cells import (
    animals,
    condition,
    kilometres,
    of_fractions,
    percent_of,
    share,
    stopped_by,
    yes_or_no,
)
from tests.unit.exchange.field_samples import dusk

SEASON = DateRange(dt.date(2026, 4, 1), dt.date(2026, 7, 10))
LONDON = ZoneInfo("Europe/London")


def percents(*texts: str) -> list[int | None]:
    """Read a row of classes."""
    shares = [share(text) for text in texts]
    found = [one for one in shares if one is not None]
    fractions = of_fractions(found)
    total = sum(one.figure * (100 if fractions and not one.signed else 1) for one in found)
    return [
        None
        if one is None
        else percent_of(
            one, fractions=fractions, others=total - one.figure * (100 if fractions and not one.signed else 1)
        )
        for one in shares
    ]


@pytest.mark.parametrize(
    ("texts", "meant"),
    [
        (("20", "80"), [20, 80]),
        (("20 %", "80%"), [20, 80]),
        (("20,0", "80.0"), [20, 80]),
        (("0.2", "0.8", "0"), [20, 80, 0]),
        (("0,2", "0,8", ""), [20, 80, None]),
        (("0.5", "50 %"), [50, 50]),
        (("100", "x", "-"), [100, 0, 0]),
        (("1", "99"), [1, 99]),
        (("100 percent", "nil", "–"), [100, 0, 0]),
        (("110", "0"), [110, 0]),
    ],
)
def test_that_percentages_are_read_as_they_are_written(texts: tuple[str, ...], meant: list[int | None]) -> None:
    assert percents(*texts) == meant


@pytest.mark.parametrize(
    "texts",
    [
        ("0.2", "80"),  # a fraction among whole percentages: 0.2 % or 20 %
        ("60", "x"),  # a cross where the others do not make 100: some of it, or none
        ("33.3", "66.7"),
        ("4O", "60"),
        ("about 40", "60"),
        ("-5", "105"),
        ("<5", "95"),
        ("forty", "60"),
        ("=H4*2", "60"),
        ("#REF!", "60"),
        ("20 30", "50"),
        ("99999", "0"),
    ],
)
def test_that_a_percentage_that_could_mean_two_things_or_none_is_asked_back(texts: tuple[str, ...]) -> None:
    with pytest.raises(Unclear) as caught:
        percents(*texts)
    assert "percentage" in caught.value.expected
    assert caught.value.todo


def test_that_a_fraction_among_whole_percentages_is_offered_as_the_percentage_it_may_be() -> None:
    with pytest.raises(Unclear) as caught:
        percents("0.2", "80")
    assert "0.2 could be 0.2 % or 20 %" in caught.value.expected
    assert caught.value.todo == "Write 20 if you mean that."


@given(st.integers(0, 100), st.sampled_from(["{}", "{} %", "{}%", "{},0", "{}.0", "{} percent"]))
def test_that_a_whole_percentage_is_itself_however_it_is_written(figure: int, form: str) -> None:
    assert percents(form.format(figure), "250")[0] == figure


@given(st.integers(1, 99))
def test_that_two_shares_of_one_are_percentages(figure: int) -> None:
    assert percents(f"{figure / 100:.2f}", f"{1 - figure / 100:.2f}") == [figure, 100 - figure]


@pytest.mark.parametrize(("text", "meant"), [("", None), ("0", 0), ("-", 0), ("none", 0), ("12", 12), ("12.0", 12)])
def test_that_animals_are_counted(text: str, meant: int | None) -> None:
    assert animals(text) == meant


@pytest.mark.parametrize("text", ["12 cows", "some", "1.5", "-3", "123456"])
def test_that_animals_in_words_are_asked_back(text: str) -> None:
    with pytest.raises(Unclear, match="domestic"):
        animals(text)


@pytest.mark.parametrize(("text", "meant"), [("44", 44.0), ("44,5 km", 44.5), ("0", 0.0), ("", None)])
def test_that_kilometres_are_read(text: str, meant: float | None) -> None:
    assert kilometres(text) == meant
    with pytest.raises(Unclear, match="mile"):
        kilometres("27 miles")


def test_that_yes_no_and_reasons_are_words_of_a_list_and_nothing_near_them() -> None:
    assert [yes_or_no(text) for text in ("yes", "Y", "x", "no", "FALSE", "")] == [True, True, True, False, False, None]
    assert [stopped_by(text) for text in ("weather", "Light.", "", "-")] == [Stopped.WEATHER, Stopped.LIGHT, None, None]
    for reader, text in ((yes_or_no, "partly"), (stopped_by, "rain came")):
        with pytest.raises(Unclear):
            reader(text)


@pytest.mark.parametrize(
    ("quantity", "text", "example"),
    [(Quantity.CLOUD, "140", "12 %"), (Quantity.WIND, "40", "12 km/h"), (Quantity.AIR_TEMPERATURE, "40", "12 C")],
)
def test_that_a_figure_without_a_unit_is_asked_for_in_units_of_its_own(
    quantity: Quantity, text: str, example: str
) -> None:
    with pytest.raises(Unclear) as caught:
        condition(quantity, text, "")
    assert f"such as {example}," in caught.value.expected


def test_that_weather_is_a_figure_with_its_unit_or_a_word() -> None:
    wind = condition(Quantity.WIND, "12", "mph")
    assert wind is not None
    assert wind.measured == Speed(12.0, "mph")
    both = condition(Quantity.WIND, "7,5 km/h, within", "mph")
    assert both is not None
    assert (both.measured, both.seen) == (Speed(7.5, "km/h"), Seen.WITHIN)
    warm = condition(Quantity.AIR_TEMPERATURE, "-3 °C", "C")
    assert str(warm and warm.measured) == "-3 C"
    rain = condition(Quantity.RAIN, "None", "")
    assert rain is not None
    assert rain.seen is Seen.NONE
    assert condition(Quantity.RAIN, "", "") is None
    for quantity, text, unit in (
        (Quantity.WIND, "12", ""),
        (Quantity.WIND, "light", "mph"),
        (Quantity.RAIN, "drizzle", ""),
        (Quantity.CLOUD, "140", "%"),
    ):
        with pytest.raises(Unclear):
            condition(quantity, text, unit)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("2026-05-20", dt.date(2026, 5, 20)),
        ("2026-05-20 00:00:00", dt.date(2026, 5, 20)),
        ("2026/5/20", dt.date(2026, 5, 20)),
        ("20.5.2026", dt.date(2026, 5, 20)),
        ("20/05/26", dt.date(2026, 5, 20)),
        ("05/20/2026", dt.date(2026, 5, 20)),  # month 20 does not exist
        ("11/05/2026", dt.date(2026, 5, 11)),  # 5 November is outside the season
        ("20 May 2026", dt.date(2026, 5, 20)),
        ("May 20, 2026", dt.date(2026, 5, 20)),
        ("Wed 20th May", dt.date(2026, 5, 20)),
        ("20. may", dt.date(2026, 5, 20)),
        ("20-May-26", dt.date(2026, 5, 20)),
        ("Wednesday, 20 May 2026", dt.date(2026, 5, 20)),
        ("", None),
    ],
)
def test_that_dates_are_read_where_they_can_mean_one_day(text: str, meant: dt.date | None) -> None:
    assert date_of(text, SEASON) == meant


def test_that_a_date_that_could_be_two_days_is_refused_with_both() -> None:
    with pytest.raises(Unclear) as caught:
        date_of("04/05/2026", SEASON)
    assert "5 April 2026 (2026-04-05) or 4 May 2026 (2026-05-04)" in caught.value.expected


@pytest.mark.parametrize("text", ["1900-01-12", "2036-05-20", "20 May 1926", "0001-05-20", "9999-12-31"])
def test_that_a_date_years_off_the_season_is_a_slip(text: str) -> None:
    """As where 12 was typed into a cell that shows dates, or a year with a wrong figure."""
    with pytest.raises(Unclear, match="of this season"):
        date_of(text, SEASON)


def test_that_a_date_of_the_year_before_is_read_for_the_checks_to_point_out() -> None:
    assert date_of("2025-05-20", SEASON) == dt.date(2025, 5, 20)


@pytest.mark.parametrize(
    "text", ["31 June 2026", "2026-13-01", "Tue 20 May 2026", "20 Mai 2026", "soon", "20/05", "99"]
)
def test_that_what_is_no_date_is_asked_back(text: str) -> None:
    with pytest.raises(Unclear):
        date_of(text, SEASON)


@given(st.dates(dt.date(2026, 4, 1), dt.date(2026, 7, 10)))
def test_that_serial_numbers_are_the_dates_that_another_library_makes_of_them(date: dt.date) -> None:
    serial = int(to_excel(date))  # type: ignore[no-untyped-call]
    told = from_excel(serial)
    assert isinstance(told, dt.datetime)
    assert date_of(str(serial), SEASON, number=True) == told.date() == date


def test_that_a_number_far_from_every_season_is_no_date() -> None:
    with pytest.raises(Unclear):
        date_of("12345", SEASON, number=True)


@pytest.mark.parametrize(
    ("text", "number", "meant"),
    [
        ("21:12", False, "21:12"),
        ("21.12", False, "21:12"),
        ("2112", False, "21:12"),
        ("930", True, "09:30"),
        ("21h12", False, "21:12"),
        ("9.30pm", False, "21:30"),
        ("9:30 p.m.", False, "21:30"),
        ("9 PM", False, "21:00"),
        ("12:10am", False, "00:10"),
        ("21:11:59.999997", False, "21:12"),
        ("0.883333333", True, "21:12"),
        ("0.9", True, "21:36"),  # 00:90 does not exist
        ("21.3", True, "21:30"),  # the 0 of 21.30 was lost
        ("midnight", False, "00:00"),
    ],
)
def test_that_times_are_read_as_they_are_written(text: str, number: bool, meant: str) -> None:
    assert str(clock(text, number=number)) == meant


@pytest.mark.parametrize(
    ("text", "number"),
    [("half nine", False), ("21:60", False), ("13pm", False), ("49:00", False), ("~21:10", False), ("0.12", True)],
)
def test_that_what_is_no_time_or_could_be_two_is_asked_back(text: str, number: bool) -> None:
    with pytest.raises(Unclear):
        clock(text, number=number)


@pytest.mark.parametrize("text", ["24:05", "1 day, 0:05:00", "1900-01-01 00:05:00", "1899-12-31 00:05:00"])
def test_that_lengths_over_a_day_are_after_the_midnight_that_follows(text: str) -> None:
    assert clock(text) == Clock(24 * 3600 + 300)


def at(text: str, date: dt.date, window: Span | None = None) -> dt.datetime:
    """The moment of a count's time, by the clock of London."""
    said = clock(text)
    assert said is not None
    return moment(said, date, window or dusk("R01", date), LONDON, counting=True).astimezone(LONDON)


def test_that_times_after_midnight_belong_to_the_evening_before() -> None:
    evening, after = dt.date(2026, 5, 20), dt.date(2026, 5, 21)
    assert at("21:40", evening) == dt.datetime(2026, 5, 20, 21, 40, tzinfo=LONDON)
    assert at("00:12", evening) == at("24:12", evening) == dt.datetime(2026, 5, 21, 0, 12, tzinfo=LONDON)
    assert at("2026-05-21 00:12:00", evening).date() == after
    dawn = Span(dt.datetime(2026, 5, 20, 3, tzinfo=dt.UTC), dt.datetime(2026, 5, 20, 5, tzinfo=dt.UTC))
    assert at("04:30", evening, dawn).date() == evening
    assert at("23:50", evening, dawn).date() == dt.date(2026, 5, 19)
    assert at("24:05", evening, dawn).date() == evening


def test_that_the_other_half_of_the_day_is_offered_in_place_of_a_count_at_breakfast() -> None:
    with pytest.raises(Unclear) as caught:
        at("9.30", dt.date(2026, 5, 20))
    assert caught.value.todo == "Write 21:30 if you mean that."
    with pytest.raises(Unclear, match="the date beside it"):
        at("2026-06-20 21:40:00", dt.date(2026, 5, 20))


def test_that_a_time_that_the_clock_skipped_is_asked_back() -> None:
    window = Span(dt.datetime(2026, 3, 28, 22, tzinfo=dt.UTC), dt.datetime(2026, 3, 29, 4, tzinfo=dt.UTC))
    assert at("00:30", dt.date(2026, 3, 28), window).utcoffset() == dt.timedelta(0)
    with pytest.raises(Unclear, match="forward"):
        at("01:30", dt.date(2026, 3, 28), window)


def test_that_of_a_time_that_the_clock_has_twice_the_one_nearer_the_window_is_meant() -> None:
    evening = dt.date(2026, 10, 24)

    def utc(hour: int, minute: int) -> dt.datetime:
        return dt.datetime(2026, 10, 25, hour, minute, tzinfo=dt.UTC)

    late, early = Span(utc(1, 20), utc(3, 0)), Span(utc(0, 10), utc(3, 0))
    for text, window, moment_utc, why in (
        ("01:40", late, utc(1, 40), "the first is 40 minutes before the window opens"),
        ("01:40", early, utc(0, 40), "both lie inside: the first"),
        ("01:00", early, utc(0, 0), "ten minutes early, and not in the middle of the window"),
        ("02:30", late, utc(2, 30), "the clock has it once"),
    ):
        assert at(text, evening, window).astimezone(dt.UTC) == moment_utc, why


@given(st.integers(0, 24 * 60 - 1), st.integers(0, 60))
def test_that_a_time_near_the_window_comes_back_as_the_moment_it_was(minutes: int, day: int) -> None:
    """Every minute of the half day round the window's middle is told apart from its neighbours of the days beside."""
    date = dt.date(2026, 5, 1) + dt.timedelta(days=day)
    window = dusk("R01", date)
    middle = window.open_utc + (window.close_utc - window.open_utc) / 2
    true = (middle - dt.timedelta(hours=6) + dt.timedelta(minutes=minutes / 2)).replace(second=0)
    assert at(f"{true.astimezone(LONDON):%H:%M}", date) == true
