"""What was understood of a file, for machines."""

from tracegraph.meter.unknowns.unknown import Unknown
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Block, LogEntry
from tracegraph.stage.stage import Channel, Input, Rail, Rest, State
from tracegraph.views.record import Record, condition_record, quantity_record
from tracegraph.views.section_page import Section


def section_record(section: Section) -> Record:
    """Return everything that `check` understood of a section."""
    stage = section.stage
    return {
        "title": stage.title,
        "cautions": list(section.cautions),
        "measure_first": [list(pair) for pair in section.rests],
        "parts": [_part(part) for part in stage.parts],
        "nets": {net: [str(pin) for pin in pins] for net, pins in stage.nets.items()},
        "grounds": [ground.net for ground in stage.grounds],
        "rails": [_rail(rail) for rail in stage.rails],
        "rests": [_rest(rest) for rest in stage.rests],
        "inputs": [_input(one) for one in stage.inputs],
        "states": [_state(state) for state in stage.states],
        "links": [_without_span(link._asdict()) for link in stage.links],
        "untraced": list(stage.untraced),
        "unplugged": list(stage.unplugged),
        "unknowns": [_unknown(one) for one in section.unknowns],
        "islands": [list(nets) for nets in section.islands],
        "channels": [_channel(channel) for channel in stage.channels],
        "notes": list(stage.notes),
        "log": [_entry(entry) for entry in stage.log],
    }


def _without_span(record: Record) -> Record:
    return {key: told for key, told in record.items() if key != "span"}


def _part(part: Part) -> Record:
    return {
        "ref": part.ref,
        "kind": part.kind.word,
        "title": part.kind.title,
        "pins": dict(part.pins),
        "given": {symbol: quantity_record(one) for symbol, one in part.given.items()},
        "toleranced": sorted(part.toleranced),
        "status": part.status.value,
        "burnt": part.burnt,
        "touched": part.touched,
        "pinout_known": part.pinout,
        "untraced": sorted(part.untraced),
        "variant": sorted(part.variant),
        "type_number": part.type_number,
        "marked": part.marked,
        "channel": part.channel,
        "note": part.note,
    }


def _rail(rail: Rail) -> Record:
    return {"net": rail.net, "volts": quantity_record(rail.volts), "over": rail.over}


def _rest(rest: Rest) -> Record:
    return {
        "a": rest.a,
        "b": rest.b,
        "form": rest.form.value,
        "ohms": quantity_record(rest.ohms) if rest.ohms else None,
        "forward": rest.forward,
        "backward": rest.backward,
        "farads": quantity_record(rest.farads) if rest.farads else None,
    }


def _input(one: Input) -> Record:
    return {
        "net": one.net,
        "low": quantity_record(one.low),
        "high": quantity_record(one.high),
        "via": quantity_record(one.via),
        "hertz": one.hertz,
        "duty": one.duty,
    }


def _state(state: State) -> Record:
    settings = {
        name: told if isinstance(told, str) else quantity_record(told)
        for name, told in state.settings.items()
    }
    return {"name": state.name, "settings": settings}


def _unknown(one: Unknown) -> Record:
    taken = [{"words": alt.words, "share": alt.share} for alt in one.alternatives]
    return {"subject": one.subject, "taken_as": taken, "ask": one.ask}


def _channel(one: Channel) -> Record:
    return {
        "name": one.name,
        "like": one.like,
        "parts": dict(one.parts),
        "nets": dict(one.nets),
        "lawful": list(one.lawful),
    }


def _entry(entry: LogEntry) -> Record:
    if isinstance(entry, Block):
        return {
            "readings": entry.title,
            "meter": entry.meter,
            "condition": condition_record(entry.condition),
            "count": len(entry.readings),
        }
    return {"event": entry.deed.value, "target": list(entry.target)}
