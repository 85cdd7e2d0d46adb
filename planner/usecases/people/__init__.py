"""Who goes out: their entries, the dates that they give, what these are good for and how much falls to whom."""
