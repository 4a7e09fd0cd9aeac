"""The command line: reads arguments, calls one analyser, hands on to one view."""
