"""An unknown part with three legs: which readings to take, and what it is then.

A hypothesis is a kind, an order of its pins and a state of health. What each shows is
computed by the solver with the meter's own source; what fits the displays remains.
"""
