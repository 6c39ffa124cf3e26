"""What a class has learned when it has met some elements, and what is new on a page to such a class.

An element teaches less than itself as well:

- ``cell LH x.xx over samba`` teaches ``cell LH x.xx``, and over two ostinatos at once over each of them;
- an ostinato teaches those it contains, and a cell over it the cell over those: over ``quarters-hat-2-4`` over
  ``hat-2-4`` as well; feet with the bass on the beat teach the bass on the beat over their hat;
- ``cell RH+LH x`` teaches each hand's cell; one hand's cell is not the hands' (they are two), nor the other way round;
- ``parts RH+LH+RF`` teaches ``parts RH+LH`` and every other two of them, ``turns`` likewise;
- ``sound LH snare`` teaches ``cell LH x``: whoever has met a sound has struck it on the beat;
- ``rest 8 bars`` teaches the shorter ones;
- ``change 4-6`` teaches the changes between parts of those, ``change 3-4`` among them.

Whoever has learned two ostinatos at once has learned each; on a page that brings them they are three new things. None
of it holds the other way round. A page is in order if exactly one element is new on it.
"""

from collections.abc import Callable, Collection, Iterable
from functools import lru_cache
from itertools import product

from kitgen.page.elements import LONG_REST

WITH, OVER = " with ", " over "
_MOST_BARS, _MOST_PARTS, _MOST_VOICES = 400, 64, 4


def learned(elements: Iterable[str]) -> frozenset[str]:
    """The elements, and every element they teach.

    >>> sorted(learned(["cell LH x.xx over samba"]))
    ['cell LH x.xx', 'cell LH x.xx over samba']
    """
    known = frozenset[str]().union(*map(taught_by, elements))
    at_once = (
        one.removeprefix("ostinato ").split(WITH) for one in known if one.startswith("ostinato ") and WITH in one
    )
    return known.union(*(taught_by(f"ostinato {name}") for names in at_once for name in names))


def new_in(elements: Iterable[str], known: Collection[str]) -> tuple[str, ...]:
    """What is new on a page, sorted: not known, and not taught by another element that is new there.

    Args:
        elements: the page's elements.
        known: what has been learned, see :func:`learned`.

    >>> new_in(["meter 4/4", "rest 4 bars", "rest 8 bars"], learned(["meter 4/4"]))
    ('rest 8 bars',)
    """
    fresh = sorted({element for element in elements if element not in known})
    if len(fresh) < 2:
        return tuple(fresh)
    return tuple(one for one in fresh if not any(one in taught_by(other) for other in fresh if other != one))


@lru_cache(maxsize=8192)
def taught_by(element: str) -> frozenset[str]:
    """An element and everything it teaches."""
    found, waiting = {element}, [element]
    while waiting:
        less = _directly(waiting.pop()) - found
        found |= less
        waiting += less
    return frozenset(found)


def _directly(element: str) -> set[str]:
    kind, _, rest = element.partition(" ")
    teaches = _TEACHES.get(kind)
    return set() if teaches is None else teaches(rest)


def _cell(rest: str) -> set[str]:
    own, over, names = rest.partition(OVER)
    voice, _, boxes = own.partition(" ")
    found = {f"cell {other} {boxes}{over}{names}" for other in _ALSO_BY.get(voice, ())}
    if over:
        parts = names.split(WITH)
        fewer = {WITH.join(parts[:index] + parts[index + 1 :]) for index in range(len(parts))}
        fewer |= _contained(parts)
        found |= {f"cell {own}{OVER}{one}" if one else f"cell {own}" for one in fewer}
    return found


_ALSO_BY = {"RH+LH": ("RH", "LH")}
CONTAINED = {
    "quarters-hat-2-4": ("quarters", "hat-2-4"),
    "bass-1-3-hat-2-4": ("hat-2-4",),
    "bossa": ("hat-2-4",),
    "tumbao": ("hat-2-4",),
    "ride-swing": ("hat-2-4",),
}
"""Ostinatos that some of an ostinato's limbs keep by themselves."""


_BASS_OVER_HAT = ("quarters-hat-2-4", "bass-1-3-hat-2-4")
"""Feet whose bass, on beats alone, is over the hat foot they contain (whichever foot it is in)."""


def _ostinato(rest: str) -> set[str]:
    bass = {f"cell {foot} x over hat-2-4" for foot in ("RF", "LF") if rest in _BASS_OVER_HAT}
    return bass | {f"ostinato {less}" for less in _contained(rest.split(WITH))}


def _contained(names: list[str]) -> set[str]:
    """Ostinatos kept at once, with one of them made less."""
    return {
        WITH.join(sorted({*names[:index], less, *names[index + 1 :]}))
        for index, name in enumerate(names)
        for less in CONTAINED.get(name, ())
    }


def _fewer_parts(kind: str) -> Callable[[str], set[str]]:
    def fewer(rest: str) -> set[str]:
        names = rest.split("+")
        if not 2 < len(names) <= _MOST_VOICES:
            return set()
        return {f"{kind} {'+'.join(names[:index] + names[index + 1 :])}" for index in range(len(names))}

    return fewer


def _sound(rest: str) -> set[str]:
    return {f"cell {rest.partition(' ')[0]} x"}


def _rest(rest: str) -> set[str]:
    number, _, unit = rest.partition(" ")
    if unit != "bars" or not number.isdecimal():
        return set()
    return {f"rest {shorter} bars" for shorter in range(LONG_REST, min(int(number), _MOST_BARS))}


def _change(rest: str) -> set[str]:
    first, _, second = rest.partition("-")
    if not (first.isdecimal() and second.isdecimal() and max(int(first), int(second)) <= _MOST_PARTS):
        return set()
    pairs = (sorted(pair) for pair in product(_divisors(int(first)), _divisors(int(second))))
    return {f"change {fewer}-{more}" for fewer, more in pairs if more % fewer}


def _divisors(number: int) -> list[int]:
    return [part for part in range(1, number + 1) if number % part == 0]


_TEACHES: dict[str, Callable[[str], set[str]]] = {
    "cell": _cell,
    "sound": _sound,
    "ostinato": _ostinato,
    "rest": _rest,
    "change": _change,
    "parts": _fewer_parts("parts"),
    "turns": _fewer_parts("turns"),
}
