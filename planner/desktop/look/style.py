"""Gives the application its look: the plain Fusion style, our palette, our font, and a style sheet for what is left."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication

from planner.desktop.look.colours import DARK, LIGHT, Colours
from planner.shipped import resources

FAMILY = "B612"
POINTS = 10.0
_WORN = "dimpsy palette"
"""Property of the application that names the palette it wears."""


def system_colours(app: QApplication) -> Colours:
    """Return the palette that the system asks for."""
    return DARK if app.styleHints().colorScheme() is Qt.ColorScheme.Dark else LIGHT


def load_font() -> None:
    """Register the shipped font: it was drawn to be read in cockpits.

    Raises:
        FileNotFoundError: the program was installed without its fonts.
    """
    if FAMILY in QFontDatabase.families():
        return
    for weight in ("Regular", "Bold"):
        path = resources() / "fonts" / f"{FAMILY}-{weight}.otf"
        if QFontDatabase.addApplicationFont(str(path)) < 0:
            raise FileNotFoundError(f"the shipped font is missing or unreadable: {path}; install the program again")


def apply_look(app: QApplication, colours: Colours) -> None:
    """Dress the application in a palette; nothing is done where it wears it already, for every widget feels it."""
    worn = app.property(_WORN)
    if worn == colours.name:
        return
    if worn is None:
        load_font()
        app.setStyle("Fusion")
        font = QFont(FAMILY)
        font.setPointSizeF(POINTS)
        app.setFont(font)
    app.setPalette(qt_palette(colours))
    app.setStyleSheet(style_sheet(colours))
    app.setProperty(_WORN, colours.name)


def qt_palette(colours: Colours) -> QPalette:
    """Return Qt's palette of our colours."""
    palette = QPalette()
    role = QPalette.ColorRole
    for name, colour in (
        (role.Window, colours.ground),
        (role.WindowText, colours.ink),
        (role.Base, colours.surface),
        (role.AlternateBase, colours.ground),
        (role.Text, colours.ink),
        (role.PlaceholderText, colours.quiet),
        (role.Button, colours.raised),
        (role.ButtonText, colours.ink),
        (role.BrightText, colours.on_accent),
        (role.Highlight, colours.selection),
        (role.HighlightedText, colours.on_selection),
        (role.ToolTipBase, colours.raised),
        (role.ToolTipText, colours.ink),
        (role.Link, colours.accent),
        (role.LinkVisited, colours.accent),
        (role.Accent, colours.accent),
        (role.Mid, colours.edge),
        (role.Light, colours.surface),
        (role.Midlight, colours.line),
        (role.Dark, colours.edge),
        (role.Shadow, colours.edge),
    ):
        palette.setColor(name, QColor(colour))
    for name in (role.Text, role.ButtonText, role.WindowText):
        palette.setColor(QPalette.ColorGroup.Disabled, name, QColor(colours.edge))
    return palette


def style_sheet(colours: Colours) -> str:
    """Return the style sheet: clear edges, and a focus ring that is always seen."""
    drawn = resources() / "controls"
    pictures = {name: (drawn / f"{name}-{colours.name}.svg").as_posix() for name in ("up", "down", "tick")}
    return _SHEET.format_map({name: getattr(colours, name) for name in colours.__slots__} | pictures)


_SHEET = """
QLabel[words="quiet"] {{ color: {quiet}; }}
QLabel[words="title"], QLabel[words="figure"] {{ color: {accent}; }}
QToolTip {{ color: {ink}; background: {raised}; border: 1px solid {edge}; padding: 4px; }}
QPushButton, QToolButton {{
    color: {ink}; background: {surface}; border: 1px solid {edge}; border-radius: 5px; padding: 5px 11px;
}}
QToolButton {{ padding: 4px 7px; }}
QPushButton:hover, QToolButton:hover {{ background: {selection}; color: {on_selection}; }}
QPushButton:pressed, QToolButton:pressed, QPushButton:checked, QToolButton:checked {{
    background: {selection}; color: {on_selection}; border-color: {accent};
}}
QPushButton[main="true"] {{ background: {accent}; color: {on_accent}; border-color: {accent}; font-weight: bold; }}
QPushButton:disabled, QToolButton:disabled {{ color: {edge}; background: {ground}; border-color: {line}; }}
QPushButton:focus, QToolButton:focus {{ border: 2px solid {focus}; padding: 4px 10px; }}
QToolButton:focus {{ padding: 3px 6px; }}
QPushButton[main="true"]:focus {{ border: 2px solid {ink}; }}
QLineEdit, QPlainTextEdit, QTextEdit, QDateEdit, QTimeEdit, QDateTimeEdit, QSpinBox, QDoubleSpinBox, QComboBox {{
    color: {ink}; background: {surface}; border: 1px solid {edge}; border-radius: 4px; padding: 3px 5px;
    selection-background-color: {selection}; selection-color: {on_selection};
}}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QDateEdit:focus, QTimeEdit:focus, QDateTimeEdit:focus,
QSpinBox:focus, QDoubleSpinBox:focus, QComboBox:focus {{ border: 2px solid {focus}; padding: 2px 4px; }}
QComboBox::drop-down, QDateEdit::drop-down {{ border: 0; width: 22px; }}
QComboBox::down-arrow, QDateEdit::down-arrow {{ image: url("{down}"); width: 12px; height: 12px; }}
QSpinBox::up-button, QDoubleSpinBox::up-button, QTimeEdit::up-button, QDateTimeEdit::up-button,
QSpinBox::down-button, QDoubleSpinBox::down-button, QTimeEdit::down-button, QDateTimeEdit::down-button {{
    border: 0; width: 20px; subcontrol-origin: padding;
}}
QSpinBox::up-button, QDoubleSpinBox::up-button, QTimeEdit::up-button, QDateTimeEdit::up-button {{
    subcontrol-position: top right;
}}
QSpinBox::down-button, QDoubleSpinBox::down-button, QTimeEdit::down-button, QDateTimeEdit::down-button {{
    subcontrol-position: bottom right;
}}
QSpinBox::up-arrow, QDoubleSpinBox::up-arrow, QTimeEdit::up-arrow, QDateTimeEdit::up-arrow {{
    image: url("{up}"); width: 10px; height: 10px;
}}
QSpinBox::down-arrow, QDoubleSpinBox::down-arrow, QTimeEdit::down-arrow, QDateTimeEdit::down-arrow {{
    image: url("{down}"); width: 10px; height: 10px;
}}
QLineEdit:disabled, QComboBox:disabled, QSpinBox:disabled, QDateEdit:disabled {{ color: {edge}; background: {ground}; }}
QLineEdit:read-only {{ background: {ground}; }}
QAbstractItemView {{
    color: {ink}; background: {surface}; alternate-background-color: {ground}; border: 1px solid {line};
    padding: 1px; gridline-color: {line}; outline: 0;
    selection-background-color: {selection}; selection-color: {on_selection};
}}
QAbstractItemView:focus, QAbstractScrollArea:focus {{ border: 2px solid {focus}; }}
QAbstractItemView:focus, QHeaderView {{ padding: 0; }}
QAbstractItemView::item:selected {{ background: {selection}; color: {on_selection}; }}
QTableView::item {{ border: 1px solid transparent; }}
QAbstractItemView::item:focus {{ border: 1px solid {focus}; }}
QHeaderView::section {{
    color: {quiet}; background: {raised}; border: 0; border-right: 1px solid {line}; border-bottom: 1px solid {line};
    padding: 4px 6px; font-weight: bold;
}}
QCheckBox:focus, QRadioButton:focus, QGroupBox:focus {{ border: 2px solid {focus}; border-radius: 4px; }}
QCheckBox, QRadioButton {{ border: 2px solid transparent; padding: 2px; }}
QCheckBox::indicator, QRadioButton::indicator, QAbstractItemView::indicator, QGroupBox::indicator {{
    width: 14px; height: 14px; border: 1px solid {edge}; border-radius: 3px; background: {surface};
}}
QRadioButton::indicator {{ border-radius: 8px; }}
QCheckBox::indicator:checked, QAbstractItemView::indicator:checked, QGroupBox::indicator:checked {{
    background: {accent}; border-color: {accent}; image: url("{tick}");
}}
QRadioButton::indicator:checked {{
    width: 8px; height: 8px; background: {accent}; border: 4px solid {selection}; border-radius: 8px;
}}
QCheckBox::indicator:disabled, QRadioButton::indicator:disabled {{ border-color: {line}; background: {ground}; }}
QScrollBar:vertical {{ background: {ground}; width: 13px; margin: 0; }}
QScrollBar:horizontal {{ background: {ground}; height: 13px; margin: 0; }}
QScrollBar::handle {{ background: {edge}; border-radius: 4px; margin: 2px; }}
QScrollBar::handle:vertical {{ min-height: 28px; }}
QScrollBar::handle:horizontal {{ min-width: 28px; }}
QScrollBar::handle:hover {{ background: {quiet}; }}
QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page, QScrollBar::sub-page {{
    background: transparent; border: 0; width: 0; height: 0;
}}
QAbstractScrollArea::corner {{ background: {ground}; border: 0; }}
QMenuBar {{ color: {ink}; background: {ground}; padding: 2px 4px; }}
QMenuBar::item {{ padding: 6px 10px; border-radius: 4px; background: transparent; }}
QMenuBar::item:selected, QMenuBar::item:pressed {{ background: {selection}; color: {on_selection}; }}
QSplitter::handle {{ background: {line}; }}
QScrollArea {{ border: 0; }}
QTabBar::tab {{ color: {quiet}; background: {raised}; padding: 6px 12px; border: 1px solid {line}; }}
QTabBar::tab:selected {{ color: {ink}; background: {surface}; border-bottom: 2px solid {accent}; }}
QTabBar:focus {{ border: 2px solid {focus}; }}
QMenu {{ color: {ink}; background: {surface}; border: 1px solid {edge}; }}
QMenu::item {{ padding: 5px 22px; }}
QMenu::item:selected {{ background: {selection}; color: {on_selection}; }}
QMenu::item:disabled {{ color: {edge}; }}
QProgressBar {{ color: {ink}; background: {ground}; border: 1px solid {edge}; border-radius: 4px; text-align: center; }}
QProgressBar::chunk {{ background: {selection}; }}
QSlider:focus {{ border: 2px solid {focus}; border-radius: 4px; }}
"""
