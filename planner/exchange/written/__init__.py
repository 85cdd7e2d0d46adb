"""Routes and their points as files that other programs read; never a home, a name of a person or a telephone number."""

from planner.exchange.written.letters import letter_faults
from planner.exchange.written.route_files import RouteFormat, route_files

__all__ = ["RouteFormat", "letter_faults", "route_files"]
