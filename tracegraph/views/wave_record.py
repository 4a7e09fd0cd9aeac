"""A wave for machines."""

from tracegraph.views.record import Record, number
from tracegraph.views.words import bench_words
from tracegraph.waves.result import Gate, Loss, Switch, Trace, Wave
from tracegraph.waves.telling import told


def wave_record(wave: Wave) -> Record:
    """Return a wave with its points and measures."""
    return {
        "net": wave.net,
        "against": wave.against,
        "state": None if wave.condition.cold else wave.condition.power,
        "bench": list(bench_words(wave.condition)[1:]),
        "inputs": [
            {
                "net": one.net,
                "low": number(one.low),
                "high": number(one.high),
                "via": number(one.via.typical),
                "hertz": number(one.hertz),
                "duty": number(one.duty),
            }
            for one in wave.inputs
        ],
        "asked": _trace(wave.asked),
        "healthy": _trace(wave.healthy) if wave.healthy else None,
        "words": list(told(wave)),
        "doubts": list(wave.doubts),
        "taken": list(wave.taken),
    }


def _trace(trace: Trace) -> Record:
    found = trace.measures
    return {
        "switches": trace.switches_here,
        "measures": {
            "amplitude": number(found.amplitude),
            **{key: number(value) for key, value in found._asdict().items()},
        },
        "gate": _gate(trace.gate),
        "devices": [_switch(one) for one in trace.switches],
        "settled": trace.settled,
        "periods": trace.periods,
        "seconds": [number(one) for one in trace.times.tolist()],
        "volts": [number(one) for one in trace.volts.tolist()],
        "amps": [number(one) for one in trace.amps.tolist()],
    }


def _gate(gate: Gate | None) -> Record | None:
    if gate is None:
        return None
    return {key: number(value) for key, value in gate._asdict().items()}


def _switch(one: Switch) -> Record:
    return {
        "part": one.ref,
        "threshold": number(one.threshold),
        "on_volts": number(one.on_volts),
        "between": number(one.between),
        "fully_on": one.fully,
        "loss": _loss(one.loss),
    }


def _loss(loss: Loss | None) -> Record | None:
    if loss is None:
        return None
    figures = loss._asdict()
    load = figures.pop("load")
    return {**{key: number(value) for key, value in figures.items()}, "load": load}
