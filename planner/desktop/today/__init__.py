"""Today: who is out, go or no-go, check-in, and the way on when something breaks."""
