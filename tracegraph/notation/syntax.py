"""What was written, line by line, with its places: frozen nodes, no electricity.

The parser makes these nodes; `stage` gives them their meaning and `stage.write`
makes text of a Stage again. Words are kept as written: `4k7`, `GATE`, `npn`.
"""

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


class Titled(NamedTuple):
    """`stage "..."`."""

    span: Span
    note: Word | None
    title: Word


class GroundLine(NamedTuple):
    """`ground COM E1`."""

    span: Span
    note: Word | None
    nets: tuple[Word, ...]


class RailLine(NamedTuple):
    """`rail P12 12V 5% over E1`; values in any order."""

    span: Span
    note: Word | None
    net: Word
    values: tuple[Word, ...]
    over: Word | None


class RestLine(NamedTuple):
    """`rest P12 -- COM 1k8`; values are `1k8`, `none`, `470u`, `diode 0.45 / 1.20`."""

    span: Span
    note: Word | None
    ends: Ends
    values: tuple[Word, ...]


class InputLine(NamedTuple):
    """`input PWM 0V / 5V via 220R 18kHz 45%`."""

    span: Span
    note: Word | None
    net: Word
    low: Word | None
    high: Word | None
    via: Word | None
    values: tuple[Word, ...]


class PartLine(NamedTuple):
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

    span: Span
    note: Word | None
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

    One word is a net or a part; more are a part with its value and kind. The arrow is
    how the link *to the next* station is written: `--`, `->`, `<-`, empty at the last.
    """

    words: tuple[Word, ...]
    settings: tuple[Setting, ...]
    arrow: str


class ChainLine(NamedTuple):
    """`chain P12 -- R13 1k -- N1 -> D11 -- DRV`."""

    span: Span
    note: Word | None
    steps: tuple[ChainStep, ...]


class JoinsLine(NamedTuple):
    """`GATE joins Q13.g R14.2`."""

    span: Span
    note: Word | None
    net: Word
    pins: tuple[Word, ...]


class SupplyLine(NamedTuple):
    """`supply U1 vcc=P5 gnd=COM`: once for a package of several units."""

    span: Span
    note: Word | None
    ref: Word
    settings: tuple[Setting, ...]


class StateLine(NamedTuple):
    """`state run PWM=high K1=on`."""

    span: Span
    note: Word | None
    name: Word
    settings: tuple[Setting, ...]


class TouchedLine(NamedTuple):
    """`touched R13 Q12 "why"`."""

    span: Span
    note: Word | None
    refs: tuple[Word, ...]
    remark: Word | None


class UntracedLine(NamedTuple):
    """`not traced GATE` and `Q13.d not traced`."""

    span: Span
    note: Word | None
    targets: tuple[Word, ...]


class UnpluggedLine(NamedTuple):
    """`nothing on PWM`."""

    span: Span
    note: Word | None
    nets: tuple[Word, ...]


class LinkLine(NamedTuple):
    """`link A B`, `link A B ?`, `bridge A B 12R`."""

    span: Span
    note: Word | None
    verb: Word
    a: Word
    b: Word
    value: Word | None


class BreakLine(NamedTuple):
    """`break GATE at R14.2`."""

    span: Span
    note: Word | None
    net: Word
    pin: Word


class NoteLine(NamedTuple):
    """`note "..."` on a line of its own (`note` holds the words)."""

    span: Span
    note: Word | None


class ChannelLine(NamedTuple):
    """`channel U`, closed by `end`; its lines follow as they are."""

    span: Span
    note: Word | None
    name: Word


class EndLine(NamedTuple):
    """`end` of a channel."""

    span: Span
    note: Word | None


class Except(NamedTuple):
    """`R41 10k` or `D42 absent` after `except`: a designator and its words."""

    ref: Word
    words: tuple[Word, ...]


class LikeLine(NamedTuple):
    """`channel V like U R31=R41 U_GATE=V_GATE except R41 10k, D42 absent`."""

    span: Span
    note: Word | None
    name: Word
    like: Word
    settings: tuple[Setting, ...]
    excepts: tuple[Except, ...]


class Tail(NamedTuple):
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


class ReadingsLine(NamedTuple):
    """`readings "as received" meter "handheld"`, with tails for the whole block."""

    span: Span
    note: Word | None
    title: Word | None
    meter: Word | None
    tail: Tail


class ReadingLine(NamedTuple):
    """`diode GATE COM 0.72 without Q13`: mode, red, black, what was shown, tails.

    `shown` holds one word or two (`> 20M`, `climbs 2k`).
    """

    span: Span
    note: Word | None
    mode: Word
    red: Word
    black: Word
    shown: tuple[Word, ...]
    tail: Tail


class EventLine(NamedTuple):
    """`replaced Q12 pnp`, `fitted D12`, `removed Q13`, `cut link A B`.

    The targets are the part, or the two nets of the link that was cut; words and
    settings tell kind, value, type number and parameters of the new part.
    """

    span: Span
    note: Word | None
    verb: Word
    targets: tuple[Word, ...]
    words: tuple[Word, ...]
    settings: tuple[Setting, ...]


class UndoLine(NamedTuple):
    """`undo`: the last reading or event before it is taken back."""

    span: Span
    note: Word | None


class MeterLine(NamedTuple):
    """`meter "yellow handheld"`; its range lines follow."""

    span: Span
    note: Word | None
    name: Word


class RangeLine(NamedTuple):
    """One range of a meter profile: `ohms 600R open 0.4V behind 1k2 accuracy 0.9% 3`."""

    span: Span
    note: Word | None
    words: tuple[Word, ...]


Found = TouchedLine | UntracedLine | UnpluggedLine | LinkLine | BreakLine
Logged = ReadingsLine | ReadingLine | EventLine | UndoLine
Statement = (
    Titled
    | GroundLine
    | RailLine
    | RestLine
    | InputLine
    | PartLine
    | ChainLine
    | JoinsLine
    | SupplyLine
    | StateLine
    | Found
    | NoteLine
    | ChannelLine
    | EndLine
    | LikeLine
    | Logged
    | MeterLine
    | RangeLine
)
"""Any line: where it is (`span`), a `note "..."` at its end, and what it says."""
