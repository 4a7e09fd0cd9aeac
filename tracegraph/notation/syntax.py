"""What was written, line by line, with its places: frozen nodes, no electricity.

The parser makes these nodes; `stage` gives them their meaning and `stage.write`
makes text of a Stage again. Words are kept as written: `4k7`, `GATE`, `npn`.
"""

from dataclasses import dataclass
from typing import NamedTuple

from tracegraph.diagnostics import Span


class Word(NamedTuple):
    """One word as written, and where. Quoted text has lost its quotes."""

    text: str
    span: Span
    quoted: bool = False


class Setting(NamedTuple):
    """`name=value`: a pin and its net, a parameter and its value, a map entry."""

    name: Word
    value: Word


class Ends(NamedTuple):
    """`A -- B` or `A -> B`: where a two-terminal part goes, or two nets compared."""

    left: Word
    arrow: bool
    right: Word


@dataclass(frozen=True, slots=True)
class Statement:
    """Base of all lines: where the line is, and a `note "..."` at its end."""

    span: Span
    note: Word | None


@dataclass(frozen=True, slots=True)
class Titled(Statement):
    """`stage "..."`."""

    title: Word


@dataclass(frozen=True, slots=True)
class GroundLine(Statement):
    """`ground COM E1`."""

    nets: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class RailLine(Statement):
    """`rail P12 12V 5% over E1`; values in any order."""

    net: Word
    values: tuple[Word, ...]
    over: Word | None


@dataclass(frozen=True, slots=True)
class RestLine(Statement):
    """`rest P12 -- COM 1k8`; values are `1k8`, `none`, `470u`, `diode 0.45 / 1.20`."""

    ends: Ends
    values: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class InputLine(Statement):
    """`input PWM 0V / 5V via 220R 18kHz 45%`."""

    net: Word
    low: Word | None
    high: Word | None
    via: Word | None
    values: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class PartLine(Statement):
    """A part: designator, words in any order, and where its pins go.

    Attributes:
        ref: Designator, with its unit where it has one (`U7.A`, `T1.pri`).
        words: Kind, value, type number, status and other bare or quoted words, in
            order; `about` and `marked` are kept in `about` and `marked`.
        ends: The two ends, or None.
        settings: `pin=net` and `parameter=value`, in order.
        marked: What follows `marked`.
        about: What follows `about`.
        rating: Words after `rating`.
        dot: What follows `dot` (a winding's start).
    """

    ref: Word
    words: tuple[Word, ...]
    ends: Ends | None
    settings: tuple[Setting, ...]
    marked: Word | None
    about: Word | None
    rating: tuple[Word, ...]
    dot: Word | None


class ChainStep(NamedTuple):
    """One station of a chain: a net, or a part with its words and the arrow before it.

    Attributes:
        words: One word is a net or a part; more are a part with its value and kind.
        settings: Parameters of the part.
        arrow: How the link *to the next* station is written: `--`, `->` or `<-`;
            empty at the last station.
    """

    words: tuple[Word, ...]
    settings: tuple[Setting, ...]
    arrow: str


@dataclass(frozen=True, slots=True)
class ChainLine(Statement):
    """`chain P12 -- R13 1k -- N1 -> D11 -- DRV`."""

    steps: tuple[ChainStep, ...]


@dataclass(frozen=True, slots=True)
class JoinsLine(Statement):
    """`GATE joins Q13.g R14.2`."""

    net: Word
    pins: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class SupplyLine(Statement):
    """`supply U1 vcc=P5 gnd=COM`: once for a package of several units."""

    ref: Word
    settings: tuple[Setting, ...]


@dataclass(frozen=True, slots=True)
class StateLine(Statement):
    """`state run PWM=high K1=on`."""

    name: Word
    settings: tuple[Setting, ...]


@dataclass(frozen=True, slots=True)
class TouchedLine(Statement):
    """`touched R13 Q12 "why"`."""

    refs: tuple[Word, ...]
    remark: Word | None


@dataclass(frozen=True, slots=True)
class UntracedLine(Statement):
    """`not traced GATE` and `Q13.d not traced`."""

    targets: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class UnpluggedLine(Statement):
    """`nothing on PWM`."""

    nets: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class LinkLine(Statement):
    """`link A B`, `link A B ?`, `bridge A B 12R`."""

    verb: Word
    a: Word
    b: Word
    value: Word | None


@dataclass(frozen=True, slots=True)
class BreakLine(Statement):
    """`break GATE at R14.2`."""

    net: Word
    pin: Word


@dataclass(frozen=True, slots=True)
class NoteLine(Statement):
    """`note "..."` on a line of its own (`note` holds the words)."""


@dataclass(frozen=True, slots=True)
class ChannelLine(Statement):
    """`channel U`, closed by `end`; its lines follow as they are."""

    name: Word


@dataclass(frozen=True, slots=True)
class EndLine(Statement):
    """`end` of a channel."""


class Except(NamedTuple):
    """`R41 10k` or `D42 absent` after `except`: a designator and its words."""

    ref: Word
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class LikeLine(Statement):
    """`channel V like U R31=R41 U_GATE=V_GATE except R41 10k, D42 absent`."""

    name: Word
    like: Word
    settings: tuple[Setting, ...]
    excepts: tuple[Except, ...]


@dataclass(frozen=True, slots=True)
class Tail:
    """The condition of a reading, block or command.

    Attributes:
        without: Parts out of their holes.
        lifted: Pins lifted.
        joined: Groups of nets joined first.
        unplugged: Connectors or nets whose plug is out.
        fitted: Part lines of stand-ins (`with C99 3n3 GATE -- COM`).
        state: The state it was powered in, or None when cold.
        after: Seconds since touching (`10s`), or None.
    """

    without: tuple[Word, ...] = ()
    lifted: tuple[Word, ...] = ()
    joined: tuple[tuple[Word, ...], ...] = ()
    unplugged: tuple[Word, ...] = ()
    fitted: tuple[PartLine, ...] = ()
    state: Word | None = None
    after: Word | None = None


@dataclass(frozen=True, slots=True)
class ReadingsLine(Statement):
    """`readings "as received" meter "handheld"`, with tails for the whole block."""

    title: Word | None
    meter: Word | None
    tail: Tail


@dataclass(frozen=True, slots=True)
class ReadingLine(Statement):
    """`diode GATE COM 0.72 without Q13`: mode, red, black, what was shown, tails.

    `shown` holds one word or two (`> 20M`, `climbs 2k`).
    """

    mode: Word
    red: Word
    black: Word
    shown: tuple[Word, ...]
    tail: Tail


@dataclass(frozen=True, slots=True)
class EventLine(Statement):
    """`replaced Q12 pnp`, `fitted D12`, `removed Q13`, `cut link A B`.

    Attributes:
        verb: `replaced`, `fitted`, `removed` or `cut`.
        targets: The part, or the two nets of the link that was cut.
        words: What follows: kind, value, type number of the new part.
        settings: Parameters of the new part.
    """

    verb: Word
    targets: tuple[Word, ...]
    words: tuple[Word, ...]
    settings: tuple[Setting, ...]


@dataclass(frozen=True, slots=True)
class MeterLine(Statement):
    """`meter "yellow handheld"`; its range lines follow."""

    name: Word


@dataclass(frozen=True, slots=True)
class RangeLine(Statement):
    """One range of a meter profile: `ohms 600R open 0.4V behind 1k2 accuracy 0.9% 3`."""

    words: tuple[Word, ...]
