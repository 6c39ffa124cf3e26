"""What the pages of a course are called and what they say to the student: short, a page to hand out as it is."""

from collections.abc import Callable
from fractions import Fraction

from kitgen.apply import OSTINATOS
from kitgen.apply.ostinatos import short_name
from kitgen.course.ways import HANDS, RINGING, TOGETHER, Way
from kitgen.kit import Limb, surface
from kitgen.page.progress import WITH
from kitgen.time import Meter, Meters, syllable

_DIVISIONS = {
    1: "Beats", 2: "Eighths", 3: "Triplets", 4: "Sixteenths", 5: "Quintuplets", 6: "Sixteenth triplets",
    7: "Septuplets", 8: "Thirty-seconds",
}  # fmt: skip
_COMPOUND = {1: "Beats", 3: "Eighths", 6: "Sixteenths"}
_PARTS = {
    1: "beats", 2: "eighths", 3: "triplets", 4: "sixteenths", 5: "quintuplets", 6: "sixteenth triplets",
    7: "septuplets", 8: "thirty-seconds",
}  # fmt: skip
_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight", 9: "nine"}
_VOICES = {HANDS: "Hands", TOGETHER: "Both hands together"}
_SIXES = {False: ("1", "trip", "let", "&", "trip", "let"), True: ("1", "ta", "la", "ta", "li", "ta")}
"""How sixes are said: as two triplets in a plain beat, by eighths in a beat of three (common practice)."""
_ORNAMENTS = {
    "flam": "Keep the small note low and close to the main one; the main one is in time.",
    "drag": "Let the two small notes bounce, low and close to the main one; the main one is in time.",
    "diddle": "Two strokes of one hand in the time of one, both alike.",
    "buzz": "Press the stick a little into the head and let it buzz until the next stroke.",
}
_LATE = {True: "The & comes late", False: "The e and the a come late"}
_FIRST = {True: "Say the first beat a little louder than the others.", False: "Say the number of each bar."}
_FAST = 5
_COUNT = "Count out loud and keep the beat with the foot."


def title_of(element: str, way: Way, meter: Meter) -> str:
    """The title of the page that introduces an element."""
    kind, _, rest = element.partition(" ")
    title = _TITLES.get(kind)
    return element.capitalize() if title is None else title(rest, way, meter)


def _cell_title(rest: str, way: Way, meter: Meter) -> str:
    boxes = rest.split()[1]
    counts = said(boxes, meter).removeprefix("(1) ")
    if way.name == "alone":
        return f"{division_name(boxes, meter)}: {counts}"
    voice = _VOICES.get(way.voice) or Limb[way.voice].words.capitalize()
    return f'{voice} "{counts}"' + (f" over {short_name(way.over)}" if way.over else "")


def _against_title(rest: str, way: Way, meter: Meter) -> str:  # noqa: ARG001  titles are all made alike
    """What the line has first, then the beats it is against."""
    more, fewer = map(int, rest.split(":"))
    line, beats = (fewer, more) if len(meter.beats) % more == 0 else (more, fewer)
    return f"{_NUMBERS[line].capitalize()} against {_NUMBERS[beats]}"


def _change_title(rest: str, way: Way, meter: Meter) -> str:  # noqa: ARG001  titles are all made alike
    few, many = map(int, rest.split("-"))
    return f"Changing between {_parts(few)} and {_parts(many)}"


def _sound_title(rest: str, way: Way, meter: Meter) -> str:  # noqa: ARG001  titles are all made alike
    """A page for one sound, ``RH ride``; the first page of a course, clapped, is about the beat."""
    limb, label = rest.split()
    if way.name == "alone":
        return "Quarter notes"
    words = surface(label).words
    return f"The {words}, {Limb[limb].words}" if Limb[limb].is_hand else f"The {words}"


def instruction_of(element: str, way: Way, meter: Meter) -> str:
    """One sentence or two to the student."""
    kind, _, rest = element.partition(" ")
    if kind == "cell":
        return _of_cell(rest.split()[1], way, meter)
    if kind == "sound" and way.name != "alone":
        return _of_sound(rest)
    told = {
        "meter": f"Every bar has {_beats_of(meter)} now. {_FIRST[len(meter.beats) > 1]}",
        "value": "Hold every note for its whole length, hands together, and count through it.",
        "tie": "A tied note is struck once and held through: count where it would have been struck again.",
        "rest": "Cut the note off where the rest starts; the rest is counted like a note.",
        "change": "The beat stays the same; only what goes into it changes. Say it before you play it.",
        "against": "Two rhythms at once: feel where they meet on 1, and say the one that comes of both.",
        "ornament": _ORNAMENTS.get(rest, ""),
        "contrast": "Lift the stick for the accents only; everything else stays low and soft.",
        "feel": f"{_LATE['eighths' in rest]}: long, short, long, short. The page looks even; the sound is not.",
    }.get(kind, "")
    if kind in ("ornament", "contrast", "feel"):
        return told
    words = told or ("Clap (or play on a pad) once on every beat." if way.name == "alone" else "")
    return f"{words} {_counting(way)}".strip()


def _of_sound(rest: str) -> str:
    limb, label = rest.split()
    if label in RINGING:
        return "Glance off the edge and let it ring out; count through the ring. Loud: wear ear protection."
    work = "let the stick do the work" if Limb[limb].is_hand else "heel down or up, the same every time"
    return f"Listen to the sound: every stroke alike. Count out loud; {work}."


def _of_cell(boxes: str, way: Way, meter: Meter) -> str:
    counted = f'"{said(boxes, meter)}"' + (", the number only in your head" if boxes[0] != "x" else "")
    counted = "the number of each beat" if boxes == "x" else counted
    words = f"Say {counted}, then {_clapped(boxes) if way.name == 'alone' else 'play it, every stroke alike'}."
    if way.over:
        return f"Start with {over_words(way.over)}; when that runs by itself, add the line. {words}"
    return f"{_counting(way)} {words}"


def _clapped(boxes: str) -> str:
    if len(boxes) < _FAST:
        return "clap (or play it on a pad)"
    return "play it on a pad with the hands in turn, since it is too fast to clap"


def _counting(way: Way) -> str:
    return _COUNT if way.name == "alone" else "Count out loud."


def said(boxes: str, meter: Meter) -> str:
    """How a cell is counted on the first beat, silent places in parentheses where they are the number.

    >>> said("x.xx", Meter(4, 4)), said(".x", Meter(4, 4)), said("xxx", Meter(6, 8))
    ('1 & a', '(1) &', '1 la li')
    """
    beat, parts = Meters.of(meter).beats[0], len(boxes)
    if parts in (3, 6):
        spoken = _SIXES[meter.is_compound][:: 6 // parts] if meter.is_compound or parts == 6 else ("1", "trip", "let")
    else:
        spoken = ("1", *(syllable(beat, Fraction(index, parts)) for index in range(1, parts)))
    struck = [word for word, box in zip(spoken, boxes, strict=True) if box == "x"]
    return " ".join(struck if boxes[0] == "x" else ["(1)", *struck])


def division_name(boxes: str, meter: Meter) -> str:
    """What the notes of a cell are called in a meter."""
    parts = len(boxes)
    return (_COMPOUND if meter.is_compound else _DIVISIONS).get(parts, f"{parts} in a beat")


def over_words(over: str) -> str:
    """What lines are over, in words."""
    return " with ".join(OSTINATOS[name].title or OSTINATOS[name].words for name in reversed(over.split(WITH)))


def _beats_of(meter: Meter) -> str:
    count = len(meter.beats)
    if meter.is_compound:
        return f"{_counted(count, 'beat')} of three eighths"
    return _counted(count, "beat")


def _counted(count: int, what: str) -> str:
    return f"{'one' if count == 1 else _NUMBERS.get(count, str(count))} {what}{'s' if count > 1 else ''}"


def _parts(count: int) -> str:
    return _PARTS.get(count, f"{count} in a beat")


def _plural(words: str) -> str:
    return f"{capital(words)}s"


def capital(words: str) -> str:
    """Words with a large first letter, the others as they are."""
    return f"{words[0].upper()}{words[1:]}"


_TITLES: dict[str, Callable[[str, Way, Meter], str]] = {
    "cell": _cell_title,
    "sound": _sound_title,
    "meter": lambda rest, _way, _meter: f"{rest} time",
    "value": lambda rest, _way, _meter: _plural(f"{rest.replace('-', ' ')} note"),
    "rest": lambda rest, _way, _meter: _plural(f"{rest.replace('-', ' ')} rest"),
    "tie": lambda _rest, _way, _meter: "Ties",
    "change": _change_title,
    "against": _against_title,
    "feel": lambda rest, _way, _meter: f"Swing {rest.removeprefix('swing ')}",
    "ornament": lambda rest, _way, _meter: _plural(rest + "e" * rest.endswith("z")),
    "contrast": lambda _rest, _way, _meter: "Soft and accented",
}
