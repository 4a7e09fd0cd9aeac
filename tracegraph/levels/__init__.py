"""The levels of a powered section: every net, every device, and the walk through it."""
