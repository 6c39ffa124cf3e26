"""What a command may load: help costs little more than click, a typed line no library that reads or checks files."""

import subprocess
import sys

import pytest

from tests.cli.running import environment

LIST = """
import sys
sys.argv = ["kitgen", *{args!r}]
from kitgen.cli import main
try:
    main()
except SystemExit:
    pass
print("loaded:", *sorted(sys.modules), file=sys.stderr)
"""
HEAVY = {
    "numpy", "scipy", "mido", "pretty_midi", "midirenderer", "pyloudnorm", "soundfile", "music21", "verovio", "typst",
    "lxml", "defusedxml", "hypothesis", "tomllib",
}  # fmt: skip


def loaded_by(*args: str) -> set[str]:
    """The modules that are loaded when a command has run."""
    done = subprocess.run(
        [sys.executable, "-c", LIST.format(args=args)],
        capture_output=True,
        env=environment(),
        text=True,
        timeout=60,
        check=True,
    )
    assert done.stdout, done.stderr
    return set(done.stderr.split("loaded:")[1].split())


@pytest.mark.parametrize("args", [("--help",), ("--version",), ("-h",)])
def test_help_loads_the_command_line_alone(args: tuple[str, ...]) -> None:
    """Help of the whole command loads no room but the command line."""
    loaded = loaded_by(*args)
    assert {name for name in loaded if name.split(".")[0] == "kitgen"} <= {"kitgen", "kitgen.cli", "kitgen.errors"}
    assert not loaded & HEAVY


@pytest.mark.parametrize("command", ["apply", "grid", "tour", "series", "library", "show", "list", "check", "demo"])
def test_help_of_a_command_loads_nothing_heavy(command: str) -> None:
    """Help of one command may load a little more of this package, but no library that is slow to load."""
    assert not loaded_by(command, "--help") & HEAVY


@pytest.mark.parametrize(
    "args",
    [
        ("apply", "1 & 2 e & a 3 4 &", "--as", "linear", "--print"),
        ("apply", "1 & 2 e & a 3 4 &", "--as", "all", "--under", "samba", "--print", "--json"),
        ("apply", "1 & 2 e & a 3 4 &", "--as", "swing", "--click", "2-and-4", "--mute", "RH", "--print", "--json"),
        ("show", "1 & 2 e & a 3 4 &"),
        ("list", "applications"),
        ("list", "cells"),
        ("grid", "--moving", "LH", "--under", "samba", "--pages", "2", "--print", "--json"),
        ("grid", "--count", "--limbs", "2", "--density", "5", "--rotations-removed"),
    ],
)
def test_a_typed_line_loads_nothing_heavy(args: tuple[str, ...]) -> None:
    """A page of a typed line is made and written with this package, click and the standard library."""
    assert not loaded_by(*args) & HEAVY


def test_the_package_loads_names_when_they_are_used() -> None:
    """Importing the package loads none of its rooms; a name loads the rooms it needs."""
    loaded = "print(*(name for name in sys.modules if name.startswith('kitgen.')))"
    code = f"import sys, kitgen; {loaded}; kitgen.Line; print('kitgen.line' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, env=environment(), text=True, timeout=60, check=True
    )
    assert done.stdout == "\nTrue\n"


def test_every_name_of_the_package_can_be_had() -> None:
    """What the package says it holds it gives, and nothing else."""
    import kitgen

    for name in kitgen.__all__:
        assert getattr(kitgen, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        kitgen.nothing  # noqa: B018  asking for it is the test
