"""The house: imports point down, heavy libraries stay in their rooms, files stay small."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "tracegraph"
# Each layer may import those before it, and itself; one row is one layer.
LAYERS: tuple[frozenset[str], ...] = (
    frozenset({"listing", "nearest", "values"}),
    frozenset({"quantity", "diagnostics", "display", "known_codes", "marking"}),
    frozenset({"meanings"}),
    frozenset({"notation"}),
    frozenset({"stage"}),
    frozenset({"network"}),
    frozenset({"meter"}),
    frozenset({"compare", "diagnose", "levels", "waves"}),
    frozenset({"powerup", "purpose"}),
    frozenset({"asking"}),
    frozenset({"draw"}),
    frozenset({"views"}),
    frozenset({"cli"}),
    frozenset({"__init__", "__main__"}),
)
# Where a library may be imported; what is not listed here may be imported anywhere.
ROOMS = {
    "click": {"cli"},
    "graphviz": {"draw"},
    "lark": {"notation"},
    "networkx": {"stage", "network", "meter", "compare", "diagnose", "draw", "powerup"},
    "numpy": {"network", "meter", "diagnose", "levels", "waves"},
    "reportlab": {"views"},
    "resvg_py": {"views"},
    "rich": {"views", "cli"},
    "scipy": set[str](),
}
# The one place outside `views` that knows rich: it makes the console for its stream.
RICH_IN_CLI = {"screen.py"}
LONGEST = 350
FILES = sorted(PACKAGE.rglob("*.py"))
EVERY = sorted([*FILES, *(ROOT / "tests").rglob("*.py")])


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def layer_of(name: str) -> int:
    (found,) = (k for k, layer in enumerate(LAYERS) if name in layer)
    return found


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


@cache
def nodes_of(path: Path) -> tuple[ast.AST, ...]:
    return tuple(ast.walk(tree_of(path)))


@cache
def imports(path: Path) -> tuple[str, ...]:
    """Return the full name of everything that a file imports, at any depth."""
    found: list[str] = []
    for node in nodes_of(path):
        if isinstance(node, ast.Import):
            found += (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            assert node.module
            if node.module == "tracegraph":
                found += (f"tracegraph.{alias.name}" for alias in node.names)
            else:
                found.append(node.module)
    return tuple(found)


def of_ours(path: Path) -> Iterator[str]:
    for name in imports(path):
        top, _, rest = name.partition(".")
        if top == "tracegraph" and rest:
            yield rest.split(".")[0]


def top_level(path: Path) -> Iterator[str]:
    """Yield the libraries that a file imports as it is loaded itself."""
    for node in tree_of(path).body:
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.split(".")[0]


def strangers(path: Path) -> set[str]:
    """Return the libraries that a file imports outside their rooms."""
    used = {name.split(".")[0] for name in imports(path)}
    found = {name for name in used & set(ROOMS) if room_of(path) not in ROOMS[name]}
    if "rich" in used and room_of(path) == "cli" and path.name not in RICH_IN_CLI:
        found.add("rich")
    return found


def calls(path: Path) -> set[str]:
    """Return the names of what a file calls."""
    return {
        node.func.id
        for node in nodes_of(path)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }


# Each test looks at all files at once and names those that are amiss: a test of its
# own for every file costs more than the looking.


def test_every_module_has_its_layer() -> None:
    assert {room_of(path) for path in FILES} == set().union(*LAYERS)


def test_imports_point_down() -> None:
    upward = {
        (name_of(path), name)
        for path in FILES
        for name in of_ours(path)
        if layer_of(name) > layer_of(room_of(path))
    }
    assert upward == set()


def test_libraries_stay_in_their_rooms() -> None:
    assert {name_of(path): strangers(path) for path in FILES if strangers(path)} == {}


def test_slow_libraries_wait_until_they_are_needed() -> None:
    waits = {"networkx", "rich", "graphviz", "reportlab", "resvg_py"}
    early = {
        name_of(path): waits.intersection(top_level(path))
        for path in FILES
        if path.name != "console.py"  # loaded itself only when a terminal is there
    }
    assert {name: found for name, found in early.items() if found} == {}


def test_no_file_is_long() -> None:
    lengths = {
        name_of(path): len(path.read_text("utf-8").splitlines()) for path in EVERY
    }
    assert {name: long for name, long in lengths.items() if long > LONGEST} == {}


def test_every_module_says_what_it_is_for() -> None:
    silent = [name_of(path) for path in FILES if not ast.get_docstring(tree_of(path))]
    assert silent == []


def test_only_the_command_line_prints() -> None:
    prints = [name_of(path) for path in FILES if "print" in calls(path)]
    assert [name for name in prints if not name.startswith("tracegraph/cli/")] == []
