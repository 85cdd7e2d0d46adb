"""Routes changed by hand: what they ask for, their points, and what a point comes to while it is moved."""
