"""The signs of a MusicXML part that order its bars, and tempi.

Signs are repeats, endings, and jumps with their ``sound`` elements; tempi are quarters a minute.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from kitgen.read.score_written import Signs

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element


SLOWEST, FASTEST = 20, 400


def tempo_in(texts: Iterable[str | None]) -> float | None:
    """The first of some texts that is a tempo from 20 to 400."""
    numbers = (float(text) for text in texts if text and re.fullmatch(r"[0-9]{1,6}(\.[0-9]{1,9})?", text))
    return next((number for number in numbers if SLOWEST <= number <= FASTEST), None)


def signs_of(measures: Sequence["Element"], top: Sequence["Element"]) -> list[Signs]:
    """The signs of each measure of a part; jumps may also stand in the top part alone."""
    found: list[Signs] = []
    passes: tuple[int, ...] = ()
    for index, measure in enumerate(measures):
        barlines = measure.findall("barline")
        passes = _passes(barlines, ("start",)) or passes
        signs = replace(_repeats(barlines), endings=passes)
        for source in (measure, *top[index : index + 1]):
            signs = _jumps(source, signs)
        found.append(signs)
        if signs.repeat_times or _passes(barlines, ("stop", "discontinue")):
            passes = ()
    return found


def _passes(barlines: Sequence["Element"], kinds: tuple[str, ...]) -> tuple[int, ...]:
    """The passes named by an ending sign of these kinds."""
    for barline in barlines:
        for ending in barline.findall("ending"):
            if ending.get("type") in kinds:
                numbers = ending.get("number", "").replace(",", " ").split()
                return tuple(int(number[:3]) for number in numbers if number.isdecimal())
    return ()


def _repeats(barlines: Sequence["Element"]) -> Signs:
    signs = Signs()
    for barline in barlines:
        for repeat in barline.findall("repeat"):
            if repeat.get("direction") == "forward":
                signs = replace(signs, repeat_from=True)
            else:
                times = repeat.get("times", "2")
                signs = replace(signs, repeat_times=int(times[:3]) if times.isdecimal() and int(times[:3]) else 2)
            signs = replace(signs, inside=signs.inside or barline.get("location") == "middle")
    return signs


def _jumps(measure: "Element", signs: Signs) -> Signs:
    for sound in (*measure.findall("sound"), *measure.findall("direction/sound")):
        signs = replace(
            signs,
            segno=sound.get("segno") or signs.segno,
            coda=sound.get("coda") or signs.coda,
            to_coda=sound.get("tocoda") or signs.to_coda,
            dal_segno=sound.get("dalsegno") or signs.dal_segno,
            da_capo=signs.da_capo or sound.get("dacapo") == "yes",
            fine=signs.fine or bool(sound.get("fine")),
        )
    return signs
