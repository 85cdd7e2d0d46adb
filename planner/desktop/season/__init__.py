"""The Season room: what stands, what to do next, the season at a glance, its findings and its own form."""
