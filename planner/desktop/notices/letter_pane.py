"""One person's letter and short message, to be copied or opened in the mail program."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QUrl, Signal
from PySide6.QtGui import QDesktopServices, QGuiApplication
from PySide6.QtWidgets import QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from planner.desktop.look.flow import FlowLayout
from planner.desktop.look.words import heading, quiet, statement
from planner.desktop.notices.words import news_sentence
from planner.domain.field.telling import News
from planner.usecases.sending.letters import letter_to
from planner.usecases.sending.news import PersonNews
from planner.usecases.sending.notice import Notice
from planner.usecases.sending.short_message import parts_of, short_message


class LetterPane(QWidget):
    """Shows what a person reads when their files come; where nothing is new, what they read the last time."""

    said = Signal(str)
    """Something short for the status line."""

    def __init__(
        self, open_address: Callable[[QUrl], bool] = QDesktopServices.openUrl, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._open = open_address
        self._letter: Notice | None = None
        self.name, self.reached, self.state = heading(), quiet(), statement()
        self.text, self.short = QPlainTextEdit(), QPlainTextEdit()
        self.short_head = statement()
        self.copy = QPushButton(self.tr("Copy the letter"))
        self.copy_short = QPushButton(self.tr("Copy the short message"))
        self.mail = QPushButton(self.tr("Open in the mail program"))
        self.unanswered = statement()
        self.copy.clicked.connect(self._copy_letter)
        self.copy_short.clicked.connect(self._copy_short)
        self.mail.clicked.connect(self._open_mail)
        self._lay_out()
        self.show_person(None)

    def show_person(self, person: PersonNews | None) -> None:
        """Show somebody's letter; None: nobody's."""
        self._letter = letter = None if person is None else letter_to(person)
        short = "" if person is None else short_message(person)
        self.unanswered.hide()
        self.name.setText(person.name if person is not None else self.tr("Choose somebody to see what they are told."))
        ways = [] if person is None else [one for one in (person.telephone, person.email) if one]
        self.reached.setText("    ".join(ways))
        self.state.setText(self._state_words(person))
        self.text.setPlainText(letter.text if letter is not None else "")
        self.short.setPlainText(short)
        parts = self.tr("1 part") if parts_of(short) == 1 else self.tr("2 parts")
        self.short_head.setText(self.tr("As a short message, %1:").replace("%1", parts))
        for part in (self.short_head, self.short, self.text, self.copy, self.copy_short, self.mail):
            part.setVisible(person is not None)
        mail = letter is not None and bool(letter.email)
        self.mail.setEnabled(mail)
        self.mail.setToolTip(letter.email if letter is not None and mail else self.tr("No e-mail address is known"))

    def _state_words(self, person: PersonNews | None) -> str:
        if person is None:
            return ""
        again = self.tr("This is what they were told last.") if person.news is News.SAME else ""
        return " ".join(words for words in (news_sentence(person.news), again) if words)

    def _copy_letter(self) -> None:
        QGuiApplication.clipboard().setText(self.text.toPlainText())
        self.said.emit(self.tr("The letter is on the clipboard."))

    def _copy_short(self) -> None:
        QGuiApplication.clipboard().setText(self.short.toPlainText())
        self.said.emit(self.tr("The short message is on the clipboard."))

    def _open_mail(self) -> None:
        if self._letter is None:
            return
        # Encoded already; anything else would encode its percent signs a second time.
        answered = self._open(QUrl(self._letter.mail_address, QUrl.ParsingMode.StrictMode))
        self.unanswered.setVisible(not answered)

    def _lay_out(self) -> None:
        for edit, name in ((self.text, self.tr("The letter")), (self.short, self.tr("The short message"))):
            edit.setReadOnly(True)
            edit.setTabChangesFocus(True)
            edit.setAccessibleName(name)
        self.short.setFixedHeight(self.short.fontMetrics().lineSpacing() * 5 + 12)
        self.unanswered.setText(self.tr("No mail program answered; copy the letter instead."))
        self.copy.setToolTip(self.tr("To paste it into a message of any kind"))
        self.copy_short.setToolTip(self.tr("To paste it into a short message"))
        buttons = FlowLayout()
        for button in (self.mail, self.copy, self.copy_short):
            buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.name)
        column.addWidget(self.reached)
        column.addWidget(self.state)
        column.addWidget(self.text, 1)
        column.addWidget(self.short_head)
        column.addWidget(self.short)
        column.addLayout(buttons)
        column.addWidget(self.unanswered)
        column.addStretch(0)
