"""The steps of a plan, one a module; what does not apply is left out."""
