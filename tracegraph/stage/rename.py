"""Nets called by a pin, kept true while pins come and go."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from tracegraph.stage.stage import Stage

FRESH = "*"
"""Begins the name of a net that was just made and is not called by a pin yet."""


def settle_names(stage: Stage) -> Stage:
    """Return the section with every unnamed net called by a pin that is on it."""
    names: dict[str, str] = {}
    for net, pins in stage.nets.items():
        called = stage.pin(net)
        gone = called is not None and called not in pins
        if pins and (net.startswith(FRESH) or gone):
            names[net] = str(pins[0])
    return renamed(stage, names) if names else stage


def renamed(stage: Stage, names: Mapping[str, str]) -> Stage:
    """Return the section with nets under other names; readings keep theirs."""

    def new(net: str) -> str:
        return names.get(net, net)

    parts = (
        one.with_pins({p: new(n) for p, n in one.pins.items()}) for one in stage.parts
    )
    return replace(
        stage,
        parts=tuple(parts),
        grounds=tuple(one._replace(net=new(one.net)) for one in stage.grounds),
        rails=tuple(
            one._replace(net=new(one.net), over=new(one.over)) for one in stage.rails
        ),
        rests=tuple(one._replace(a=new(one.a), b=new(one.b)) for one in stage.rests),
        inputs=tuple(one._replace(net=new(one.net)) for one in stage.inputs),
        links=tuple(one._replace(a=new(one.a), b=new(one.b)) for one in stage.links),
        breaks=tuple(one._replace(net=new(one.net)) for one in stage.breaks),
        untraced=tuple(new(net) for net in stage.untraced),
        unplugged=tuple(new(net) for net in stage.unplugged),
        states=tuple(
            one._replace(
                settings=MappingProxyType(
                    {new(name): value for name, value in one.settings.items()}
                ),
            )
            for one in stage.states
        ),
    )
