"""What a section leaves open, and the boards that it may therefore be."""
