"""Circuits for tests, written as branches between nets."""

from collections.abc import Iterable

import numpy as np

from tests.sections import resistor
from tracegraph.network.circuit import Circuit, Floats, Ints, compile_placed
from tracegraph.network.place import Placed
from tracegraph.stage.branch import Branch


def circuit(*placed: tuple[Branch, str]) -> Circuit:
    """Return the circuit of branches, each with its nets: `(resistor(1e3), "A B")`."""
    laid = [
        Placed(f"X{number}", branch, tuple(nets.split()))
        for number, (branch, nets) in enumerate(placed)
    ]
    return compile_placed(laid, ())


def resistors(edges: Iterable[tuple[object, object, float]]) -> Circuit:
    """Return a network of resistors: from, to, ohms."""
    return circuit(*((resistor(ohms), f"{a} {b}") for a, b, ohms in edges))


def pair(net: Circuit, red: str, black: str) -> Ints:
    """Return one reading's nodes."""
    return np.array([[net.nodes[red], net.nodes[black]]], np.intp)


def every_pair(net: Circuit) -> Ints:
    """Return every ordered pair of nodes."""
    red, black = np.nonzero(~np.eye(net.size, dtype=bool))
    return np.stack([red, black], axis=1)


def table(net: Circuit, ohms: Floats, a: object, b: object) -> float:
    """Return the entry of two nets."""
    return float(ohms[net.nodes[str(a)], net.nodes[str(b)]])
