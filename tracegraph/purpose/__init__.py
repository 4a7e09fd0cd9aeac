"""What each part is for: its role, and what changes without it."""
