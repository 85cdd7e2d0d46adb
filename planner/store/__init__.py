"""The season file: schema, migrations, transactions, history."""

from planner.store.history import Changed, Step
from planner.store.print_log import PrintRun
from planner.store.season_file import OpenStep, SeasonFile

__all__ = ["Changed", "OpenStep", "PrintRun", "SeasonFile", "Step"]
