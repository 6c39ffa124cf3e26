"""Score files into rhythm lines and drum patterns.

MusicXML, plain (``.musicxml``, ``.xml``) and compressed (``.mxl``), is read directly; MEI (``.mei``) and Humdrum
(``.krn``) by way of Verovio, which turns both into uniform MEI. Conventions: quarters, exact; bars are made whole by
the rules of :func:`kitgen.read.score_bars.laid_out`; the first part is read unless another is asked for; repeats stay
folded (the music once, as written) unless unfolded. Nothing is fetched, and every failure is a
:class:`~kitgen.errors.ReadError` that names the file.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from kitgen.errors import KitgenError, ReadError, UnknownNameError
from kitgen.line import Line
from kitgen.read.score_bars import ScoreBar
from kitgen.read.score_line import line_of

if TYPE_CHECKING:
    from kitgen.pattern import Pattern

_Value = TypeVar("_Value")

_MUSICXML = (".musicxml", ".xml", ".mxl")
SUFFIXES = (*_MUSICXML, ".mei", ".krn")


@dataclass(frozen=True, slots=True)
class _Score:
    """An opened score: names of its parts, and a way to the bars of one."""

    names: tuple[str, ...]
    bars: Callable[[int], tuple[ScoreBar, ...]]


def line_from_score(path: Path, *, part: str | int | None = None, unfold: bool = False) -> Line:
    """The rhythm of one part of a score file.

    Chords and voices collapse to their onsets; ties are joined; grace notes are counted on the note that follows (3
    at most); ``>`` is an accent, ``^`` an accent made short, a dot short, a tenuto long. Cue notes and notes that
    are not printed are rests.

    Args:
        path: the score file.
        part: the part's name, in either case, or its number from 1; the first when left out.
        unfold: play repeats and endings, and in MusicXML da capo, dal segno, fine and coda where the file gives
            them for playback (words alone are not followed).

    Raises:
        ReadError: the file cannot be read or its part has no notes; names the file.
        UnknownNameError: no such part; names those there are.
    """
    return _read(path, part, line_of, unfold=unfold)


def pattern_from_score(path: Path, *, part: str | int | None = None, unfold: bool = False) -> "Pattern | None":
    """A percussion part of a score file as hits on surfaces; None where no note of the part has a surface.

    Arguments and errors are those of :func:`line_from_score`; how hits come out of notes stands at
    :func:`kitgen.read.score_hits.pattern_of`.

    Raises:
        ReadError: also where some notes have a surface and others none, or one instant asks for a third hand or foot.
    """
    from kitgen.read.score_hits import pattern_of

    return _read(path, part, pattern_of, unfold=unfold)


def score_parts(path: Path) -> tuple[str, ...]:
    """Names of the parts of a score file, in order."""
    path = Path(path)
    try:
        return _opened(path).names
    except KitgenError as error:
        raise _about(path, error) from None


def _read(
    path: Path, part: str | int | None, make: Callable[[tuple[ScoreBar, ...]], _Value], *, unfold: bool
) -> _Value:
    """What ``make`` makes of the bars of the part asked for; every failure names the file."""
    path = Path(path)
    try:
        score = _opened(path)
        index = _chosen(score.names, part)
        bars = score.bars(index)
        if not any(bar.noteheads for bar in bars):
            raise ReadError(_no_notes(score.names, index))
        if unfold:
            from kitgen.read.score_order import playing_order

            bars = tuple(bars[place] for place in playing_order(bars))
        return make(bars)
    except UnknownNameError:
        raise
    except KitgenError as error:
        raise _about(path, error) from None


def _about(path: Path, error: KitgenError) -> ReadError:
    return ReadError(f"{path.name}: {error}")


def _opened(path: Path) -> _Score:
    """The score in a file, read by what its name and its root say it is."""
    from kitgen.read import mei, score_musicxml
    from kitgen.read.score_files import parsed, read_score_bytes

    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        raise ReadError(f"is no score file by its name; scores end in {', '.join(SUFFIXES)}")
    data = read_score_bytes(path)
    if suffix == ".krn":
        root = mei.mei_of(data, "humdrum")
    else:
        root = parsed(data)
        if mei.is_mei(root):
            root = mei.mei_of(data, "mei")
    reader = mei if mei.is_mei(root) else score_musicxml
    if reader is score_musicxml and root.tag not in score_musicxml.ROOTS:
        raise ReadError(f"is XML but no score (its root is {root.tag[:40]!r}); give MusicXML or MEI")
    names = reader.part_names(root)
    if not names:
        raise ReadError("has no parts; give a score with notes")
    return _Score(names, lambda index: reader.part_bars(root, index))


def _chosen(names: tuple[str, ...], part: str | int | None) -> int:
    """Where the part asked for stands."""
    if part is None:
        return 0
    lowered = [name.lower() for name in names]
    wanted = str(part).strip().lower()
    if not isinstance(part, int) and wanted in lowered:
        return lowered.index(wanted)
    if wanted.isdecimal() and 1 <= int(wanted[:9]) <= len(names):
        return int(wanted) - 1
    raise UnknownNameError("part", str(part), names)


def _no_notes(names: tuple[str, ...], index: int) -> str:
    others = ", ".join(name for number, name in enumerate(names) if number != index)
    return f"has no notes in part {names[index]!r}" + (f"; its other parts are {others}" if others else "")
