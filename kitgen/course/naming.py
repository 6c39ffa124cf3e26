"""Elements as a teacher writes them: looked at, brought into the one form they are computed in, or refused.

``cell LH x.x.`` is ``cell LH xx``, the fewest boxes that show it; limbs are in capitals; names are names there are.
"""

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from math import lcm

from kitgen.apply import APPLICATIONS, OSTINATOS
from kitgen.errors import OptionError, UnknownNameError
from kitgen.kit import Limb, surface
from kitgen.page.elements import LONG_REST
from kitgen.page.progress import OVER, WITH
from kitgen.pattern import Ornament
from kitgen.time import Meter

VOICES = ("hands", "RH", "LH", "RF", "LF", "RH+LH")
"""Who may play a cell."""

NO_STYLES = (
    "there is no library of styles yet; give a line of the style and its application, such as "
    '{ line = "1 & 3 &", as = "groove" }'
)
_VOICES_IN_ORDER = ("hands", "RH", "LH", "RF", "LF")
_MOST_BOXES = 24
_VALUES = (
    "half", "whole", "breve", "quarter", "dotted-quarter", "dotted-half", "dotted-eighth", "dotted-whole",
)  # fmt: skip
_RESTS = ("eighth", "dotted-eighth", "quarter", "dotted-quarter")
_FEELS = ("swing eighths", "swing sixteenths")
_LIMB = re.compile(r"\b(?:RH\+LH|RH|LH|RF|LF)\b")
_PAIR = re.compile(r"(\d{1,2})([-:])(\d{1,2})")


def element_from(words: str) -> str:
    """An element in the form it is computed in.

    Raises:
        OptionError: no element; says what its kind looks like.
        UnknownNameError: a kind, voice or name there is none of, with the nearest.

    >>> element_from("cell lh x.x. over samba"), element_from("sound RH ride")
    ('cell LH xx over samba', 'sound RH ride')
    """
    kind, _, rest = " ".join(words.split()).partition(" ")
    if kind == "style":
        raise OptionError(NO_STYLES)
    if kind not in _KINDS:
        raise UnknownNameError("kind of element", kind, tuple(_KINDS))
    if bool(rest) == (kind == "tie"):
        raise OptionError(f"{words!r} is no element; it is like: {_LIKE[kind]}")
    return f"{kind} {_KINDS[kind](rest)}".rstrip()


def fewest_boxes(boxes: str) -> str:
    """A cell on the fewest boxes that show it.

    Raises:
        OptionError: no cell.

    >>> fewest_boxes("x.x."), fewest_boxes("x..."), fewest_boxes(".x..")
    ('xx', 'x', '.x..')
    """
    if not re.fullmatch(rf"[x.]{{1,{_MOST_BOXES}}}", boxes) or "x" not in boxes:
        raise OptionError(
            f"cell {boxes!r}; a cell is one beat in up to {_MOST_BOXES} boxes, x struck and . not, such as x.xx"
        )
    places = [Fraction(index, len(boxes)) for index, box in enumerate(boxes) if box == "x"]
    parts = lcm(*(place.denominator for place in places))
    return "".join("x" if Fraction(index, parts) in places else "." for index in range(parts))


def _one_of(kind: str, names: Sequence[str]) -> Callable[[str], str]:
    def named(rest: str) -> str:
        if rest not in names:
            raise UnknownNameError(kind, rest, tuple(names))
        return rest

    return named


def _voice(word: str) -> str:
    upper = word.upper()
    voice = upper if upper in VOICES else word.lower()
    return _one_of("voice", VOICES)(voice if voice in VOICES else word)


def _ostinatos(rest: str) -> str:
    names = rest.split(WITH)
    for name in names:
        if len(name.split()) > 1 or set(name) <= set("xX.-"):
            raise OptionError(f"{name!r} is no ostinato's name; cells are over one that has a name, such as samba")
        _one_of("ostinato", tuple(OSTINATOS))(name)
    return WITH.join(sorted(names))


def _cell(rest: str) -> str:
    own, over, names = rest.partition(OVER)
    voice, _, boxes = own.partition(" ")
    found = f"{_voice(voice)} {fewest_boxes(boxes)}"
    return f"{found}{OVER}{_ostinatos(names)}" if over else found


def _sound(rest: str) -> str:
    limb, _, label = rest.partition(" ")
    played_by = Limb.parse(limb)
    surface(label).check_limb(played_by)
    return f"{played_by.name} {label}"


def _voices(kind: str) -> Callable[[str], str]:
    def voices(rest: str) -> str:
        names = [_voice(word) for word in rest.split("+")]
        ordered = sorted(set(names), key=_VOICES_IN_ORDER.index)
        if len(ordered) < 2 or len(ordered) < len(names) or ("hands" in ordered and {"RH", "LH"} & {*ordered}):
            raise OptionError(f"{kind} {rest}: two or more of hands (or RH, LH), RF and LF; it is like: {_LIKE[kind]}")
        return "+".join(ordered)

    return voices


def _rest(rest: str) -> str:
    number, _, unit = rest.partition(" ")
    if number.isdecimal() and unit in ("bar", "bars"):
        if not LONG_REST <= int(number) <= 64:
            raise OptionError(f"rest {rest}: a long rest has {LONG_REST} to 64 bars; shorter ones are no element")
        return f"{int(number)} bars"
    return _one_of("rest", (*_RESTS, "4 bars", "8 bars"))(rest)


def _pair(kind: str, sign: str) -> Callable[[str], str]:
    def pair(rest: str) -> str:
        match = _PAIR.fullmatch(rest)
        if match is None or match[2] != sign or not int(match[1]) or not int(match[3]):
            raise OptionError(f"{kind} {rest}: it is like: {_LIKE[kind]}")
        numbers = sorted((int(match[1]), int(match[3])), reverse=sign == ":")
        return f"{numbers[0]}{sign}{numbers[1]}"

    return pair


_KINDS: dict[str, Callable[[str], str]] = {
    "meter": lambda rest: str(Meter.parse(rest)),
    "feel": _one_of("feel", _FEELS),
    "cell": _cell,
    "sound": _sound,
    "ostinato": _ostinatos,
    "application": _one_of("application", tuple(APPLICATIONS)),
    "value": _one_of("value", _VALUES),
    "tie": lambda rest: rest,
    "rest": _rest,
    "change": _pair("change", "-"),
    "against": _pair("against", ":"),
    "ornament": _one_of("ornament", tuple(ornament.value for ornament in Ornament)),
    "contrast": _one_of("contrast", ("soft-accent", "ghost")),
    "parts": _voices("parts"),
    "turns": _voices("turns"),
}
KINDS = tuple(_KINDS)
"""The kinds of element, as their first word says them."""

_LIKE = {
    "meter": "meter 3/4",
    "feel": "feel swing eighths",
    "cell": "cell LH x.xx over samba",
    "sound": "sound RH ride",
    "ostinato": "ostinato samba",
    "application": "application linear",
    "value": "value half",
    "tie": "tie",
    "rest": "rest eighth, or rest 4 bars",
    "change": "change 3-4",
    "against": "against 3:2",
    "ornament": "ornament flam",
    "contrast": "contrast soft-accent, or contrast ghost",
    "parts": "parts RH+LH+RF",
    "turns": "turns RH+LH+RF",
}


def mirrored(words: str) -> str:
    """Limbs in an element, or in an option, swapped left and right.

    >>> mirrored("cell LH x over samba"), mirrored("RH,LH,RF"), mirrored("cell RH+LH x")
    ('cell RH x over samba', 'LH,RH,LF', 'cell RH+LH x')
    """
    kind, _, rest = words.partition(" ")
    if kind in ("parts", "turns"):
        voices = [Limb[name].mirrored.name if name in Limb.__members__ else name for name in rest.split("+")]
        return f"{kind} {'+'.join(sorted(voices, key=_VOICES_IN_ORDER.index))}"
    return _LIMB.sub(lambda match: match[0] if "+" in match[0] else Limb[match[0]].mirrored.name, words)


def needs_of(element: str) -> tuple[str, ...]:
    """The elements that have to be known before a page can bring this one alone.

    Ostinatos before what is over them, hands in turn on the beat before anything else they play in turn.

    >>> needs_of("cell LH x.xx over samba"), needs_of("ostinato hat-2-4 with ride-rock"), needs_of("cell hands xx")
    (('ostinato samba',), ('ostinato hat-2-4', 'ostinato ride-rock'), ('cell hands x',))
    """
    kind, _, rest = element.partition(" ")
    names = rest if kind == "ostinato" else rest.partition(OVER)[2] if kind == "cell" else ""
    parts = names.split(WITH) if names else []
    whole = [f"ostinato {names}"] if kind == "cell" and len(parts) > 1 else []
    beat = f"cell hands x{OVER if names else ''}{names}"
    first = [beat] if element.startswith("cell hands ") and element != beat else []
    return (*(f"ostinato {name}" for name in parts if len(parts) > 1 or kind == "cell"), *whole, *first)
