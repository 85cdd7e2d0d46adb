"""A letter to one volunteer, ready for any mail program, and what may be told of a cause."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from planner.domain.disruption import (
    Disruption,
    EveningCancelled,
    PartlyDone,
    RoadClosed,
    SetupCancelled,
    VisitCancelled,
    VisitsCancelled,
)


@dataclass(frozen=True, slots=True)
class Notice:
    """One letter to one volunteer."""

    volunteer: str
    name: str
    telephone: str
    email: str
    subject: str
    text: str
    """Lines ended by ``\\\\n``."""
    fresh_paper: bool
    """Whether a new itinerary goes with it; False: they have no outing any more, and their paper is void."""

    @property
    def mail_address(self) -> str:
        """The letter as a ``mailto`` address (RFC 6068) that a mail program opens; empty where there is no e-mail."""
        if not self.email:
            return ""
        body = quote(self.text.replace("\n", "\r\n"), safe="")
        return f"mailto:{quote(self.email, safe='@')}?subject={quote(self.subject, safe='')}&body={body}"


def cause_told(disruption: Disruption) -> str:
    """Return what broke in words that everybody may read; empty where it is somebody's own affair."""
    match disruption:
        case VisitCancelled() | VisitsCancelled() | SetupCancelled() | EveningCancelled():
            return "the weather"
        case RoadClosed():
            return "a road that is closed"
        case PartlyDone():
            return "a visit that could not be finished"
    return ""
