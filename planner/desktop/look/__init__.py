"""The window's own look: the colours of dusk and night, the sky's ramp, drawn icons, marks and the type scale."""
