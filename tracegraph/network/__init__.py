"""The numbers: branches in, arrays out. Knows no text, no screen, no part kinds."""
