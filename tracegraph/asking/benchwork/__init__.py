"""A session at the bench: a typed line in, what became of it out; no terminal in it.

`now` is how a session stands, `moves` what a line asks for, `session` carries it out on
the log and has the readings weighed.
"""
