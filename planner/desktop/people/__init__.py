"""The People room: who goes out, when they can, how far they drive, and how often they go."""
