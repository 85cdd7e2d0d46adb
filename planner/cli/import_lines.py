"""What the terminal says of an import before it is taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.cli.import_choices import option_words
from planner.usecases.importing.differences import Change, Item
from planner.usecases.importing.preview import SourceUnderstood, Understood

_MOST_SHOWN = 8
_SAY = {
    "route": "Say which route its points are of:  --route CODE",
    "utm_zone": "Say in which UTM zone its metres are:  --utm-zone ZONE",
}
_ORDER = (Change.NEW, Change.CHANGED, Change.REFUSED, Change.SAME)


def preview_lines(understood: Understood) -> Iterator[str]:
    """Yield what files were taken for, file by file, and what they would do."""
    for source in understood.sources:
        yield from _source_lines(source)
    yield from understood.notes


def offer_lines(sources: Sequence[SourceUnderstood]) -> Iterator[str]:
    """Yield what could be chosen, with the option that chooses it."""
    for source in sources:
        for offer in source.understood.offers:
            yield f"  {source.path.name}: {offer.words}:  {option_words(offer.choices)}"
        for lacking in sorted(source.understood.lacks & _SAY.keys()):
            yield f"  {source.path.name}: {_SAY[lacking]}"


def _source_lines(source: SourceUnderstood) -> Iterator[str]:
    understood = source.understood
    yield (
        f"{source.path.name}: {source.kind}, {source.reason}" if source.kind else f"{source.path.name}: not known here"
    )
    used = [
        use.column if use.column.casefold() == use.meaning else f"{use.column} as {use.meaning}"
        for use in understood.columns
        if use.meaning
    ]
    unused = [use.column for use in understood.columns if not use.meaning]
    if used and (unused or any(" as " in one for one in used)):
        yield f"  columns: {', '.join(used)}"
    if unused:
        yield f"  not used: {', '.join(unused)}"
    if understood.coordinates:
        yield f"  coordinates: {understood.coordinates}" + (f"; time zone {understood.zone}" if understood.zone else "")
    yield from (f"  {line}" for line in _item_lines(source.items))
    for doubt in understood.doubts:
        yield f"  look at this: {doubt.where + ': ' if doubt.where else ''}{doubt.what}"
    if understood.offers and not source.faults:
        yield "  could be read otherwise:"
        yield from (f"    {offer.words}:  {option_words(offer.choices)}" for offer in understood.offers)


def _item_lines(items: Sequence[Item]) -> Iterator[str]:
    for change in _ORDER:
        alike = [item for item in items if item.change is change]
        if alike:
            shown = [f"{item.title} ({item.what})" if item.what else item.title for item in alike[:_MOST_SHOWN]]
            more = f" and {len(alike) - _MOST_SHOWN} more" if len(alike) > _MOST_SHOWN else ""
            yield f"{change.value}: {', '.join(shown)}{more}"
