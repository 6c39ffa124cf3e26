"""Running the command line: in this process for what it says, in one of its own for what only a real one shows."""

import io
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

ROOT = Path(__file__).resolve().parents[2]
COMMAND = [sys.executable, "-c", "from kitgen.cli import main; main()"]


@dataclass(frozen=True)
class Ran:
    """What a command left: its exit code and what it wrote to both streams."""

    code: int
    out: str
    err: str

    @property
    def error(self) -> str:
        """The one line on stderr, which says what was wrong; checked to be one line and nothing else."""
        assert self.code == 1, self
        assert self.err.count("\n") == 1, self.err
        assert self.err.startswith("Error: "), self.err
        assert "fault inside" not in self.err, self.err
        return self.err.removeprefix("Error: ").strip()


def run(*args: str | Path, stdin: str | bytes = "") -> Ran:
    """``kitgen`` with these arguments, in this process."""
    from kitgen.cli import main

    out, err = io.StringIO(), io.StringIO()
    given = io.TextIOWrapper(io.BytesIO(stdin if isinstance(stdin, bytes) else stdin.encode()), "utf-8")
    code: object = 0
    argv = ["kitgen", *map(str, args)]
    with patch.multiple(sys, argv=argv, stdin=given), redirect_stdout(out), redirect_stderr(err):
        try:
            main()
        except SystemExit as stop:
            code = stop.code
    assert isinstance(code, int)
    assert "Traceback" not in err.getvalue()
    return Ran(code, out.getvalue(), err.getvalue())


def environment() -> dict[str, str]:
    """The caller's environment, with the checkout to import from."""
    return {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}


def run_apart(*args: str | Path, stdin: bytes = b"", cwd: Path | None = None) -> Ran:
    """``kitgen`` with these arguments, in a process of its own."""
    done = subprocess.run(
        [*COMMAND, *map(str, args)],
        input=stdin,
        capture_output=True,
        cwd=cwd,
        env=environment(),
        timeout=120,
        check=False,
    )
    return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder by its path in it, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }
