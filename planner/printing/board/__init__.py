"""One page for the programme's board: what was to be done, what is, and what is asked."""
