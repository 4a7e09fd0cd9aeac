"""The plain graph of a section: parts and nets, and a line for every pin."""

from typing import TYPE_CHECKING

from tracegraph.draw.text import cut
from tracegraph.draw.words import value
from tracegraph.stage.part import Part
from tracegraph.stage.stage import LinkForm, Stage

if TYPE_CHECKING:
    from graphviz import Graph

LONGEST = 30.0  # em of a name before it is cut short
FONT = "DejaVu Sans, Verdana, sans-serif"


def graph_source(stage: Stage) -> str:
    """Return the section as a graph in the DOT language.

    Parts are boxes and nets are ovals, rails and grounds in bold; a part that is not on
    the board is dashed, as is a beep that may be no wire. Names are never taken for
    markup, ports or escapes, whatever they are.
    """
    from graphviz import Graph

    graph = Graph("section", graph_attr={"overlap": "false", "fontname": FONT})
    graph.attr("node", fontname=FONT)
    graph.attr("edge", fontname=FONT, fontsize="9")
    nets = {net: f"n{k}" for k, net in enumerate(stage.nets)}
    for net, node in nets.items():
        style = "bold" if net in stage.references else "solid"
        graph.node(node, _label(net), shape="oval", style=style)
    for k, part in enumerate(stage.parts):
        style = "solid" if part.fitted else "dashed"
        graph.node(f"p{k}", _label(*_words(part)), shape="box", style=style)
        for pin, net in part.pins.items():
            graph.edge(f"p{k}", nets[net], label=_label(pin))
    _links(stage, nets, graph)
    return str(graph.source)


def _links(stage: Stage, nets: dict[str, str], graph: "Graph") -> None:
    """Add what joins two nets outside a part."""
    for link in stage.links:
        word = "bridge" if link.form is LinkForm.BRIDGE else "link"
        style = "solid" if link.trusted else "dashed"
        graph.edge(nets[link.a], nets[link.b], label=_label(word), style=style)


def _words(part: Part) -> tuple[str, ...]:
    return tuple(one for one in (part.ref, value(part)) if one)


def _label(*lines: str) -> str:
    """Return lines as a label that shows them as they are."""
    from graphviz import nohtml

    safe = (cut(one, LONGEST, 1.0) for one in lines)
    # A backslash would escape, an ampersand begin a character reference.
    told = (one.replace("\\", "\\\\").replace("&", "&amp;") for one in safe)
    label: str = nohtml("\\n".join(told))
    return label
