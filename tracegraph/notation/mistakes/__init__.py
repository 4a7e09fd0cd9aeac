"""Known mistakes of writing, by example."""
