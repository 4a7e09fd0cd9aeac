"""What an instrument shows: profiles, displays, windows, reasons."""
