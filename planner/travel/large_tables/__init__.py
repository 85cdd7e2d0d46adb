"""Minutes between very many places: the network is taken apart once, then all are found side by side."""
