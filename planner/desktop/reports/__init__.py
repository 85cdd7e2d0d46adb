"""The Reports room: the figures that a coordinator answers for, plots with tables beside them, and files."""
