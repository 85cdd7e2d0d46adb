"""A whole season of the demo, played through: storm, repair, what came back with planted mistakes, reports."""
