"""The telephone page as a real browser shows it and as a screen reader is told it; without a network throughout."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtGui import QImage

from planner.printing import phone_page
from tests.golden.itineraries import ITINERARIES, ten_points
from tests.unit.printing.browser import Browser, Look, Tab, browser_program, named

PROGRAM = browser_program()
pytestmark = [
    pytest.mark.skipif(PROGRAM is None, reason="no Chromium is installed here: apt-get install chromium"),
    pytest.mark.xdist_group("browser"),
]
SIZES = ((390, 844), (320, 568), (844, 390))
LEAST_TOUCH_PX = 44
"""WCAG 2.2, 2.5.5 (https://www.w3.org/TR/WCAG22/#target-size-enhanced)."""
LEAST_CLOCK_PX = 32


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    assert PROGRAM is not None
    browser = Browser(PROGRAM, tmp_path_factory.mktemp("profile"))
    yield browser
    browser.close()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pages")
    for name, build in ITINERARIES.items():
        (folder / f"{name}.html").write_bytes(phone_page(build()))
    return folder


@pytest.fixture(scope="module")
def kept_open(browser: Browser, folder: Path) -> Iterator[Tab]:
    """A page that stays open while its telephone's clock goes on."""
    with browser.opened(folder / "ten_points.html", Look(now=_at(2027, 5, 20, 12, 0))) as tab:
        yield tab


def _look_again(tab: Tab, now: int) -> None:
    """Take the telephone out of the pocket at another time."""
    tab.run(f"Date.now = () => {now * 1000}; document.dispatchEvent(new Event('visibilitychange'))")


def _at(*parts: int, zone: str = "Europe/London") -> int:
    return int(dt.datetime(*parts, tzinfo=ZoneInfo(zone)).timestamp())  # type: ignore[arg-type,misc]


COUNTING = _at(2027, 6, 8, 22, 1)
"""In the middle of the counts of visit 1, in two of the plans."""


def _pixels(tab: Tab) -> NDArray[np.float64]:
    image = QImage.fromData(tab.picture()).convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : image.width() * 3].reshape(image.height(), image.width(), 3).astype(float)


def _text(tab: Tab, selector: str) -> str:
    return tab.words(f"document.querySelector({selector!r}).innerText")


@pytest.mark.parametrize("size", SIZES)
def test_that_it_fits_the_screen_is_dim_and_red_and_its_targets_are_large(
    browser: Browser, folder: Path, size: tuple[int, int]
) -> None:
    with browser.opened(folder / "long_names.html", Look(*size, now=COUNTING)) as tab:
        assert tab.figures("document.documentElement.scrollWidth") <= [size[0]]
        pixels = _pixels(tab)
        assert pixels[..., 0].max() > 250
        # Nothing but red: what smoothing of letters adds is red too.
        assert pixels[..., 1:].max() <= 2
        # Relative luminance of the screen by WCAG's weights; a white page has 1.
        assert 0.2126 * ((pixels[..., 0] / 255) ** 2.2).mean() < 0.05
        sides = tab.figures(
            "[...document.querySelectorAll('a, label')].map(a => a.getBoundingClientRect())"
            ".map(box => [box.width, box.height])"
        )
        assert len(sides) > 200
        assert min(sides) >= LEAST_TOUCH_PX
        clocks = tab.figures(
            "[...document.querySelectorAll('time, .times dd')].map(e => parseFloat(getComputedStyle(e).fontSize))"
        )
        assert min(clocks) >= LEAST_CLOCK_PX
        [bottom] = tab.figures("document.querySelector('#next time').getBoundingClientRect().bottom")
        assert bottom <= size[1]
        assert (tab.asked, tab.said) == ([(folder / "long_names.html").as_uri()], [])


def test_that_a_screen_reader_is_told_everything_where_no_script_may_run(browser: Browser, folder: Path) -> None:
    with browser.opened(folder / "ten_points.html", Look(script=False)) as tab:
        tree = tab.tree()
        assert tab.said == []
    headings = named(tree, "heading")
    assert headings[:4] == ["Heath nightjars 2027", "Your outings", "In doubt, ring", "Saturday 5 June 2027 Set-up"]
    assert "Next" not in headings
    links = named(tree, "link")
    assert links[0] == "Sat 5 June, Set-up, R07 Long Heath: leave 13:02"
    assert "Ring Marigold Pennyfeather: 07700 900001" in links
    assert "Ring Barnaby: 07700 900527" in links
    # Ten points: set-up; habitat and counts twice (visit 1 and its reserve); counts twice; the list of points.
    assert links.count("Point 7: open in a map") == 1 + 2 * 2 + 2 + 1
    assert len(named(tree, "main")) == len(named(tree, "navigation")) == len(named(tree, "contentinfo")) == 1
    assert named(tree, "article")[1] == "Tuesday 8 June 2027 Visit 1"
    maps = [name for name in named(tree, "image") if name.startswith("Map of R07 Long Heath")]
    assert maps[0].endswith("Points in the order of the counts: 1, 2, 3, 4, 5, 6, 7, 8, 9, 10.")
    assert all(name for role in ("link", "heading", "image", "checkbox") for name in named(tree, role))


def test_that_without_a_script_the_first_screen_shows_the_season_and_the_outings(
    browser: Browser, folder: Path
) -> None:
    with browser.opened(folder / "ten_points.html", Look(script=False)) as tab:
        pixels = _pixels(tab)
        assert pixels[..., 1:].max() <= 2
        inked = (pixels[..., 0] > 128).mean()
        assert 0.02 < inked < 0.25
        document = tab.call("DOM.getDocument")["root"]["nodeId"]
        node = tab.call("DOM.querySelector", nodeId=document, selector="nav a")["nodeId"]
        corners = tab.call("DOM.getBoxModel", nodeId=node)["model"]["border"]
        assert max(corners[1::2]) < 844


def test_that_a_word_wider_than_the_screen_is_broken(browser: Browser, tmp_path: Path) -> None:
    page = tmp_path / "wide.html"
    word = "Llanfairpwllgwyngyllgogerychwyrndrobwll" * 3
    page.write_bytes(phone_page(replace(ten_points(), season=word, weather=(word,), cautions=(word,))))
    with browser.opened(page, Look(320, 568)) as tab:
        assert tab.figures("document.documentElement.scrollWidth") == [320]


@pytest.mark.parametrize(
    ("now", "said"),
    [
        (_at(2027, 6, 1, 12, 0), "Saturday 5 June 2027, Set-up in 4 days 13:02 Leave home at the latest"),
        (_at(2027, 6, 5, 12, 50), "Saturday 5 June 2027, Set-up in 12 min 13:02 Leave home"),
        (_at(2027, 6, 5, 13, 10), "Saturday 5 June 2027, Set-up in 42 min 13:52 Set-up until 14:04 1"),
        (_at(2027, 6, 8, 22, 1), "Tuesday 8 June 2027, Visit 1 Now 21:58 Count until 22:04 3"),
        (_at(2027, 6, 8, 22, 5), "Tuesday 8 June 2027, Visit 1 in 2 min 22:07 Count until 22:13 4"),
        (_at(2027, 6, 9, 0, 30), "Tuesday 8 June 2027, Visit 1 Time due home is past. Say that you are back. 00:08"),
        (_at(2027, 6, 9, 9, 0), "Friday 11 June 2027, Reserve for visit 1 Only if the coordinator moved the visit"),
        (_at(2027, 7, 9, 9, 0), "All outings of this page are over."),
    ],
)
def test_that_what_comes_next_stands_on_top(kept_open: Tab, now: int, said: str) -> None:
    _look_again(kept_open, now)
    assert _text(kept_open, "#next-cards").startswith(said)
    assert kept_open.words("document.querySelector('main').firstElementChild.id") == "next"
    doubts = kept_open.figures("document.querySelectorAll('#next-doubts li').length")
    assert doubts == [now > _at(2027, 6, 12, 0, 0)]


def test_that_what_comes_next_stands_on_top_of_a_page_just_opened_too(browser: Browser, folder: Path) -> None:
    with browser.opened(folder / "ten_points.html", Look(now=_at(2027, 6, 5, 13, 10))) as tab:
        assert _text(tab, "#next-cards").startswith("Saturday 5 June 2027, Set-up in 42 min 13:52")


def test_that_after_a_reserve_date_the_next_sure_outing_is_said_too(kept_open: Tab) -> None:
    _look_again(kept_open, _at(2027, 6, 9, 9, 0))
    assert "Thursday 24 June 2027, Visit 2" in _text(kept_open, "#next-cards")


def test_that_both_skies_are_told_apart_and_the_steps_gone_by_are_crossed_out(browser: Browser, folder: Path) -> None:
    with browser.opened(folder / "long_names.html", Look(now=COUNTING)) as tab:
        cards = _text(tab, "#next-cards")
        assert cards.index("Clear sky in 1 min 22:02 Count until 22:07 3") < cards.index(
            "Overcast sky in 1 min 22:02 Count until 22:07 4"
        )
        assert "Window closes 23:23" in cards
        over, current = tab.figures(
            "['li.over', '[aria-current]'].map(look => document.querySelectorAll('#outing1 ' + look).length)"
        )
        # 15 points' habitat, the departure, and two or three counts under each sky.
        assert (over, current) == (2 * (1 + 15) + 2 + 3 + 2, 2)
        assert tab.words("document.querySelector('#outing1 li.over .state').textContent") == "over"
        tree = tab.tree()
        assert named(tree, "heading")[0] == "Next"
        [status] = [node for node in tree if node["role"]["value"] == "status"]
        assert status is not None
        assert _text(tab, "#next-said") == "Next: Count, 22:02"


def test_that_a_wrong_clock_another_zone_and_an_old_page_are_said(browser: Browser, folder: Path) -> None:
    page = folder / "ten_points.html"
    with browser.opened(page, Look(now=_at(2027, 5, 1, 12, 0))) as tab:
        assert "clock stands before the day" in _text(tab, "#next-doubts")
    with browser.opened(page, Look(now=_at(2027, 6, 20, 12, 0), zone="America/New_York")) as tab:
        doubts = _text(tab, "#next-doubts")
        assert "made 23 days ago" in doubts
        assert "All times here are those of Europe/London." in doubts
        assert _text(tab, "#next-now") == "It is 12:00"
    with browser.opened(
        folder / "southern_dawn.html", Look(now=_at(2027, 6, 1, 12, 0), zone="Australia/Hobart")
    ) as tab:
        assert _text(tab, "#next-doubts") == ""


def test_that_a_finger_s_target_is_not_taken_away_while_only_the_minutes_change(browser: Browser, folder: Path) -> None:
    with browser.opened(folder / "ten_points.html", Look(now=_at(2027, 6, 8, 22, 5))) as tab:
        tab.run("window.link = document.querySelector('#next-cards a.point'); link.focus()")
        for minute, same in ((6, True), (14, False)):
            _look_again(tab, _at(2027, 6, 8, 22, minute))
            assert tab.run("document.activeElement === link && link.isConnected") is same
        assert _text(tab, "#next-cards").endswith("Window closes 23:16")


def test_that_daylight_colours_are_one_touch_away_and_need_no_script(browser: Browser, folder: Path) -> None:
    with browser.opened(folder / "ten_points.html", Look()) as tab:
        tab.run("scrollTo(0, document.body.scrollHeight)")
        assert _pixels(tab)[..., 1:].max() <= 2
        tab.run("document.querySelector('#daylight').click()")
        pixels = _pixels(tab)
        assert np.median(pixels) == 255
        assert tab.words("getComputedStyle(document.querySelector('h1')).color") == "rgb(0, 0, 0)"
    assert "daylight" not in (folder / "ten_points.html").read_text(encoding="utf-8").split("<script>")[1]
