"""An itinerary as one page for a telephone: no network, no script needed, red on black."""

from planner.printing.phone.page import phone_page

__all__ = ["phone_page"]
