"""Visit records on the screen: which ones came back, what is written on one, and what the protocol says of it."""
