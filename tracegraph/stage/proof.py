"""What a passed cold test leaves open, for every kind of part.

The trade's own warnings (common practice, no source): a test at a milliampere and two
volts says nothing of what a part does at its working voltage, current and heat.
"""

from collections.abc import Mapping
from types import MappingProxyType

from tracegraph.stage.kind import Kind

_LIMITS: Mapping[tuple[str, ...], str] = MappingProxyType(
    {
        ("npn", "pnp"): (
            "its gain, its voltage when blocking, and leakage when hot: only two "
            "junctions were seen"
        ),
        ("npn-digital", "pnp-digital"): (
            "its gain, and that its built-in resistors have their ratio: they hide "
            "the junctions"
        ),
        ("nfet", "pfet", "sicfet"): (
            "the gate oxide, the channel, the threshold and the switching speed: only "
            "the body diode was seen. Join gate and source first: a charged gate "
            "makes a good one look shorted"
        ),
        ("igbt",): (
            "the gate oxide, the channel, the threshold and the switching speed: only "
            "the antiparallel diode was seen. Join gate and emitter first: a charged "
            "gate makes a good one look shorted"
        ),
        (
            "diode",
            "rectifier",
            "fast",
            "schottky",
            "sicdiode",
            "commoncathode",
            "commoncathode-schottky",
            "commonanode",
            "commonanode-schottky",
            "seriesdiodes",
            "seriesdiodes-schottky",
            "bridge",
        ): "its blocking voltage, leakage when hot, and how fast it turns off",
        ("led", "whiteled", "irled"): "its light: an aged one has the same junction",
        ("zener",): (
            "its zener voltage, which most meters can't reach: only its forward "
            "junction was seen"
        ),
        ("tvs", "varistor"): "its clamping voltage: only that it is not shorted",
        ("scr", "triac"): (
            "that it triggers, holds and blocks its voltage: only that it is not "
            "shorted and that its gate goes somewhere"
        ),
        ("resistor", "array", "fusible", "trimmer", "shunt"): (
            "its value at working voltage and heat; across a few tenths of an ohm the "
            "leads count for as much as the part"
        ),
        ("ntc", "ptc"): "that it follows the heat: warm it and watch the display move",
        ("capacitor", "crystal"): (
            "its capacitance, and that it holds its voltage: in ohms only a short or "
            "a bad leak shows"
        ),
        ("electrolytic", "tantalum"): (
            "its capacitance, its series resistance when warm, and that it holds its "
            "voltage: a dried-out one passes in ohms"
        ),
        ("inductor", "ferrite", "winding", "currenttransformer"): (
            "that no turns are shorted: only that the copper goes through"
        ),
        ("relay",): (
            "that it pulls in, and that its contacts carry current; a diode across "
            "the coil can't be told in place"
        ),
        ("switch", "thermostat", "fuse", "jumper", "connector", "testpoint"): (
            "that it carries its current: a contact that beeps may still burn"
        ),
        ("opto",): "the transfer ratio of light: only its diode was seen",
        ("optodriver",): (
            "its output stage and its speed: only the diode and the cold pins were seen"
        ),
        ("load", "motor", "lamp", "buzzer"): "that it works: only its copper was seen",
        (
            "comparator",
            "opamp",
            "hall",
            "regulator",
            "negativeregulator",
            "adjustableregulator",
            "shuntreg",
            "driver",
            "bridgedriver",
            "ic",
        ): (
            "that it works: only the cold junctions at its pins were seen, and they "
            "differ from maker to maker. Compare with a known-good board"
        ),
    }
)
_BY_WORD = {word: text for words, text in _LIMITS.items() for word in words}


def not_proven(kind: Kind) -> str:
    """Return what a part of this kind may still fail at after a passed cold test.

    >>> from tracegraph.stage.kinds import KINDS
    >>> not_proven(KINDS["led"])
    'its light: an aged one has the same junction'
    """
    return _BY_WORD.get(kind.word, "that it works under power")
