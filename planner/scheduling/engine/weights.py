"""What a plan is judged by, as one sum in units of one minute of driving: lower is better.

The weights set the order of the aims: a visit filled outweighs any number of reserve dates and any driving of its
route; a reserve date outweighs any detour.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Weights:
    """What each thing adds to the sum."""

    filled: float = 0.0
    """For each visit filled."""
    reserved: float = 0.0
    """For each visit that has a reserve date."""
    drive: float = 0.0
    """For each minute of one-way drive, for each person and each visit or separate set-up: out and back."""
    same_lead: float = 0.0
    """For each route whose visits are all filled and led by one person."""
    load: float = 0.0
    """Times the square of each volunteer's number of visits: fair shares."""
    late_day: float = 0.0
    """For each day after the first date of the visit's range, for each person."""
    missed_gap: float = 0.0
    """For each visit that does not keep a gap that the protocol only prefers."""
    wishes: float = 0.0
    """Times what a date costs that lacks what is only preferred there."""
    moved: float = 0.0
    """For each visit that stood in a plan and gets another date or other people."""
    kept_otherwise: float = 0.0
    """For each visit that stood with a reserve date and gets another one, or another set-up."""


SEASON = Weights(
    filled=-10_000.0,
    reserved=-1_000.0,
    drive=2.0,
    same_lead=-40.0,
    load=4.0,
    late_day=1.0,
    missed_gap=15.0,
    wishes=1.0,
)
"""What a season is planned by."""

LOST_VISIT = 1_000.0
"""What a visit lost to the weather costs where the coordinator has said how often evenings are lost: each date costs
that times the chance that the visit, first tried then, is never made. No more than a reserve date is worth."""

MISSED_PREFERENCE = 15.0
"""What a date costs whose moon is not as the protocol prefers."""
