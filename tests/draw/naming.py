"""Whether every net that somebody named can be found by its name on the sheets."""

from collections.abc import Iterator

from tracegraph.draw.drawing import Drawing
from tracegraph.draw.shapes import Text
from tracegraph.stage.stage import Stage

ON = " → "
"""Between the name of a net and the sheets that it goes on to."""


def nameless(stage: Stage, drawing: Drawing) -> Iterator[str]:
    """Yield what stands on the sheets without its name.

    The only ground of a section needs none: every bench knows its sign.
    """
    shown = set(_shown(drawing))
    grounds = [ground.net for ground in stage.grounds]
    for net, pins in stage.nets.items():
        sole = len(grounds) == 1 and net == grounds[0]
        if pins and stage.pin(net) is None and net not in shown and not sole:
            yield f"without a name: net {net[:40]}"
    told = {
        text.full or text.text for sheet in drawing.sheets for part in sheet.parts
        for text in part.texts
    }  # fmt: skip
    for part in stage.parts:
        if not any(text.startswith(part.ref) for text in told):
            yield f"without a name: part {part.ref[:40]}"


def _shown(drawing: Drawing) -> Iterator[str]:
    for sheet in drawing.sheets:
        for label in sheet.labels:
            yield _whole(label.text)
        for port in sheet.ports:
            yield from (_whole(text).split(ON)[0] for text in port.texts)


def _whole(text: Text) -> str:
    """Return a text without what was cut off."""
    return text.full or text.text
