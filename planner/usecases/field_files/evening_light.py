"""When the light windows of a route are: what tells the times of a night from those of the next day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from planner.domain.errors import RuleError
from planner.domain.light import LightWindow, Span
from planner.domain.plan import Plan
from planner.domain.season import Season
from planner.domain.window import PartOfDay, Window
from planner.light import window_table

_SOUGHT_DAYS = 30
"""A date without a window, in midsummer say, is taken for one at most so many days off: times of day shift little."""
_USUAL = {PartOfDay.DUSK: (dt.time(19), dt.time(23)), PartOfDay.DAWN: (dt.time(3), dt.time(8))}
"""Where no date has a window, or a route has no point: local clock, our own assumption."""


@dataclass(slots=True, eq=False)
class EveningLight:
    """Light windows of the routes of a season, each computed when it is first asked for."""

    season: Season
    plan: Plan
    _known: dict[tuple[str, dt.date], Span] = field(default_factory=dict)

    def __call__(self, route: str, date: dt.date) -> Span:
        """Return the light window of a route on a date, in UTC; where there is none, when it would be."""
        key = (route, date)
        if key not in self._known:
            self._known[key] = self._computed(route, date)
        return self._known[key]

    def _computed(self, route: str, date: dt.date) -> Span:
        window = self._window(route, date)
        points = self.season.route(route).points
        for off in sorted(range(-_SOUGHT_DAYS, _SOUGHT_DAYS + 1), key=abs) if points else ():
            day = date + dt.timedelta(days=off)
            try:
                found = window_table(window, [points[0].place], [day], self.season.zone).at(0, 0)
            except RuleError:
                break  # beyond the years for which the sun is computed
            if isinstance(found, LightWindow):
                shift = dt.timedelta(days=-off)
                return Span(found.open_utc + shift, found.close_utc + shift)
        return self._usual(window, date)

    def _window(self, route: str, date: dt.date) -> Window:
        """Return the window that is planned for a route on that date, or else on any; else the protocol's first."""
        windows = self.season.protocol.windows
        visits = sorted(self.plan.of_route(route), key=lambda visit: abs(visit.date - date))
        names = [visit.window for visit in visits]
        return next((window for name in names for window in windows if window.name == name), windows[0])

    def _usual(self, window: Window, date: dt.date) -> Span:
        first, last = _USUAL[window.part]
        zone = self.season.tzinfo
        moments = (dt.datetime.combine(date, time, tzinfo=zone).astimezone(dt.UTC) for time in (first, last))
        return Span(*moments)
