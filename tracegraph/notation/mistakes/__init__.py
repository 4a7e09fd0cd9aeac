"""What goes wrong in writing: slips, known mistakes by example, and what was meant."""
