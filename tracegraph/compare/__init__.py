"""A traced section beside a known-good one: what matches, and what differs."""
