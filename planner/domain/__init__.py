"""Frozen, typed value objects of the survey season, and the rules on them. Pure Python."""
