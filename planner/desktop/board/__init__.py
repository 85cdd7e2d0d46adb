"""The Board room: routes by dates, visits moved by hand, planning, and what would help where visits are unfilled."""
