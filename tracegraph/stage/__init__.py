"""The model of a section, the registry of part kinds, changes and conditions."""
