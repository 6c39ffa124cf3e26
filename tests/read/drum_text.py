"""Drum scores written out by tests: MusicXML without instruments, a head a place and a shape.

Conventions: one division an eighth, the meter 4/4, a percussion clef on five lines unless told.
"""

from collections.abc import Sequence
from pathlib import Path

from kitgen.pattern import Pattern
from kitgen.read.score_hits import Drums
from kitgen.read.scores import drums_from_score
from tests.read.musicxml_text import meter

PERCUSSION = "<clef><sign>percussion</sign></clef>"


def head(
    place: str = "C5",
    shape: str = "",
    *,
    length: int = 2,
    chord: bool = False,
    inner: str = "",
    instrument: str = "",
    grace: bool = False,
    voice: int = 1,
) -> str:
    """One head on a place such as ``G5``; ``inner`` stands at its end."""
    start = ("<grace/>" if grace else "") + ("<chord/>" if chord else "")
    drawn = f"<notehead>{shape}</notehead>" if shape else ""
    named = f'<instrument id="{instrument}"/>' if instrument else ""
    duration = "" if grace else f"<duration>{length}</duration>"
    return (
        f"<note>{start}<unpitched><display-step>{place[0]}</display-step><display-octave>{place[1:]}</display-octave>"
        f"</unpitched>{duration}{named}<voice>{voice}</voice>{drawn}{inner}</note>"
    )


def back(length: int = 8) -> str:
    """Back to where the bar began."""
    return f"<backup><duration>{length}</duration></backup>"


def drum_score(
    *bars: str,
    part: str = "Drums",
    clef: str = PERCUSSION,
    lines: int = 5,
    time: str = "4/4",
    instruments: Sequence[tuple[str, str, int | None]] = (),
) -> str:
    """A score of one percussion part.

    Args:
        bars: what stands in each bar.
        part: its name.
        clef: its clef.
        lines: of its staff.
        time: its meter.
        instruments: id, name and MIDI key of each instrument, the key None where the score gives none.
    """
    above, _, below = time.partition("/")
    named = "".join(
        f'<score-instrument id="{each}"><instrument-name>{name}</instrument-name></score-instrument>'
        for each, name, _ in instruments
    )
    keys = "".join(
        f'<midi-instrument id="{each}"><midi-unpitched>{key + 1}</midi-unpitched></midi-instrument>'
        for each, _, key in instruments
        if key is not None
    )
    staff = f"<staff-details><staff-lines>{lines}</staff-lines></staff-details>"
    first = f"<attributes><divisions>2</divisions>{clef}{staff}</attributes>{meter(above, int(below))}"
    measures = "".join(
        f'<measure number="{number}">{first if number == 1 else ""}{bar}</measure>'
        for number, bar in enumerate(bars, 1)
    )
    listed = f'<score-part id="P1"><part-name>{part}</part-name>{named}{keys}</score-part>'
    return f'<score-partwise><part-list>{listed}</part-list><part id="P1">{measures}</part></score-partwise>'


def drums_in(path: Path, text: str, *, places: str = "auto") -> Drums:
    """What is read of a drum score given as text."""
    path.write_text(text, encoding="utf-8")
    return drums_from_score(path, places=places)


def pattern_in(path: Path, text: str, *, places: str = "auto") -> Pattern:
    """The pattern of a drum score given as text."""
    pattern = drums_in(path, text, places=places).pattern
    assert pattern is not None
    return pattern
