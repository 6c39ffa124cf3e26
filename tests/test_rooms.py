"""The rooms: imports run one way, without cycles; only the command line prints; only some rooms touch files.

Read with ``ast`` from the source, so that an import inside a function or a block for type checking counts as well.
Cycles are looked for among imports that run when a module is loaded or type-checked; an import inside a function is no
cycle. Opening the null device, to drop what nobody reads, is no touching of files.
"""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parents[1] / "kitgen"
ORDER = (
    "errors", "time", "line", "kit", "pattern", "page", "apply", "grid", "styles", "course", "spell", "read", "make",
    "assess", "write", "record", "cli",
)  # fmt: skip
TOUCH_FILES = {"read", "write", "record"}
PRINTS = {"cli"}
FILE_CALLS = {
    "open", "read_text", "read_bytes", "write_text", "write_bytes", "unlink", "rename", "mkdir", "rmdir", "touch",
    "iterdir", "glob", "rglob", "mkdtemp", "mkstemp", "rmtree", "copy2", "copyfile", "move", "symlink_to", "chmod",
}  # fmt: skip
PRINT_CALLS = {"print", "input", "echo", "secho"}
STREAMS = {"stdout", "stderr"}


@cache
def modules() -> dict[str, Path]:
    """Every module by its dotted name."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


@cache
def tree(name: str) -> ast.Module:
    """The source of a module, parsed."""
    return ast.parse(modules()[name].read_text("utf-8"))


def room_of(name: str) -> str:
    """The room a module is in; empty for the package itself."""
    parts = name.split(".")
    return parts[1] if len(parts) > 1 else ""


def imports_of(name: str, *, deferred: bool = True) -> Iterator[str]:
    """The modules of this package that a module imports, and with ``deferred`` also from inside functions."""
    inside = {
        id(node)
        for function in ast.walk(tree(name))
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for node in ast.walk(function)
    }
    for node in ast.walk(tree(name)):
        if not deferred and id(node) in inside:
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name.split(".")[0] == "kitgen")
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{name} imports relative to itself"
            if node.module and node.module.split(".")[0] == "kitgen":
                for alias in node.names:
                    whole = f"{node.module}.{alias.name}"
                    yield whole if whole in modules() else node.module


def test_every_room_is_in_the_list() -> None:
    """A new folder has to be given its place among the others."""
    assert {room_of(name) for name in modules()} - {"", "__main__"} <= set(ORDER)


@pytest.mark.parametrize("room", ORDER)
def test_a_room_imports_only_from_rooms_above_it(room: str) -> None:
    """Imports run one way: a room sees those above it in the list, the errors, and the package's version."""
    above = set(ORDER[: ORDER.index(room) + 1]) | {"errors", ""}
    below = [
        f"{name} imports {other}"
        for name in modules()
        if room_of(name) == room
        for other in imports_of(name)
        if room_of(other) not in above
    ]
    assert below == []


def test_the_errors_import_nothing() -> None:
    """Any module can use the errors: they import nothing when they load."""
    assert list(imports_of("kitgen.errors")) == []
    top = [node for node in tree("kitgen.errors").body if isinstance(node, ast.Import | ast.ImportFrom)]
    assert top == []


def test_no_module_imports_itself_in_a_circle() -> None:
    """Following imports from any module never comes back to it."""
    edges = {name: sorted(set(imports_of(name, deferred=False)) - {"kitgen"}) for name in modules()}
    edges["kitgen"] = []
    done: set[str] = set()

    def follow(name: str, path: tuple[str, ...]) -> None:
        assert name not in path, " -> ".join((*path, name))
        if name not in done:
            for other in edges[name]:
                if not is_own_package(name, other):
                    follow(other, (*path, name))
            done.add(name)

    for name in edges:
        follow(name, ())


def is_own_package(name: str, other: str) -> bool:
    """True where a module imports from the package it stands in, whose loading waits for it."""
    return name.startswith(other + ".")


def test_a_room_does_not_import_from_its_own_front_door() -> None:
    """Inside a room modules import each other by name, not through the room's ``__init__``."""
    own = [
        f"{name} imports {other}"
        for name in modules()
        for other in imports_of(name, deferred=False)
        if room_of(name) and is_own_package(name, other) and other != "kitgen"
    ]
    assert own == []


def calls_in(name: str) -> Iterator[tuple[int, str]]:
    """Every call of a module by line: the function's or method's last name."""
    for node in ast.walk(tree(name)):
        if isinstance(node, ast.Call) and "os.devnull" not in ast.unparse(node):
            if isinstance(node.func, ast.Name):
                yield node.lineno, node.func.id
            elif isinstance(node.func, ast.Attribute):
                yield node.lineno, node.func.attr


def test_only_the_command_line_prints() -> None:
    """No other room prints, asks, or reaches for the standard streams."""
    found = [
        f"{name}:{line} {call}"
        for name in modules()
        if room_of(name) not in PRINTS
        for line, call in calls_in(name)
        if call in PRINT_CALLS
    ]
    found += [
        f"{name}:{node.lineno} {node.attr}"
        for name in modules()
        if room_of(name) not in PRINTS
        for node in ast.walk(tree(name))
        if isinstance(node, ast.Attribute) and node.attr in STREAMS and ast.unparse(node.value) == "sys"
    ]
    assert found == []


def test_only_some_rooms_touch_files() -> None:
    """Reading, writing and the practice record open files; every other room is given values or bytes."""
    found = [
        f"{name}:{line} {call}"
        for name in modules()
        if room_of(name) not in TOUCH_FILES
        for line, call in calls_in(name)
        if call in FILE_CALLS
    ]
    assert found == []


def test_every_module_says_what_it_is_for() -> None:
    """Every module begins with a docstring whose first line is a sentence."""
    for name in modules():
        words = ast.get_docstring(tree(name))
        assert words, name
        assert words.splitlines()[0].strip(), name
