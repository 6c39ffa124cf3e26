"""Phrases of four bars: a form, such as a a b a, whose last bar lands; called by what they have become.

Forms and landings are common practice. A seed chooses the form and the plans of its bars.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from kitgen.course.bars import Material, bar_of, holds, joined, size_of, stands, turned
from kitgen.line import Line

_THEMES = ("NKNP", "NPNK", "NNKP", "PNPN", "KNKN", "NKLP", "NLNP", "KNLP")
_ANSWERS = ("KLKP", "PNKP", "KKNP", "LKNP", "NNNP", "PKPN", "LNLN", "KNPN", "PPNP", "NPPN", "KPKP")
_FORMS = ("aaba", "abac", "abab", "abba")
_OFTEN, _ENDINGS = 2, 3
_LETTERS = "abcd"


def phrases(material: Material, seed: int) -> Iterator[tuple[str, Line]]:
    """Four-bar phrases that land, with what is new in two bars or more, each with its name.

    Args:
        material: what they are made of.
        seed: the form, and which plan each bar is from.
    """
    if material.new and size_of(material.new[0]) > material.beats:
        yield from _long_phrases(material, seed)
        return
    form = _FORMS[seed % len(_FORMS)]
    for turn in range(len(_THEMES)):
        bars = _phrase(material, seed + turn, form)
        if bars and (not material.new or sum(holds(bar, material.new[0]) for bar in bars) >= _OFTEN):
            yield named(bars), joined(bars)


def named(bars: Sequence[Line]) -> str:
    """What a phrase is called: a letter for each bar, like bars alike; its last bar an ending where it is like none.

    Where it is the second half alone that ends otherwise it is question and answer.

    >>> a, b, c = (Line.parse(text) for text in ("4 4 4 4", "8 8 4 2", "1"))
    >>> named([a, a, b, a]), named([a, b, b, c]), named([a, b, a, c])
    ('phrase, a a b a', 'phrase, a b b, ending', 'question and answer')
    """
    letters = list[str]()
    for index, bar in enumerate(bars):
        like = bars.index(bar)
        letters.append(letters[like] if like < index else _LETTERS[len(set(letters))])
    if "".join(letters) == "abac":
        return "question and answer"
    *first, last = letters
    return f"phrase, {' '.join(first)}" + (f" {last}" if last in first else ", ending")


def _phrase(material: Material, seed: int, form: str) -> list[Line]:
    """The bars of a form, the last of them landing; none where they cannot be told apart."""
    bars = dict[str, Line]()
    for letter, plans in zip("abc", (_THEMES, _ANSWERS, _ANSWERS[3:] + _ANSWERS[:3]), strict=True):
        found = (bar for plan in turned(plans, seed) if (bar := bar_of(material, plan)) is not None)
        different = next((bar for bar in found if bar not in bars.values() and bar.notes), None)
        if different is None and letter == "a":
            return []
        bars[letter] = different if different is not None else bars["a"]
    *first, last = (bars[letter] for letter in form)
    end = landed(material, last, seed)
    return [] if end is None else [*first, end]


def _long_phrases(material: Material, seed: int) -> Iterator[tuple[str, Line]]:
    """Phrases with a figure of two bars: first in them, then after a bar."""
    beside = bar_of(material, "KP" if seed % 2 else "KL")
    last = None if beside is None else landed(material, beside, seed)
    for new in turned(material.new, seed):
        if beside is not None and last is not None and size_of(new) == 2 * material.beats:
            yield "phrase, the new first", new + beside + last
            yield "phrase, the new in the middle", beside + new + last


def landed(material: Material, bar: Line, seed: int) -> Line | None:
    """A bar changed as little as it takes to land, or another that lands; None where nothing does.

    Args:
        material: what to end with.
        bar: the bar.
        seed: chooses among its ends.
    """
    near = list(dict.fromkeys(end for end in _near_endings(material, bar) if landing(end)))
    if near:
        return turned(near[:_ENDINGS], seed)[0]
    return next(iter(_other_endings(material)), None)


def _near_endings(material: Material, bar: Line) -> Iterator[Line]:
    """A bar as it is, and with its last beats given to the pulse or to a note held to the end; then the beat on 1."""
    yield bar
    beats, beat = material.beats, material.meter.beats[0]
    held = (figure for figure in (*material.new, *material.known) if _is_held(figure) and size_of(figure) <= beats)
    ends = [end for end in (material.pulse, *held) if end is not None]
    for end in ends:
        cut = beat * (beats - size_of(end))
        whole = stands(material, end, beats - size_of(end))
        if whole and not any(note.onset < cut < note.end for note in bar.notes):
            yield bar.cut(Fraction(0), cut) + end
    if material.pulse is not None and material.rest is not None:
        yield material.pulse + material.rest * (beats - 1)


def _other_endings(material: Material) -> Iterator[Line]:
    """Where the beat is not known yet: what is new on the 1, and silence."""
    if material.rest is not None:
        for figure in (*material.new, *material.known):
            if figure.notes and size_of(figure) <= material.beats:
                yield figure + material.rest * (material.beats - size_of(figure))


def _is_held(figure: Line) -> bool:
    return size_of(figure) > 1 and len(figure.notes) == 1 and figure.notes[0].length == figure.span


def landing(line: Line) -> bool:
    """True if a line's last bar lands.

    Its last note is on the 1, or on the last beat and lasts to its end, or is held for two beats or more to that end.

    >>> [landing(Line.parse(text)) for text in ("4 4 4 4", "8 8 8 8 4 8 8", "4 4r 2r", "4 4 2", "4 4 4 8 8r")]
    [True, False, True, True, False]
    """
    bar = line.meters.bars[-1]
    if not line.notes or line.notes[-1].onset < bar.start:
        return False
    last, beats = line.notes[-1], [beat for beat in line.meters.beats if beat.bar == bar.number]
    if last.onset == bar.start:
        return True
    held = last.end == bar.end
    return held and (last.onset == beats[-1].start or last.length >= 2 * beats[-1].length)
