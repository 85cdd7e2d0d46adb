"""Routes, points and lines out of GPX, KML, KMZ and GeoJSON."""
