"""Outings, the season plan, explanations, and the audit that judges any plan."""
