"""``dimpsy protocols``: what is shipped, and a copy of one to begin somebody's own with."""

from __future__ import annotations

import argparse

from planner.cli.output import Report, file_word
from planner.cli.usage import UsageError, path
from planner.usecases.season.protocols import protocol_offers, write_protocol

NAME = "protocols"
HELP = "list the shipped protocols, or copy one to a file to make your own from"
EPILOG = """a protocol of your own:
  dimpsy protocols --copy heath_nightjars --to my_survey.toml
  change the file in a text editor, then give it:  dimpsy new FILE --protocol my_survey.toml …"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("--copy", metavar="NAME", help="the shipped protocol to copy")
    parser.add_argument("--to", metavar="FILE", type=path, help="the file to write, NAME.toml; none is written over")


def run(arguments: argparse.Namespace) -> Report:
    """List the protocols, or write one to a file."""
    if (arguments.copy is None) is not (arguments.to is None):
        raise UsageError("--copy NAME and --to FILE go together")
    if arguments.copy is not None:
        return _copied(arguments)
    offers = protocol_offers()
    width = max(len(offer.name) for offer in offers)
    lines = [f"{offer.name:{width}}  {offer.protocol.name}" for offer in offers]
    lines.append("Your own is a file of the same form:  dimpsy protocols --copy NAME --to MY_SURVEY.toml")
    return Report({"protocols": [{"name": offer.name, "title": offer.protocol.name} for offer in offers]}, tuple(lines))


def _copied(arguments: argparse.Namespace) -> Report:
    write_protocol(arguments.copy, arguments.to)
    word = file_word(arguments.to)
    lines = (
        f"Wrote {arguments.copy} to {word}. Change its name, summary and figures in a text editor.",
        f"Then:  dimpsy new SEASON.dimpsy --protocol {word} --from DATE --to DATE --zone ZONE",
    )
    return Report({"protocol": arguments.copy, "file": arguments.to}, lines)
