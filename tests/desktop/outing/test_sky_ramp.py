"""The sky of the picture: its colours get lighter with the sun, and each column has the colour of its minute."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import numpy as np
import pytest

from planner.desktop.look.colours import contrast, relative_luminance
from planner.desktop.look.sky import ink_on, sky_colour
from planner.desktop.outing.evening import HourScale
from planner.desktop.outing.sky_band import sky_strip
from planner.domain.geo import Place
from planner.light import sun_altitude
from planner.usecases.evening.sun_path import sun_path

ONE_STEP = 0.0058
"""What one step of the three 8-bit channels can change the luminance by; measured on the ramp's brightest colours."""


def test_that_the_sky_gets_no_darker_as_the_sun_rises() -> None:
    luminances = [relative_luminance(sky_colour(altitude).name()) for altitude in np.arange(-25.0, 70.0, 0.05)]
    assert all(after >= before - ONE_STEP for before, after in pairwise(luminances))
    # From night to the golden hour there is no step back at all, however small.
    rising = [relative_luminance(sky_colour(altitude).name()) for altitude in np.arange(-18.0, 6.0, 0.25)]
    assert rising == sorted(rising)
    assert rising[0] < 0.02
    assert rising[-1] > 0.6


def test_that_night_dusk_and_day_are_told_apart_without_their_hue() -> None:
    steps = [relative_luminance(sky_colour(altitude).name()) for altitude in (-18.0, -12.0, -6.0, -0.833, 6.0)]
    ratios = [(after + 0.05) / (before + 0.05) for before, after in pairwise(steps)]
    assert min(ratios) > 1.15


@pytest.mark.parametrize("altitude", np.arange(-20.0, 50.0, 0.5).tolist())
def test_that_the_suns_way_is_seen_on_the_sky(altitude: float) -> None:
    """WCAG 2.2, success criterion 1.4.11: 3 : 1 for what is drawn; nothing is written on the sky."""
    colour = sky_colour(altitude)
    assert contrast(colour.name(), ink_on(colour).name()) >= 3.0


def test_that_each_column_has_the_colour_of_the_sun_at_its_minute() -> None:
    place, begin = Place(50.6, -3.9), dt.datetime(2027, 6, 4, 19, 0, tzinfo=dt.UTC)
    end = begin + dt.timedelta(hours=4)
    strip = sky_strip(sun_path(place, begin, end, "Europe/London"), HourScale(begin, end, 0.0, 480.0), 480)
    for column in range(480):
        instant = begin + (end - begin) * (column + 0.5) / 480
        altitude = float(sun_altitude(instant, place.latitude, place.longitude))
        shown, expected = strip.pixelColor(column, 0), sky_colour(altitude)
        # Between full minutes the altitude is taken as straight: a thousandth of a degree, a step of a channel.
        for one, other in (
            (shown.red(), expected.red()),
            (shown.green(), expected.green()),
            (shown.blue(), expected.blue()),
        ):
            assert abs(one - other) <= 1
