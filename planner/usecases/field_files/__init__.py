"""Files that volunteers fill in and hand back: written for each of them, read back, kept in one step."""

from planner.exchange.field_files.bad_cells import BadCell
from planner.usecases.field_files.files_meant import PassedOver
from planner.usecases.field_files.findings import back_findings
from planner.usecases.field_files.keeping import KeptBack, keep_back
from planner.usecases.field_files.reading import Back, FileBack, read_back
from planner.usecases.field_files.writing import FilledStandThereError, FillInWritten, write_fill_in

__all__ = [
    "Back",
    "BadCell",
    "FileBack",
    "FillInWritten",
    "FilledStandThereError",
    "KeptBack",
    "PassedOver",
    "back_findings",
    "keep_back",
    "read_back",
    "write_fill_in",
]
