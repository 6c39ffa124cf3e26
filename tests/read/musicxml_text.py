"""MusicXML written out by tests: small pieces of text that make up a score.

Conventions: four divisions a quarter unless told, pitches in the fifth octave, one meter at the start.
"""

import zipfile
from collections.abc import Sequence
from pathlib import Path

from kitgen.line import Line
from kitgen.read.scores import line_from_score


def note(
    duration: int = 4, pitch: str = "C", *, more: str = "", inner: str = "", voice: int = 1, attrs: str = ""
) -> str:
    """A note so many divisions long; ``more`` stands before its duration, ``inner`` at its end."""
    return (
        f"<note {attrs}>{more}<pitch><step>{pitch}</step><octave>5</octave></pitch>"
        f"<duration>{duration}</duration><voice>{voice}</voice>{inner}</note>"
    )


def grace(pitch: str = "D", *, chord: bool = False) -> str:
    """A grace note."""
    head = "<chord/>" if chord else ""
    return f"<note><grace/>{head}<pitch><step>{pitch}</step><octave>5</octave></pitch><voice>1</voice></note>"


def rest(duration: int = 4, *, measure: bool = False, voice: int = 1) -> str:
    """A rest so many divisions long; without a note value where it is for the whole bar."""
    kind, value = ('measure="yes"', "") if measure else ("", "<type>quarter</type>")
    return f"<note><rest {kind}/><duration>{duration}</duration><voice>{voice}</voice>{value}</note>"


def marked(*names: str, duration: int = 4) -> str:
    """A note with articulations."""
    marks = "".join(f"<{name}/>" for name in names)
    return note(duration, inner=f"<notations><articulations>{marks}</articulations></notations>")


def tied(duration: int, *ways: str, pitch: str = "C", more: str = "", voice: int = 1) -> str:
    """A note with ties."""
    return note(duration, pitch, more=more, voice=voice, inner="".join(f'<tie type="{way}"/>' for way in ways))


def meter(above: str, below: int) -> str:
    """A time signature."""
    return f"<attributes><time><beats>{above}</beats><beat-type>{below}</beat-type></time></attributes>"


def barline(side: str, inner: str) -> str:
    """A barline with a repeat or an ending."""
    return f'<barline location="{side}">{inner}</barline>'


START, END = barline("left", '<repeat direction="forward"/>'), barline("right", '<repeat direction="backward"/>')


def score(*parts: Sequence[str], names: Sequence[str] = (), time: str = "4/4", divisions: int = 4) -> str:
    """A MusicXML document: each part a list of measure contents, under one meter ('' for none)."""
    names = names or [f"Part {number}" for number in range(1, len(parts) + 1)]
    listed = "".join(
        f'<score-part id="P{n}"><part-name>{name}</part-name></score-part>' for n, name in enumerate(names, 1)
    )
    first = f"<attributes><divisions>{divisions}</divisions></attributes>" + (meter(*_split(time)) if time else "")
    bodies = ""
    for n, measures in enumerate(parts, 1):
        inside = "".join(
            f'<measure number="{k}">{first if k == 1 else ""}{bar}</measure>' for k, bar in enumerate(measures, 1)
        )
        bodies += f'<part id="P{n}">{inside}</part>'
    return f'<score-partwise version="4.0"><part-list>{listed}</part-list>{bodies}</score-partwise>'


def _split(time: str) -> tuple[str, int]:
    above, _, below = time.partition("/")
    return above, int(below)


def read(path: Path, text: str, *, part: str | int | None = None, unfold: bool = False) -> Line:
    """The line of a score given as text."""
    path.write_text(text, encoding="utf-8")
    return line_from_score(path, part=part, unfold=unfold)


def zipped(
    path: Path, text: str, *, container: bool = True, full_path: str = "score.xml", inside: str = "score.xml"
) -> Path:
    """A compressed score."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        if container:
            roots = f'<rootfiles><rootfile full-path="{full_path}"/></rootfiles>'
            archive.writestr("META-INF/container.xml", f"<container>{roots}</container>")
        archive.writestr(inside, text)
    return path
