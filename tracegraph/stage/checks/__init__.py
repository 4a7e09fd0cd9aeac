"""Slips of tracing that show only in the whole section; each check asks, none forbids."""
