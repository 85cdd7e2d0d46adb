"""The protocols that a new season can be made with: those shipped, and anybody's own."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.domain.errors import Fault, InputError
from planner.domain.protocol import Protocol
from planner.exchange import protocol_names, read_protocol, shipped_protocol, write_whole
from planner.shipped import resources

ENDING = ".toml"
"""Of every file of a protocol."""


@dataclass(frozen=True, slots=True)
class ProtocolOffer:
    """A protocol, and the name it is asked for by."""

    name: str
    """Of a shipped one its own name, else its file."""
    protocol: Protocol

    @property
    def file(self) -> Path | None:
        """Where it was read; None for a shipped one."""
        return Path(self.name) if self.name.endswith(ENDING) else None


def protocol_offers() -> tuple[ProtocolOffer, ...]:
    """Return every shipped protocol, published ones before those invented for the demo."""
    offers = [ProtocolOffer(name, shipped_protocol(name)) for name in protocol_names()]
    return tuple(sorted(offers, key=lambda offer: (offer.protocol.invented, offer.protocol.name)))


def own_protocol(path: Path) -> ProtocolOffer:
    """Read somebody's own protocol; raises InputError with all its faults."""
    _check_ending(path)
    return ProtocolOffer(str(path), read_protocol(path))


def write_protocol(name: str, target: Path, *, replace: bool = False) -> None:
    """Write a shipped protocol to a file, word for word with its remarks: a start for somebody's own.

    Args:
        name: of the shipped protocol.
        target: the file, ending in ``.toml``.
        replace: whether a file that is there may be written over.

    Raises:
        InputError: there is no such protocol, the file has another ending or is there already, or cannot be written.
    """
    shipped_protocol(name)
    _check_ending(target)
    if target.exists() and not replace:
        fault = Fault(str(target), "", "a name that is free", "a file of that name", "Choose another name.")
        raise InputError(fault)
    write_whole(target, (resources() / "protocols" / f"{name}{ENDING}").read_bytes())


def _check_ending(path: Path) -> None:
    if path.suffix != ENDING:
        expected, found = f"a file ending in {ENDING}", repr(path.suffix) if path.suffix else "no ending"
        raise InputError(Fault(str(path), "", expected, found, f"Name it as in my_survey{ENDING}."))
