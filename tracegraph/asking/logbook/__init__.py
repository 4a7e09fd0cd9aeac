"""Logs of readings in files of their own: read beside a section, and kept at the bench.

`logs` adds them to a section; what a file holds is told by `files cells table lines
strange`. `logbook` appends to one at the bench, `typed` reads what is typed there.
"""
