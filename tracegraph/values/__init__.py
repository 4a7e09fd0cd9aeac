"""Numbers and letters: how values are written, printed on parts, and chosen."""
