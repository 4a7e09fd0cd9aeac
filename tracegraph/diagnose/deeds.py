"""What to do about a group of suspects: what confirms or parts it, what to lift."""

from collections.abc import Sequence

from tracegraph.diagnose.scene import Scene
from tracegraph.diagnose.verdict import Sort, Suspect

COUNTS = 0.01  # share of a group from which a slip is worth a look
BEEPS = 50.0  # ohms up to which a meter beeps; common practice, no source


def check(members: Sequence[Suspect], slip: float) -> str:
    """Return what confirms or parts members without solder."""
    dead = [one.nets[0] for one in members if one.sort is Sort.SUPPLY]
    if dead:
        return f"read {' and '.join(dead)} itself with the board powered"
    slips = [one for one in members if one.sort is Sort.SLIP]
    if slips and slip >= COUNTS:
        return _of_slip(slips[0])
    tracks = [one for one in members if one.sort is Sort.TRACK]
    parts = [one for one in members if one.sort is Sort.PART]
    if tracks and parts and tracks[0].parts == parts[0].parts:
        part = parts[0].parts[0]
        return (
            f"beep from each leg of {part} itself to its net: no beep there means the "
            f"joint or track, not {part}"
        )
    return ""


def _of_slip(one: Suspect) -> str:
    """Return what confirms a slip of the tracing."""
    if one.name == "missed path":
        a, b = one.nets
        if one.value is None or one.value < BEEPS:
            return f"beep {a} to {b}, and follow the track between them"
        return f"look for a part between {a} and {b} that is not in the file"
    if one.name == "value misread":
        return f"read the marking of {one.parts[0]} again"
    return f"beep every pin of {one.parts[0]} to where the file has it"


def lift(members: Sequence[Suspect], scene: Scene) -> str:
    """Return the leg whose lifting parts the members of a group; empty if none does."""
    blamed = {ref for one in members if one.sort is Sort.PART for ref in one.parts}
    others = any(one.sort in {Sort.BRIDGE, Sort.SLIP} for one in members)
    if len(blamed) + others < 2:
        return ""
    for one in members:
        part = scene.stage.part(one.parts[0]) if one.parts else None
        if one.sort is Sort.PART and part:
            pins = part.pins.items()
            shared = [p for p, net in pins if len(scene.stage.nets.get(net, ())) > 1]
            if shared:
                return f"lift {part.ref}.{shared[-1]} and read {part.ref} by itself"
    return ""
