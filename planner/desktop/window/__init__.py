"""The frame: the main window, its list of rooms, start page, status line, history and find-anything."""
