"""Random sections as a technician writes them: the same seed, the same text.

A section grows by motifs (gate drives, trips, supplies) until it has as many parts as
were asked for; then it is afflicted: parts absent or burnt, pins not traced, plugs out.
"""

from collections.abc import Callable
from random import Random

from tests.draw.board import Board
from tests.draw.motifs import MOTIFS

SEEDS = 240
_SIZES = (0, 1, 1, 2, 3, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28, 32, 36, 45)
_HEADS = (
    "P12 12V 5%",
    "V15 15V",
    "+5 5V 2%",
    "-8 -8V",
    "HV+ 320V",
    "BUS ?",
    "3.3V 3.3V",
)
_GROUNDS = ("COM", "GND", "0V", "HOT", "MINUS")
_TITLES = ("gate drive", "trip board, left", "supply", "")


def random_section(seed: int) -> str:
    """Return the text of one of the random sections, of a size that goes with it."""
    return random_stage(seed, _SIZES[seed % len(_SIZES)])


def random_stage(seed: int, parts: int) -> str:
    """Return a random section's text.

    Args:
        seed: The same seed gives the same text.
        parts: How many parts it has.
    """
    random = Random(seed * 1009 + parts)
    if not parts:
        return random.choice(("", "ground COM\n", 'stage "nothing yet"\n'))
    board = _board(random)
    while board.parts < parts:
        _grow(board, parts - board.parts)
    for affliction in AFFLICTIONS:
        affliction(board)
    return "\n".join([*board.head, "", *board.lines, "", *board.found]) + "\n"


def _board(random: Random) -> Board:
    """Return a board with its rails, grounds and inputs only."""
    grounds = random.sample(_GROUNDS, random.choice((1, 1, 1, 2)))
    rails = random.sample(_HEADS, random.randint(1, 3))
    names = [rail.split()[0] for rail in rails]
    head = [f'stage "{random.choice(_TITLES)}"', f"ground {' '.join(grounds)}"]
    head += [f"rail {rail}" for rail in rails]
    if len(grounds) > 1 and random.random() < 0.6:
        head.append(f"rail VISO 15V over {grounds[1]}")
    rests = ("1k8", "none", "diode 0.45 / OL", "470u")
    for name in names:
        if random.random() < 0.4:
            head.append(f"rest {name} -- {grounds[0]} {random.choice(rests)}")
    return Board(random, grounds, names, head)


def _grow(board: Board, left: int) -> None:
    """Let a motif grow that still fits in."""
    fits = [motif for motif in MOTIFS if motif.parts <= left]
    weights = [motif.weight for motif in fits]
    motif = board.random.choices(fits, weights)[0]
    before = board.parts
    motif.grow(board)
    assert board.parts == before + motif.parts, motif.grow.__name__


def _fates(board: Board) -> None:
    """Leave pads empty, burn and take out some parts with two ends."""
    for k, line in enumerate(board.lines):
        ref, _, rest = line.partition(" ")
        two_ended = ref[0] in "RCD" and (" -- " in rest or " -> " in rest)
        if two_ended and board.random.random() < 0.06:
            fate = board.random.choice(("absent", "burnt", "removed"))
            board.lines[k] = f"{ref} {fate} {rest}"


def _touched(board: Board) -> None:
    if board.random.random() < 0.3:
        refs = board.random.sample(board.refs, min(2, len(board.refs)))
        board.found.append(f'touched {" ".join(refs)} "resoldered by someone before"')


def _loose_ends(board: Board) -> None:
    """Leave nets untraced and plugs out, parts of the copper beeping or broken."""
    random, nets = board.random, board.nets or board.rails
    for _ in range(random.choice((0, 0, 1, 2))):
        net = random.choice(nets)
        board.found.append(random.choice((f"not traced {net}", f"nothing on {net}")))
    for _ in range(random.choice((0, 0, 0, 1, 2))):
        a, b = random.choice(nets), random.choice([*nets, *board.grounds])
        word = random.choice(("link {} {}", "link {} {} ?", "bridge {} {} 12R"))
        if a != b:
            board.found.append(word.format(a, b))
    if random.random() < 0.15:
        a = random.choice(nets)
        board.found.append(f"rest {a} -- {board.grounds[0]} 2k2")
    if random.random() < 0.2 and board.pins:
        pin, net = random.choice(board.pins)
        board.found.append(f"break {net} at {pin}")


AFFLICTIONS: tuple[Callable[[Board], None], ...] = (_fates, _touched, _loose_ends)
