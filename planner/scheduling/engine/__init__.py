"""The season optimiser: columns for whole routes, priced by dynamic programming, chosen by a linear master."""
