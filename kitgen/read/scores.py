"""Score files into rhythm lines and drum patterns.

MusicXML, plain (``.musicxml``, ``.xml``) and compressed (``.mxl``), and ABC (``.abc``), where every tune is a part, are
read directly; MEI (``.mei``) and Humdrum (``.krn``) by way of Verovio, which turns both into uniform MEI. Conventions:
quarters, exact; bars are made whole by the rules of :func:`kitgen.read.score_bars.laid_out`; the first part is read
unless another is asked for; repeats stay folded (the music once, as written) unless unfolded. Nothing is fetched, and
every failure is a :class:`~kitgen.errors.ReadError` that names the file. What a score has that is not read is said in
remarks, a sentence each that names the part.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from kitgen.errors import KitgenError, ReadError, UnknownNameError
from kitgen.line import Line
from kitgen.read.score_line import line_of
from kitgen.read.score_written import ScoreBar

if TYPE_CHECKING:
    from kitgen.pattern import Pattern
    from kitgen.read.score_hits import Drums

_Value = TypeVar("_Value")

_MUSICXML = (".musicxml", ".xml", ".mxl")
SUFFIXES = (*_MUSICXML, ".mei", ".krn", ".abc")


@dataclass(frozen=True, slots=True)
class _Score:
    """An opened score: names of its parts, a way to the bars of one, the first tempo, whether this program wrote it."""

    names: tuple[str, ...]
    bars: Callable[[int], tuple[ScoreBar, ...]]
    tempo: float | None
    ours: bool


class _Part(NamedTuple):
    """The part asked for: its bars in the order wanted, its name, whether this program wrote it."""

    bars: tuple[ScoreBar, ...]
    name: str
    ours: bool


class LineRead(NamedTuple):
    """A line from a score, and what was not read."""

    line: Line
    remarks: tuple[str, ...]


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
    return line_read(path, part=part, unfold=unfold).line


def line_read(path: Path, *, part: str | int | None = None, unfold: bool = False) -> LineRead:
    """The line of :func:`line_from_score` with what was not read; arguments and errors are the same."""

    def make(found: _Part) -> LineRead:
        return LineRead(line_of(found.bars), _unread(found))

    return _read(path, part, make, unfold=unfold)


def pattern_from_score(path: Path, *, part: str | int | None = None, unfold: bool = False) -> "Pattern | None":
    """The pattern of :func:`drums_from_score`."""
    return drums_from_score(path, part=part, unfold=unfold).pattern


def drums_from_score(
    path: Path, *, part: str | int | None = None, unfold: bool = False, places: str = "auto"
) -> "Drums":
    """A percussion part of a score file as hits on surfaces, with what was left out.

    Args:
        path: the score file.
        part: as for :func:`line_from_score`.
        unfold: as for :func:`line_from_score`.
        places: the table of staff places for a part without named instruments, a name of
            :data:`kitgen.read.score_places.TABLES`; ``auto`` takes the one the score speaks for.

    Returns:
        No pattern where no note of the part has a surface.

    Raises:
        ReadError: also where one instant asks for a third hand or foot.
        UnknownNameError: no such part, or no such table.
    """
    return _read(path, part, lambda found: _drums(found, places), unfold=unfold)


def drum_parts(path: Path) -> "tuple[tuple[str, Drums], ...]":
    """Every part of a score that plays the kit, with its name; repeats stay folded.

    Raises:
        ReadError: the file cannot be read; names it.
    """
    path = Path(path)
    try:
        score = _opened(path)
        parts = (_Part(score.bars(index), name, score.ours) for index, name in enumerate(score.names))
        found = ((part.name, _drums(part, "auto")) for part in parts if any(bar.noteheads for bar in part.bars))
        return tuple((name, drums) for name, drums in found if drums.pattern is not None)
    except KitgenError as error:
        raise _about(path, error) from None


def _drums(part: _Part, places: str) -> "Drums":
    """What a part plays on the kit; what was left out starts with its name."""
    from kitgen.read.score_hits import drums_of

    drums = drums_of(part.bars, part.name, "pages" if part.ours and places == "auto" else places)
    said = (f"{part.name}: {words}" for words in drums.left_out)
    return drums._replace(left_out=(*said, *_unread(part)))


def _unread(part: _Part) -> tuple[str, ...]:
    """What stands in a part and is not read, once a thing, with its bars."""
    found: dict[str, list[str]] = {}
    for bar in part.bars:
        for what in bar.unread:
            found.setdefault(what, []).append(bar.number)
    return tuple(
        f"{part.name}: {what}, in bar{'s' if len(set(numbers)) > 1 else ''} {', '.join(dict.fromkeys(numbers))}"
        for what, numbers in found.items()
    )


def tempo_of_score(path: Path) -> float | None:
    """The first tempo a score gives for playback, in quarters a minute from 20 to 400; None where it gives none.

    Raises:
        ReadError: the file cannot be read; names it.
    """
    path = Path(path)
    try:
        return _opened(path).tempo
    except KitgenError as error:
        raise _about(path, error) from None


def score_parts(path: Path) -> tuple[str, ...]:
    """Names of the parts of a score file, in order."""
    path = Path(path)
    try:
        return _opened(path).names
    except KitgenError as error:
        raise _about(path, error) from None


def _read(path: Path, part: str | int | None, make: Callable[[_Part], _Value], *, unfold: bool) -> _Value:
    """What ``make`` makes of the part asked for; every failure names the file."""
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
        return make(_Part(bars, score.names[index], score.ours))
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
    if suffix == ".abc":
        return _opened_abc(data)
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
    ours = reader is score_musicxml and score_musicxml.is_ours(root)
    return _Score(names, lambda index: reader.part_bars(root, index), reader.first_tempo(root), ours)


def _opened_abc(data: bytes) -> _Score:
    """A file of ABC tunes; the tempo is that of the first."""
    from kitgen.read import abc_tunes as abc

    tunes = abc.tunes_of(data)
    parts = abc.parts_of(tunes)

    def bars(index: int) -> tuple[ScoreBar, ...]:
        _, tune, voice = parts[index]
        return abc.bars_of(tunes[tune], voice)

    return _Score(tuple(name for name, _, _ in parts), bars, abc.first_tempo(tunes[0]), ours=False)


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
