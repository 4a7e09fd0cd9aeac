"""What a part is there for, told by where it stands, and what is lost without it."""
