"""The plan: made by the program, judged and changed by hand, and how it stands up to the weather."""
