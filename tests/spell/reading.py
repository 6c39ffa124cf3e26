"""Written music said in a line of text, and patterns for it, shared by the tests of spelling.

A bar reads like ``4. 8 | 2r``: values by number, dots, ``r`` rest, ``~`` tied on from before; ``[8 8]`` under one beam;
``3:2(4 8)`` in a tuplet, ``3:2{4 8}`` if it has a bracket; ``%`` before a rest that is not shown.
"""

from collections.abc import Sequence
from fractions import Fraction

from kitgen.pattern import Pattern, parse_rows
from kitgen.spell import Choices, Event, Measure, Section, Voice, spell
from kitgen.spell.choices import USUAL

NUMBERS = {
    "breve": "0", "whole": "1", "half": "2", "quarter": "4", "eighth": "8", "16th": "16", "32nd": "32", "64th": "64",
    "128th": "128",
}  # fmt: skip
QUARTERS = {name: Fraction(4) / (int(number) or Fraction(1, 2)) for name, number in NUMBERS.items()}


def on_snare(boxes: str, meter: str = "4/4") -> Pattern:
    """A row of boxes in the left hand on the snare."""
    return parse_rows(f"LH snare {boxes}", meter)


def bars_of(boxes: str, meter: str = "4/4", choices: Choices = USUAL) -> str:
    """How a row of boxes on the snare is written, its bars parted by ``|``."""
    return " | ".join(of_measure(measure)[0] for measure in spell(on_snare(boxes, meter), choices).measures)


def of_section(section: Section) -> list[list[str]]:
    """Every bar of a section, the text of each of its voices."""
    return [of_measure(measure) for measure in section.measures]


def of_measure(measure: Measure) -> list[str]:
    """The text of each voice of a bar."""
    return [of_voice(voice) for voice in measure.voices]


def of_voice(voice: Voice) -> str:
    """A voice of a bar as text."""
    words = []
    for event in voice.events:
        written = event.written
        before, after = "", ""
        if written.starts and written.tuplet is not None:
            before = f"{written.tuplet.actual}:{written.tuplet.normal}" + ("{" if written.tuplet.bracket else "(")
        if written.stops and written.tuplet is not None:
            after = "}" if written.tuplet.bracket else ")"
        first = written.beams[0] if written.beams else ""
        beam = ("[" if first == "begin" else "", "]" if first == "end" else "")
        words.append(before + beam[0] + of_event(event) + beam[1] + after)
    return " ".join(words)


def of_event(event: Event) -> str:
    """A value as text."""
    written = event.written
    value = NUMBERS[written.type] + "." * written.dots
    if written.is_rest:
        return f"{'' if event.shown else '%'}{value}r"
    return value if written.struck else f"~{value}"


def symbols(events: Sequence[Event]) -> int:
    """Heads and chords, rests, dots, ties and tuplets' numbers."""
    return sum(1 + e.written.dots + e.written.starts + (not e.written.struck and not e.written.is_rest) for e in events)
