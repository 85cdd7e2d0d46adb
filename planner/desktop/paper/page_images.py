"""Pictures of the pages of one itinerary, drawn by the renderer of the paper itself, off the interface thread."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from planner.desktop.session import SeasonSession
from planner.domain.errors import DimpsyError
from planner.printing import Pages, Paper, render_pages
from planner.usecases.paper.itineraries import PrintFacts, itinerary_for

MOST_KEPT = 48
"""Pictures of pages kept at a time: what is on the screen, and some to scroll back to."""

Wish = tuple[int, float]
"""A page, from 0, and the dots per inch that it is wanted in."""


class PageImages(QObject):
    """The pages of the itinerary that is looked at; each is drawn when somebody wishes for it, one after the other."""

    changed = Signal()
    """Another itinerary is shown, or none."""
    drawn = Signal(int)
    """There is a new picture of that page."""

    def __init__(self, session: SeasonSession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.pages: Pages | None = None
        self.trouble = ""
        """Why there are no pages, in words."""
        self._session = session
        self._made: dict[Wish, QImage] = {}
        self._wishes: dict[str, Sequence[Wish]] = {}
        self._drawing = False

    @property
    def count(self) -> int:
        """How many pages there are."""
        return 0 if self.pages is None else self.pages.page_count

    def show_itinerary(self, facts: PrintFacts, code: str, paper: Paper) -> None:
        """Lay out somebody's itinerary; ``changed`` follows."""

        def work() -> Pages:
            return render_pages(itinerary_for(facts, code), paper)

        self._session.think(work, self._take, topic="pages", owner=self, failed=self._fail)

    def show_nothing(self, why: str = "") -> None:
        """Show no pages, and why."""
        self._session.think(lambda: None, lambda _none: self._be(None, why), topic="pages", owner=self)

    def wish(self, wisher: str, wishes: Sequence[Wish]) -> None:
        """Say which pages are on the screen; what was wished for before and is no longer, is not drawn any more."""
        self._wishes[wisher] = wishes
        self._draw_next()

    def picture(self, page: int, dots_per_inch: float) -> QImage | None:
        """Return the page as wanted, else in whatever resolution it was drawn before; None where it was not."""
        wish = (page, dots_per_inch)
        if wish in self._made:
            self._made[wish] = self._made.pop(wish)
            return self._made[wish]
        others = [image for (number, _), image in self._made.items() if number == page]
        return others[-1] if others else None

    def _take(self, pages: Pages) -> None:
        self._be(pages, "")

    def _fail(self, error: DimpsyError) -> None:
        self._be(None, str(error))

    def _be(self, pages: Pages | None, trouble: str) -> None:
        self.pages, self.trouble = pages, trouble
        self._made.clear()
        self.changed.emit()

    def _draw_next(self) -> None:
        wish = next((one for wishes in self._wishes.values() for one in wishes if self._lacks(one)), None)
        if wish is None or self._drawing:
            return
        pages = self.pages
        if pages is None:
            return
        self._drawing = True

        def drawn(image: QImage) -> None:
            self._drawing = False
            if pages is self.pages:
                self._keep(wish, image)
            self._draw_next()

        self._session.think(lambda: pages.image(*wish), drawn, owner=self)

    def _lacks(self, wish: Wish) -> bool:
        return wish not in self._made and wish[0] < self.count

    def _keep(self, wish: Wish, image: QImage) -> None:
        self._made[wish] = image
        while len(self._made) > MOST_KEPT:
            del self._made[next(iter(self._made))]
        self.drawn.emit(wish[0])
