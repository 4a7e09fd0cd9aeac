"""Text to syntax nodes and problems. Knows no electricity."""
