"""A line from wherever the user says: typed, a file, or standard input."""

import hashlib
import re
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from kitgen.errors import LineError, OptionError, ReadError
from kitgen.line import Line, counted_not_valued, parse, render

MIDI_ENDINGS = (".mid", ".midi", ".smf")
SCORE_ENDINGS = (".musicxml", ".xml", ".mxl", ".mei", ".krn", ".abc")
TEXT_ENDINGS = (".txt",)
_OTHER_ENDINGS = (".pdf", ".svg", ".png", ".jpg", ".wav", ".mp3", ".flac", ".ogg", ".toml", ".json", ".html")
"""Files that hold no line, and whose names are no lines either."""
_MEASURES = re.compile(r"(\d+)(?:-(\d+))?")


class LineSource(NamedTuple):
    """A line and where it came from.

    Args:
        line: the line.
        words: canonical text, or the file's name, for recipes.
        remarks: what the reader has to say, a sentence each.
        typed: True if the words hold the line itself.
        sums: the file's name and hash, for recipes.
    """

    line: Line
    words: str
    remarks: tuple[str, ...] = ()
    typed: bool = False
    sums: tuple[str, ...] = ()


def read_line(
    given: str,
    *,
    meter: str = "4/4",
    notation: str | None = None,
    pad: bool = False,
    part: str | None = None,
    channel: int | None = None,
    subdivisions: str | None = None,
    measures: str | None = None,
    unfold: bool = False,
) -> LineSource:
    """A line from text, a file's path, or ``-`` for standard input.

    Raises:
        LineError: typed text that is no line.
        ReadError: a file that cannot be read.
        OptionError: an option that means nothing to a typed line.
    """
    path = _path_of(given)
    if path is None or path.suffix.lower() in TEXT_ENDINGS:
        _check_typed({"--part": part, "--channel": channel, "--subdivisions": subdivisions, "--unfold": unfold})
    if path is None:
        text = _standard_input() if given == "-" else given
        line = parse(text, meter, notation=notation, pad=pad)
        return _typed(_bars(line, measures), counted_not_valued(text, meter, notation))
    data = bytes_of(path)
    sums = (f"{path.name} sha256:{hashlib.sha256(data).hexdigest()}",)
    ending = path.suffix.lower()
    if ending in TEXT_ENDINGS:
        if text_of(data, path).startswith("title:"):
            raise ReadError(
                f"{path.name}: a page of box text is no line; its line stands after 'line:' or in its recipe"
            )
        try:
            line = parse(text_of(data, path), meter, notation=notation, pad=pad)
        except LineError as error:
            raise ReadError(f"{path.name}: {error}") from error
        return _typed(_bars(line, measures))
    remarks: tuple[str, ...] = ()
    if ending in MIDI_ENDINGS:
        from kitgen.read.midi_line import line_from_midi

        allowed = subdivisions_of(subdivisions)
        line, residual = line_from_midi(path, part=number_of(part), channel=channel, subdivisions=allowed)
        if residual.worst_ms >= 0.05:
            remarks = (f"{path.name}: {residual}",)
    elif ending in SCORE_ENDINGS:
        from kitgen.read.scores import line_read

        line, said = line_read(path, part=number_of(part), unfold=unfold)
        remarks = tuple(f"{path.name}: {remark}" for remark in said)
    else:
        raise ReadError(
            f"{path.name}: cannot tell what kind of file this is; "
            f"a line is read from {', '.join((*MIDI_ENDINGS, *SCORE_ENDINGS, *TEXT_ENDINGS))}"
        )
    return LineSource(_bars(line, measures), path.name, remarks, sums=sums)


def _check_typed(options: Mapping[str, object]) -> None:
    """Raise where an option for MIDI files or scores was given with a typed line."""
    if given := [option for option, value in options.items() if value not in (None, False)]:
        raise OptionError(f"{' and '.join(given)}: for lines from MIDI files and scores; this line is typed")


def _typed(line: Line, remarks: tuple[str, ...] = ()) -> LineSource:
    """A typed line, named in recipes by its canonical boxes."""
    return LineSource(line, render(line), remarks, typed=True)


def _standard_input() -> str:
    """What stands in standard input, as text.

    Raises:
        ReadError: there is none, or it is no text.
    """
    if sys.stdin is None:
        raise ReadError("standard input is closed; type the line, or pipe it in")
    try:
        return sys.stdin.read()
    except UnicodeDecodeError:
        raise ReadError("standard input is no text; a line of text is UTF-8") from None


def is_file_name(given: str) -> bool:
    """True if what was given names a file rather than being a line."""
    return _path_of(given) is not None


def _path_of(given: str) -> Path | None:
    """The path, if what was given names a file, there or not."""
    if given == "-" or "\n" in given or len(given) > 4096:
        return None
    path = Path(given)
    known = path.suffix.lower() in (*MIDI_ENDINGS, *SCORE_ENDINGS, *TEXT_ENDINGS, *_OTHER_ENDINGS)
    boxes = re.fullmatch(r"[\sxX.|-]*", given)
    try:
        there, folder = path.is_file(), path.is_dir()
    except (OSError, ValueError):
        return None
    if folder and not boxes:
        raise ReadError(f"{given} is a folder; give one file, or type a line")
    return path if there or (known and not boxes) else None


def bytes_of(path: Path) -> bytes:
    """A file's bytes, or a ReadError that says why not."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise ReadError(f"{path}: {error.strerror or error}; give a file that can be read, or type a line") from error


def text_of(data: bytes, path: Path) -> str:
    """Bytes as UTF-8 text, or a ReadError."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ReadError(f"{path.name}: not a text file; a line of text is UTF-8") from None


def number_of(part: str | None) -> str | int | None:
    """A part as a number where it is one, else its name."""
    return int(part) if part is not None and part.isdecimal() else part


def subdivisions_of(words: str | None) -> tuple[int, ...] | None:
    """The ways a beat may divide, from their option; None for the usual ones.

    Raises:
        OptionError: not numbers from 1 to 64.
    """
    if words is None:
        return None
    parts = [word.strip() for word in words.split(",")]
    if not all(part.isdigit() and 1 <= int(part) <= 64 for part in parts):
        raise OptionError(f"--subdivisions {words!r}; write the parts a beat may have, 1 to 64, such as 1,2,3,4,5")
    return tuple(int(part) for part in parts)


def _bars(line: Line, measures: str | None) -> Line:
    if measures is None:
        return line
    match = _MEASURES.fullmatch(measures.strip())
    if match is None:
        raise OptionError(f"--measures {measures!r}; write one bar (5) or a run (5-12)")
    try:
        return line.measures(int(match[1]), int(match[2] or match[1]))
    except LineError as error:
        raise OptionError(f"--measures {measures}: {error}") from None
