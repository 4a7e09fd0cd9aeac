"""The levels of a powered section, for machines."""

from tracegraph.levels.levels import InState, Levels
from tracegraph.levels.mood import Device
from tracegraph.levels.stress import Load
from tracegraph.meter.live.level import Level
from tracegraph.quantity import Quantity
from tracegraph.views.record import Record, envelope, number


def levels_record(file: str, found: Levels) -> Record:
    """Return the levels: one result a state."""
    results = [_state(one) for one in found.states]
    told = envelope("levels", file, found.stage.problems, results)
    return {**told, "meter": found.meter, "left_out": found.left_out}


def _state(told: InState) -> Record:
    live = told.live
    return {
        "state": told.state.name,
        "settings": {
            name: value if isinstance(value, str) else _set(value)
            for name, value in told.state.settings.items()
        },
        "levels": [_level(one) for one in (*live.levels, *live.own)] if live else [],
        "adrift": list(live.adrift) if live else [],
        "devices": [_device(device) for device in told.devices],
        "loads": [_load(load) for load in told.loads],
        "walk": list(told.walk),
        "remarks": list(told.remarks),
        **({"error": told.error} if told.error else {}),
    }


def _set(told: Quantity) -> Record:
    return {"value": number(told.typical), "unit": told.unit}


def _level(level: Level) -> Record:
    return {
        "net": level.net,
        "over": level.ground,
        "volts": number(level.volts),
        "shown": number(level.shown),
        "low": number(level.low),
        "high": number(level.high),
        "floats": level.floats,
        "plug": level.plug,
        "source_ohms": number(level.ohms),
        "others": [number(one) for one in level.others],
        "uncertain": list(level.uncertain),
        "ask": level.ask,
    }


def _device(device: Device) -> Record:
    return {
        "ref": device.ref,
        "state": device.mood.value,
        "words": device.words,
        "amps": number(device.amps),
        "drive": number(device.drive),
    }


def _load(load: Load) -> Record:
    return {
        "ref": load.ref,
        "value": number(load.value),
        "limit": number(load.limit),
        "unit": load.unit,
        "written": load.written,
        "over": load.over,
    }
