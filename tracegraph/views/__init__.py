"""Results to something to look at; views decide nothing."""
