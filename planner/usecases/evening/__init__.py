"""One evening: who goes out and when, who is back, what the weather says, and what is done when it breaks."""
