"""The Outing room: one date of one team, the sky above, the ground below."""
