"""The protocols that a new season can be made with."""

from __future__ import annotations

from dataclasses import dataclass

from planner.domain.protocol import Protocol
from planner.exchange import protocol_names, shipped_protocol


@dataclass(frozen=True, slots=True)
class ProtocolOffer:
    """A shipped protocol, and the name it is asked for by."""

    name: str
    protocol: Protocol


def protocol_offers() -> tuple[ProtocolOffer, ...]:
    """Return every shipped protocol, published ones before those invented for the demo."""
    offers = [ProtocolOffer(name, shipped_protocol(name)) for name in protocol_names()]
    return tuple(sorted(offers, key=lambda offer: (offer.protocol.invented, offer.protocol.name)))
