"""Write the golden texts anew, to be read and compared before they are kept: python -m tests.golden."""

from __future__ import annotations

from planner.printing import render_pages
from tests.golden.itineraries import ITINERARIES
from tests.golden.texts import FOLDER, document_text

for name, build in ITINERARIES.items():
    (FOLDER / f"{name}.txt").write_text(document_text(render_pages(build())), encoding="utf-8")
