"""What a plan is judged by, as one sum in units of one minute of driving: lower is better.

The weights set the order of the aims: a visit filled outweighs any number of reserve dates and any driving of its
route; a reserve date outweighs any detour.
"""

FILLED = -10_000.0
"""For each visit filled."""

RESERVED = -1_000.0
"""For each visit that has a reserve date."""

DRIVE = 2.0
"""For each minute of one-way drive, for each person and each visit or separate set-up: out and back."""

SAME_LEAD = -40.0
"""For each route whose visits are all filled and led by one person."""

LOAD = 4.0
"""Times the square of each volunteer's number of visits: fair shares."""

LATE_DAY = 1.0
"""For each day after the first date of the visit's range, for each person."""

MISSED_PREFERENCE = 15.0
"""For each visit that does not keep a gap or a moon that the protocol only prefers."""
