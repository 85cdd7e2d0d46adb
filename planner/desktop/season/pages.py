"""The four pages of the Season room; those behind the first are made when they are first turned to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from planner.desktop.desk import Desk
from planner.desktop.season.overview_page import OverviewPage
from planner.desktop.season.protocol_page import ProtocolPage

if TYPE_CHECKING:
    from planner.desktop.season.details_page import DetailsPage
    from planner.desktop.season.roads_page import RoadsPage


class SeasonPages(QTabWidget):
    """What stands; the season's own form; the road map; the protocol."""

    road_map_wanted = Signal()
    """A person wants to bring in a road map."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setAccessibleName(self.tr("Pages of the season"))
        self.tabBar().setAccessibleName(self.tr("Pages of the season"))
        self.overview = OverviewPage(desk.colours, desk.session.snapshot.season)
        self._details: DetailsPage | None = None
        self._protocol: ProtocolPage | None = None
        self._roads: RoadsPage | None = None
        self._details_place, self._roads_place, self._protocol_place = QWidget(), QWidget(), QWidget()
        places = (self._details_place, self._roads_place, self._protocol_place)
        self._details_box, self._roads_box, self._protocol_box = (QVBoxLayout(place) for place in places)
        for box in (self._details_box, self._roads_box, self._protocol_box):
            box.setContentsMargins(0, 0, 0, 0)
        self.addTab(self.overview, self.tr("What stands"))
        self.addTab(self._details_place, self.tr("Name, dates, weather"))
        self.addTab(self._roads_place, self.tr("The road map"))
        self.addTab(self._protocol_place, self.tr("The protocol"))
        self.setStyleSheet("QTabWidget::pane { border: 0; }")
        self.currentChanged.connect(lambda _place: self.bring_up_to_date())

    @property
    def details(self) -> DetailsPage:
        """The season's own form."""
        if self._details is None:
            from planner.desktop.season.details_page import DetailsPage

            self._details = DetailsPage(self._desk)
            self._details_box.addWidget(self._details)
            self._details.show()
        return self._details

    @property
    def roads(self) -> RoadsPage:
        """The page of the season's road map."""
        if self._roads is None:
            from planner.desktop.season.roads_page import RoadsPage

            self._roads = RoadsPage(self._desk)
            self._roads.map_wanted.connect(self.road_map_wanted)
            self._roads_box.addWidget(self._roads)
            self._roads.show()
        return self._roads

    @property
    def protocol(self) -> ProtocolPage:
        """The page of the season's protocol; made anew where the protocol is another."""
        protocol = self._desk.session.snapshot.season.protocol
        if self._protocol is None or self._protocol.protocol != protocol:
            if self._protocol is not None:
                self._protocol.deleteLater()
            self._protocol = ProtocolPage(protocol, self._desk.colours)
            self._protocol_box.addWidget(self._protocol)
            self._protocol.show()
        return self._protocol

    def bring_up_to_date(self) -> None:
        """Show the season as it stands on the page that is turned to, in the desk's palette."""
        place = self.currentWidget()
        if place is self._details_place:
            self.details.show_season()
        elif place is self._roads_place:
            self.roads.show_season()
        elif place is self._protocol_place:
            self.protocol.set_colours(self._desk.colours)

    def turn_to_overview(self) -> None:
        """Turn to what stands."""
        self.setCurrentWidget(self.overview)

    def turn_to_details(self) -> None:
        """Turn to the season's own form."""
        self.setCurrentWidget(self._details_place)

    def turn_to_coordinator(self) -> None:
        """Turn to the number that everybody rings."""
        self.turn_to_details()
        self.details.go_to_coordinator()

    def turn_to_weather(self) -> None:
        """Turn to what is expected of the weather."""
        self.turn_to_details()
        self.details.go_to_weather()

    def turn_to_roads(self) -> None:
        """Turn to the road map and its speeds."""
        self.setCurrentWidget(self._roads_place)

    def turn_to_protocol(self) -> None:
        """Turn to the protocol and its sources."""
        self.setCurrentWidget(self._protocol_place)
