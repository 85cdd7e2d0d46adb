"""The Paper room: who needs paper, what it looks like, and putting it out."""
