"""The one check a change must pass: ``python3 tests/gate.py``.

It needs Python 3.11 or newer and pip's package index, nothing else. It makes its own environment in the folder
``.gate-venv`` from the pins in ``.ci``, then checks format, lint, types, doctests, tests and benches there, builds
the wheel, installs that into an empty environment and runs it. The first step that fails ends it with exit code 1.

Conventions: every step runs from the root of the checkout, whatever the working folder, except those that try the
wheel, which run from a temporary folder so that the checkout cannot help them. Only the checkout and the temporary
folder are written to. The pinned environment is used again for as long as the pins, ``pyproject.toml`` and the
Python stay the same.
"""

import sys

if sys.version_info < (3, 11):
    sys.exit("the gate needs Python 3.11 or newer; this is Python {}.{}".format(*sys.version_info[:2]))

import argparse
import hashlib
import json
import os
import shlex
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".gate-venv"
STAMP = VENV / "gate-stamp"
CACHE = ROOT / ".gate-cache"
PINS = ROOT / ".ci" / "requirements.txt"
DEV_PINS = ROOT / ".ci" / "requirements-dev.txt"
GROOVES = ROOT / "grooves"
BENCH = ROOT / "tests" / "bench"

# What would let the caller's own environment leak into the gate's.
LEAKS = ("PYTHONPATH", "PYTHONHOME", "PYTHONSTARTUP", "VIRTUAL_ENV", "PYTEST_ADDOPTS", "PYTEST_PLUGINS")

# Run in the empty environment: where the installed package and the grooves inside it are.
SMALL_RUNS = (
    "series rhythm --pages 1-2",
    "grid --moving LH --under samba --pages 1-2",
    "tour --limbs RH,LH",
    "apply x.x. --as groove --pad --to pdf,svg,musicxml,wav,book",  # whatever the program needs, these load
)
FIND_GROOVES = """
import json, importlib.resources
package = importlib.resources.files("kitgen")
grooves = package / "grooves"
names = [entry.name for entry in grooves.iterdir() if entry.is_file()] if grooves.is_dir() else []
print(json.dumps({"package": str(package), "grooves": names}))
"""


class StepError(Exception):
    """A step did not pass; the message says why."""


def main() -> int:
    """Run the steps in order; return 0 if all of them passed, else 1."""
    parser = argparse.ArgumentParser(description="Check everything a change must pass.")
    parser.add_argument("--fast", action="store_true", help="leave out the benches and the wheel")
    fast: bool = parser.parse_args().fast

    steps: list[tuple[str, Callable[[], None]]] = [
        ("environment", prepare_environment),
        ("format", lambda: tool("ruff", "format", "--check", ".")),
        ("lint", lambda: tool("ruff", "check", ".")),
        ("types", lambda: tool("mypy")),
        ("tests", lambda: tool("pytest", "-n", "auto", "-m", "not bench and not sweep", "--durations=10")),
    ]
    if not fast:
        steps += [("benches", run_benches), ("wheel", try_wheel)]

    started_s = time.monotonic()
    for number, (name, step) in enumerate(steps, 1):
        say(f"[{number}/{len(steps)}] {name}")
        step_started_s = time.monotonic()
        try:
            step()
        except StepError as problem:
            say(f"[{number}/{len(steps)}] {name} FAILED after {time.monotonic() - step_started_s:.1f} s: {problem}")
            return 1
        say(f"[{number}/{len(steps)}] {name} ok, {time.monotonic() - step_started_s:.1f} s")
    left_out = " (benches and wheel left out)" if fast else ""
    say(f"gate passed in {time.monotonic() - started_s:.1f} s{left_out}")
    return 0


def prepare_environment() -> None:
    """Make the pinned environment, unless the one that is there was made from the same pins by the same Python."""
    stamp = environment_stamp()
    if STAMP.is_file() and STAMP.read_text(encoding="utf-8") == stamp:
        say("as pinned already")
        return
    make_venv(VENV)
    python = python_in(VENV)
    install_pins(python, DEV_PINS)
    # From what is installed alone, so a requirement that pyproject.toml has and the pins lack is found here.
    try:
        pip(python, "install", "--no-index", "--no-build-isolation", "--editable", f"{ROOT}[dev]")
    except StepError as problem:
        hint = "if pyproject.toml asks for something the pins lack, write the pins again (.ci/README.md)"
        raise StepError(f"{problem}; {hint}") from problem
    STAMP.write_text(stamp, encoding="utf-8")


def environment_stamp() -> str:
    """Return a digest of all that the pinned environment depends on."""
    digest = hashlib.sha256(f"{sys.version} {sys.executable} {ROOT}".encode())
    for source in (ROOT / "pyproject.toml", DEV_PINS):
        digest.update(source.read_bytes())
    return digest.hexdigest()


def run_benches() -> None:
    """Run the benches once, timed; say so where there are none."""
    if any(BENCH.rglob("test_*.py")):
        tool("pytest", "-m", "bench", "--benchmark-enable", "--benchmark-max-time=0.5", str(BENCH))
    else:
        say("there are no benches yet")


def try_wheel() -> None:
    """Build sdist and wheel, install the wheel with only what it asks for, and run it from elsewhere."""
    with tempfile.TemporaryDirectory(prefix="kitgen-gate-") as name:
        folder = Path(name)
        # The wheel is built from the sdist, so whatever the sdist lacks is missed here.
        tool("build", "--no-isolation", "--outdir", str(folder / "dist"), str(ROOT))
        (wheel,) = (folder / "dist").glob("kitgen-*.whl")

        empty = folder / "venv"
        make_venv(empty)
        python = python_in(empty)
        install_pins(python, PINS)
        pip(python, "install", "--no-index", str(wheel))
        pip(python, "check")

        elsewhere = folder / "elsewhere"
        elsewhere.mkdir()
        check_grooves(python, empty, elsewhere)
        kitgen = str(python.parent / "kitgen")
        run(kitgen, "--help", folder=elsewhere)
        run(kitgen, "demo", "--out", "demo", folder=elsewhere)
        check_demo(elsewhere / "demo")
        for command in SMALL_RUNS:
            command_name, *options = command.split()
            run(kitgen, command_name, *options, "--out", command_name, folder=elsewhere)
            run(kitgen, "check", command_name, folder=elsewhere)


def check_grooves(python: Path, venv: Path, elsewhere: Path) -> None:
    """Compare the grooves inside the installed package with those of the checkout."""
    found = json.loads(run(str(python), "-I", "-c", FIND_GROOVES, folder=elsewhere, capture=True))
    if not Path(found["package"]).resolve().is_relative_to(venv.resolve()):
        raise StepError(f"the package under test is {found['package']}, which is not the installed one")
    wanted = {entry.name for entry in GROOVES.iterdir() if entry.is_file() and not entry.name.startswith(".")}
    missing = sorted(wanted - set(found["grooves"]))
    if missing:
        raise StepError(f"grooves/ has files that kitgen/grooves in the wheel lacks: {', '.join(missing)}")
    say(f"kitgen/grooves is in the wheel, with {len(wanted)} file(s)")


def check_demo(out: Path) -> None:
    """See that the demo wrote pages: a manifest, at least one MIDI file, and no empty file."""
    files = [entry for entry in out.rglob("*") if entry.is_file()]
    for pattern in ("manifest.json", "*.mid"):
        if not any(entry.match(pattern) for entry in files):
            raise StepError(f"the demo wrote no {pattern}; it wrote {sorted(entry.name for entry in files)}")
    hollow = [entry.name for entry in files if not entry.stat().st_size]
    if hollow:
        raise StepError(f"the demo wrote empty files: {hollow}")
    say(f"the demo wrote {len(files)} files")


def make_venv(folder: Path) -> None:
    """Make an empty environment in the folder, in place of what is there."""
    if folder.exists():
        shutil.rmtree(folder)
    try:
        run(sys.executable, "-m", "venv", str(folder))
    except StepError as problem:
        hint = "some systems keep venv in a package of its own, such as python3-venv"
        raise StepError(f"{problem}; {hint}") from problem


def python_in(venv: Path) -> Path:
    """Return the path of an environment's Python."""
    return venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def install_pins(python: Path, pins: Path) -> None:
    """Install exactly what a file of pins lists; what is never imported is never compiled."""
    pip(python, "install", "--no-deps", "--no-compile", "--require-hashes", "--requirement", str(pins))


def pip(python: Path, *words: str) -> None:
    """Run pip in the environment of that Python."""
    errors_only = ("--disable-pip-version-check", "--no-input", "-qq")
    run(str(python), "-m", "pip", *errors_only, *words)


def tool(name: str, *words: str) -> None:
    """Run one of the pinned tools from the root of the checkout."""
    run(str(python_in(VENV)), "-m", name, *words)


def run(*command: str, folder: Path = ROOT, capture: bool = False) -> str:
    """Show and run a command and let it speak for itself, or run it unseen and return what it printed.

    Raises:
        StepError: when it cannot be started or does not exit with 0.
    """
    name = command[2] if command[1:2] == ("-m",) else Path(command[0]).name
    if not capture:
        say("$ " + shlex.join(shorten(word) for word in command))
    try:
        done = subprocess.run(
            command,
            cwd=folder,
            env=clean_environment(),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE if capture else None,
            text=True,
            check=False,
        )
    except OSError as problem:
        raise StepError(f"{name} cannot be started: {problem}") from problem
    if done.returncode:
        raise StepError(f"{name} ended with exit code {done.returncode}")
    return done.stdout or ""


def clean_environment() -> dict[str, str]:
    """Return the environment the steps run in: the caller's, less what leaks, with caches in the checkout."""
    environment = {name: value for name, value in os.environ.items() if name not in LEAKS}
    environment.setdefault("PIP_CACHE_DIR", str(CACHE / "pip"))
    environment.setdefault("XDG_CACHE_HOME", str(CACHE))
    environment.setdefault("MPLCONFIGDIR", str(CACHE / "matplotlib"))
    return environment


def shorten(word: str) -> str:
    """Leave the path of the checkout out of a word that is printed."""
    return word.replace(str(ROOT) + os.sep, "")


def say(line: str) -> None:
    """Print a line at once, so that it stands before what the next command prints."""
    print(line, flush=True)


if __name__ == "__main__":
    sys.exit(main())
