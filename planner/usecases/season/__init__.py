"""The season file as a whole: made and opened, what it holds, and what is computed of it for all other use cases."""
