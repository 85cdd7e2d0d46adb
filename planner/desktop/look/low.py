"""Words that wrap and yet ask for one line only, where a room must fit a low window."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QSizePolicy


def low(label: QLabel) -> QLabel:
    """Return the label, made to ask for no more height than its words take at the width that it is given.

    Qt reckons the least height of wrapped words as if they stood in a narrow column.
    """
    policy = label.sizePolicy()
    policy.setVerticalPolicy(QSizePolicy.Policy.Preferred)
    label.setSizePolicy(policy)
    return label
