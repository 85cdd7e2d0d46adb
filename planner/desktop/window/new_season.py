"""A new season in three short steps: the protocol, the dates, whom everybody rings and where the file lies."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtWidgets import QWidget, QWizard

from planner.desktop.window.dates_page import DatesPage
from planner.desktop.window.place_page import PlacePage
from planner.desktop.window.protocol_page import ProtocolPage
from planner.usecases.season.new_season import SeasonWish
from planner.usecases.season.protocols import ProtocolOffer


class NewSeason(QWizard):
    """Asks what a new season is made from; ``wish`` and ``path`` hold it once it is accepted."""

    def __init__(
        self, offers: Sequence[ProtocolOffer], today: dt.date, folder: Path, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("New season"))
        self.setWizardStyle(QWizard.WizardStyle.ClassicStyle)
        self.setOption(QWizard.WizardOption.NoBackButtonOnStartPage)
        self.setButtonText(QWizard.WizardButton.FinishButton, self.tr("Make the season"))
        self.protocol_page = ProtocolPage(offers, folder)
        self.dates_page = DatesPage(self.protocol_page, today)
        self.place_page = PlacePage(self.protocol_page, self.dates_page, folder)
        for page in (self.protocol_page, self.dates_page, self.place_page):
            self.addPage(page)
        self.resize(820, 620)

    @property
    def wish(self) -> SeasonWish:
        """What is wished for."""
        return SeasonWish(
            protocol=self.protocol_page.offer.name,
            dates=self.dates_page.dates,
            zone=self.dates_page.zone,
            name=self.place_page.season_name,
            visits=self.dates_page.visits,
            coordinator=self.place_page.coordinator,
        )

    @property
    def path(self) -> Path:
        """Where the season file is to lie."""
        return self.place_page.path
