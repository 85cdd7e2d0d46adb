"""Blocks stacked down a page, and pages filled with them: nothing is split that belongs together."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from planner.printing.canvas import Canvas
from planner.printing.fonts import Face
from planner.printing.geometry import Box
from planner.printing.setting import wrapped

Painted = Callable[[Canvas, Box], None]
"""Draws into the box it is given."""


@dataclass(frozen=True, slots=True)
class Block:
    """Something of a known height that is drawn as wide as the page's matter, and never split."""

    height: float
    paint: Painted
    keep_with_next: bool = False
    """Never the last thing on a page: a heading, say."""


@dataclass(frozen=True, slots=True)
class Rows:
    """A table: its head is drawn again on every page that it reaches, and no row is split."""

    head: Block
    rows: tuple[Block, ...]
    whole: bool = False
    """Kept on one page wherever one page can hold it."""

    @property
    def height(self) -> float:
        """Height of the table on one page."""
        return self.head.height + sum(row.height for row in self.rows)


@dataclass(frozen=True, slots=True)
class Section:
    """What begins on a page of its own; ``running`` heads its later pages."""

    items: tuple[Block | Rows, ...]
    running: Block | None = None


@dataclass(slots=True)
class PageMatter:
    """The blocks of one page, each with its place."""

    placed: list[tuple[Block, Box]] = field(default_factory=list)

    def paint(self, canvas: Canvas) -> None:
        """Draw them all."""
        for block, box in self.placed:
            block.paint(canvas, box)


class _Filling:
    """Pages being filled from top to bottom."""

    def __init__(self, content: Box, running: Block | None) -> None:
        self._content = content
        self._running = running
        self._top = content.top
        self.pages = [PageMatter()]

    def fits(self, height: float) -> bool:
        return self._top + height <= self._content.bottom + 0.01

    def fits_on_a_new_page(self, height: float) -> bool:
        head = 0.0 if self._running is None else self._running.height
        return head + height <= self._content.height + 0.01

    def turn(self) -> None:
        self.pages.append(PageMatter())
        self._top = self._content.top
        if self._running is not None:
            self.put(self._running)

    def put(self, block: Block) -> None:
        place = Box(self._content.left, self._top, self._content.width, block.height)
        self.pages[-1].placed.append((block, place))
        self._top += block.height

    @property
    def bare(self) -> bool:
        """Whether the page holds nothing but its running head."""
        return len(self.pages[-1].placed) <= (1 if len(self.pages) > 1 and self._running is not None else 0)


def filled_pages(section: Section, content: Box) -> list[PageMatter]:
    """Return the pages of a section: as few as hold its blocks in order."""
    filling = _Filling(content, section.running)
    for group in _groups(section.items):
        if not filling.bare and not _stays(group, filling):
            filling.turn()
        for block in group.together:
            filling.put(block)
        for block in group.later:
            if not filling.fits(block.height):
                filling.turn()
                filling.put(group.together[-2])
            filling.put(block)
    return filling.pages


@dataclass(frozen=True, slots=True)
class _Group:
    """Blocks that must start on one page, and table rows that may follow on others under the same head."""

    together: tuple[Block, ...]
    later: tuple[Block, ...] = ()
    whole: bool = False

    @property
    def least(self) -> float:
        return sum(block.height for block in self.together)

    @property
    def most(self) -> float:
        return self.least + sum(block.height for block in self.later)


def _stays(group: _Group, filling: _Filling) -> bool:
    """Say whether a group begins on the page that is being filled."""
    if group.whole and filling.fits_on_a_new_page(group.most):
        return filling.fits(group.most)
    return filling.fits(group.least)


def _groups(items: Sequence[Block | Rows]) -> Iterator[_Group]:
    waiting: list[Block] = []
    for item in items:
        if isinstance(item, Rows):
            yield _Group((*waiting, item.head, *item.rows[:1]), item.rows[1:], item.whole)
            waiting = []
        elif item.keep_with_next:
            waiting.append(item)
        else:
            yield _Group((*waiting, item))
            waiting = []
    if waiting:
        yield _Group(tuple(waiting))


def space(height: float) -> Block:
    """Return white space."""
    return Block(height, lambda _canvas, _box: None)


def paragraph(text: str, face: Face, width: float, *, after: float = 1.0, keep_with_next: bool = False) -> Block:
    """Return a paragraph set to that width, with white space below it."""
    lines = wrapped(text, face, width)

    def paint(canvas: Canvas, box: Box) -> None:
        canvas.lines((box.left, box.top), lines, face)

    return Block(len(lines) * face.line + after, paint, keep_with_next)


def bullets(texts: Sequence[str], face: Face, width: float, *, gap: float = 1.2) -> tuple[Block, ...]:
    """Return a list, each entry behind a small square."""
    return tuple(_bullet(text, face, width, gap) for text in texts)


def _bullet(text: str, face: Face, width: float, gap: float) -> Block:
    indent = 5.0
    lines = wrapped(text, face, width - indent)

    def paint(canvas: Canvas, box: Box) -> None:
        size = 1.5
        middle = box.top + face.ascent - face.cap / 2
        canvas.fill(Box(box.left + 0.5, middle - size / 2, size, size))
        canvas.lines((box.left + indent, box.top), lines, face)

    return Block(len(lines) * face.line + gap, paint)


def stacked(blocks: Sequence[Block]) -> Block:
    """Return blocks under one another as a single one that is never split."""

    def paint(canvas: Canvas, box: Box) -> None:
        top = box.top
        for block in blocks:
            block.paint(canvas, Box(box.left, top, box.width, block.height))
            top += block.height

    return Block(sum(block.height for block in blocks), paint)


def beside(left: Block, right: Block, left_width: float, gap: float) -> Block:
    """Return two blocks side by side, the left one that wide."""

    def paint(canvas: Canvas, box: Box) -> None:
        left.paint(canvas, Box(box.left, box.top, left_width, left.height))
        start = box.left + left_width + gap
        right.paint(canvas, Box(start, box.top, box.right - start, right.height))

    return Block(max(left.height, right.height), paint)
