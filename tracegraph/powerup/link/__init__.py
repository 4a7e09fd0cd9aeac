"""The DC link: what holds the energy, how long it keeps it, what feeds it."""
