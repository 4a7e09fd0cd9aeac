"""What stays charged, and in which order a section is powered up."""
