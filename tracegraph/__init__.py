"""What should the meter read? In-circuit readings of a hand-traced section."""
