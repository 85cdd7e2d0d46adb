"""Roads out of OpenStreetMap files: tags, turn restrictions, and what is cut away."""
