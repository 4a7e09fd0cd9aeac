"""The symbols of part kinds: one family a file, one table of all.

A kind names its symbol (`Kind.symbol`); many kinds share one. Every symbol means what
IEC 60617 or IEEE 315 says, from memory; where they have none, the docstring says so.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols import (
    chips,
    contacts,
    diodes,
    resistive,
    stores,
    thyristors,
    transistors,
)
from tracegraph.draw.symbols.boxes import box
from tracegraph.draw.symbols.connectors import connector
from tracegraph.stage.part import Part

SYMBOLS: Mapping[str, Callable[[Part], Symbol]] = MappingProxyType(
    {
        "box": box,
        "bridge": diodes.bridge,
        "buzzer": contacts.buzzer,
        "capacitor": stores.capacitor,
        "commonanode": diodes.common_anode,
        "commoncathode": diodes.common_cathode,
        "comparator": chips.comparator,
        "connector": connector,
        "crystal": stores.crystal,
        "currenttransformer": stores.current_transformer,
        "diode": diodes.diode,
        "driver": chips.driver,
        "ferrite": stores.ferrite,
        "fuse": resistive.fuse,
        "fusible": resistive.fusible,
        "hall": chips.hall,
        "load": resistive.heater,
        "igbt": transistors.igbt,
        "inductor": stores.inductor,
        "lamp": contacts.lamp,
        "led": diodes.led,
        "link": resistive.link,
        "motor": contacts.motor,
        "nfet": transistors.nfet,
        "npn": transistors.npn,
        "ntc": resistive.ntc,
        "opamp": chips.opamp,
        "optocoupler": chips.optocoupler,
        "optodriver": chips.optodriver,
        "pfet": transistors.pfet,
        "pnp": transistors.pnp,
        "polarised": stores.polarised,
        "ptc": resistive.ptc,
        "relay": contacts.relay,
        "resistor": resistive.resistor,
        "schottky": diodes.schottky,
        "scr": thyristors.scr,
        "seriesdiodes": diodes.series_diodes,
        "shunt": resistive.shunt,
        "shuntreg": thyristors.shunt_regulator,
        "suppressor": diodes.suppressor,
        "switch": contacts.switch,
        "testpoint": contacts.testpoint,
        "thermostat": contacts.thermostat,
        "triac": thyristors.triac,
        "trimmer": resistive.trimmer,
        "varistor": resistive.varistor,
        "winding": stores.winding,
        "zener": diodes.zener,
    }
)
"""Every symbol by its name; `Kind.symbol` is one of these."""


def symbol_of(part: Part) -> Symbol:
    """Return a part's symbol in its base pose, a leg for every pin that it has.

    A part with a pin that its symbol has no place for stands as a box.
    """
    symbol = SYMBOLS[part.kind.symbol](part)
    if {leg.pin for leg in symbol.legs} == part.pins.keys():
        return symbol
    return box(part)
