"""A Stage as text again, in the notation: one kind of line a module."""
