"""The look as it is given to the application."""

from __future__ import annotations

import re
from pathlib import Path

from planner.desktop.look.colours import Colours
from planner.desktop.look.style import style_sheet


def test_that_every_picture_of_the_style_sheet_is_shipped(colours: Colours) -> None:
    pictures = re.findall(r'url\("(.*?)"\)', style_sheet(colours))
    assert pictures
    assert [picture for picture in pictures if not Path(picture).is_file()] == []
