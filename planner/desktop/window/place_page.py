"""Third step of a new season: its name and file, and whom everybody rings."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QFormLayout, QHBoxLayout, QLineEdit, QPushButton, QWizardPage

from planner.desktop.look.words import quiet
from planner.desktop.window.dates_page import DatesPage
from planner.desktop.window.protocol_page import ProtocolPage
from planner.domain.season import Coordinator


class PlacePage(QWizardPage):
    """The season's name and file, and whom everybody rings."""

    def __init__(self, protocol: ProtocolPage, dates: DatesPage, folder: Path) -> None:
        super().__init__()
        self._protocol, self._dates, self._folder = protocol, dates, folder
        self._touched = False
        self.setTitle(self.tr("Name, place and coordinator"))
        self.setSubTitle(self.tr("The coordinator's number stands on every paper, for people out in the dark to ring."))
        self._name, self._path = QLineEdit(), QLineEdit()
        self._person, self._telephone, self._email = QLineEdit(), QLineEdit(), QLineEdit()
        self._browse = QPushButton(self.tr("Choose …"))
        self._browse.clicked.connect(self._choose)
        self._path.textEdited.connect(lambda _text: self._touch())
        row = QHBoxLayout()
        row.addWidget(self._path, 1)
        row.addWidget(self._browse)
        self._said = quiet()
        form = QFormLayout(self)
        for label, field in (
            (self.tr("Name of the season"), self._name),
            (self.tr("Season file"), row),
            (self.tr("Coordinator"), self._person),
            (self.tr("Telephone"), self._telephone),
            (self.tr("E-mail"), self._email),
        ):
            form.addRow(label, field)
            if isinstance(field, QLineEdit):
                field.setAccessibleName(label)
        self._path.setAccessibleName(self.tr("Season file"))
        form.addRow(self._said)
        self._name.textChanged.connect(self._name_changed)
        self._path.textChanged.connect(lambda _text: self.completeChanged.emit())

    def initializePage(self) -> None:
        """Offer a name made of what is surveyed and the year."""
        if not self._name.text():
            taxon = self._protocol.offer.protocol.taxon.capitalize()
            self._name.setText(f"{taxon} {self._dates.dates.first.year}")

    def isComplete(self) -> bool:
        """Whether the file can be made there, as far as can be seen."""
        fault = ""
        if not self._path.text().strip():
            fault = self.tr("Say where the season file is to lie.")
        elif self.path.exists():
            fault = self.tr("There is a file of that name already; choose another name.")
        elif not self.path.parent.is_dir():
            fault = self.tr("That folder is not there.")
        self._said.setText(fault)
        return not fault

    @property
    def season_name(self) -> str:
        """The season's name."""
        return self._name.text().strip()

    @property
    def path(self) -> Path:
        """Where the file is to lie; ``.dimpsy`` is added where it is missing."""
        text = self._path.text().strip()
        return Path(text if text.endswith(".dimpsy") else f"{text}.dimpsy").expanduser()

    @property
    def coordinator(self) -> Coordinator:
        """Whom everybody rings."""
        return Coordinator(self._person.text().strip(), self._telephone.text().strip(), self._email.text().strip())

    def _touch(self) -> None:
        self._touched = True

    def _name_changed(self, name: str) -> None:
        if not self._touched:
            plain = "".join(letter for letter in name if letter.isalnum() or letter in " -_").strip() or "season"
            self._path.setText(str(self._folder / f"{plain}.dimpsy"))

    def _choose(self) -> None:
        words = self.tr("Season files (*.dimpsy)")
        path, _ = QFileDialog.getSaveFileName(self, self.tr("Season file"), self._path.text(), words)
        if path:
            self._touch()
            self._path.setText(path)
