"""The house: imports point down, heavy libraries stay in their rooms, files stay small."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "tracegraph"
# Each layer may import those before it, and itself; one row is one layer.
LAYERS: tuple[frozenset[str], ...] = (
    frozenset({"nearest", "values"}),
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
    return str(path.relative_to(ROOT))


def layer_of(name: str) -> int:
    (found,) = (k for k, layer in enumerate(LAYERS) if name in layer)
    return found


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports(path: Path) -> Iterator[str]:
    """Yield the full name of everything that a file imports, at any depth."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            assert node.module
            if node.module == "tracegraph":
                yield from (f"tracegraph.{alias.name}" for alias in node.names)
            else:
                yield node.module


def of_ours(path: Path) -> Iterator[str]:
    for name in imports(path):
        top, _, rest = name.partition(".")
        if top == "tracegraph" and rest:
            yield rest.split(".")[0]


def top_level(path: Path) -> Iterator[str]:
    """Yield the libraries that a file imports as it is loaded itself."""
    body = ast.parse(path.read_text("utf-8")).body
    for node in body:
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.split(".")[0]


def test_every_module_has_its_layer() -> None:
    assert {room_of(path) for path in FILES} == set().union(*LAYERS)


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_imports_point_down(path: Path) -> None:
    here = layer_of(room_of(path))
    assert [name for name in of_ours(path) if layer_of(name) > here] == []


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_libraries_stay_in_their_rooms(path: Path) -> None:
    used = {name.split(".")[0] for name in imports(path)}
    strangers = {name for name in used & set(ROOMS) if room_of(path) not in ROOMS[name]}
    if "rich" in used and room_of(path) == "cli" and path.name not in RICH_IN_CLI:
        strangers.add("rich")
    assert strangers == set()


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_slow_libraries_wait_until_they_are_needed(path: Path) -> None:
    waits = {"networkx", "rich", "graphviz", "reportlab", "resvg_py"}
    if path.name != "console.py":  # loaded itself only when a terminal is there
        assert waits.isdisjoint(top_level(path))


@pytest.mark.parametrize("path", EVERY, ids=name_of)
def test_no_file_is_long(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_every_module_says_what_it_is_for(path: Path) -> None:
    assert ast.get_docstring(ast.parse(path.read_text("utf-8")))


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_only_the_command_line_prints(path: Path) -> None:
    called = {
        node.func.id
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert room_of(path) == "cli" or "print" not in called
