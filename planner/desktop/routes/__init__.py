"""The Routes room: the map, the points, what the checks say of a route, and what can be done about it."""
