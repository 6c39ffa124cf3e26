"""Forms a style is played through from the first bar to the last note, laid out for a play-along.

Conventions: a part is bars in one colour; inside a part every phrase ends in a cue, a small one after 4 bars and a
larger one after 8 (common practice). A part of one phrase says how large its cue is, as the phrases of a blues do.
"""

from types import MappingProxyType
from typing import NamedTuple

from kitgen.errors import UnknownNameError
from kitgen.styles.forms import FORMS

SMALL, LARGE = "small", "large"
TIME, TWO, SOLO, INTRO, VAMP, CODA = "time", "two", "solo", "intro", "vamp", "coda"
USUAL_FORM = "32-bars"


class Part(NamedTuple):
    """One part of a form that is played.

    Args:
        section: what it is called; patterns meant for it come first.
        bars: how long it is.
        kind: what is done there: ``time``, ``two`` (the bass on 1 and 3), ``solo``, ``intro``, ``vamp``, ``coda``.
        close: how large the cue at its end is.
    """

    section: str
    bars: int
    kind: str = TIME
    close: str = LARGE


class PlayForm(NamedTuple):
    """A form as it is played through.

    Args:
        name: what it is asked for by.
        words: the form in words.
        parts: its parts in order.
    """

    name: str
    words: str
    parts: tuple[Part, ...]

    @property
    def bars(self) -> int:
        """Bars from the first to the last."""
        return sum(part.bars for part in self.parts)


_BLUES = (Part("A", 4, close=SMALL), Part("B", 4, close=SMALL), Part("C", 4))
_KINDS = {"solo": SOLO, "vamp": VAMP}


def _of_style_form(name: str) -> PlayForm:
    form = FORMS[name]
    parts = (Part(section.name, section.bars, _KINDS.get(section.name, TIME)) for section in form.sections)
    return PlayForm(name, form.words, tuple(parts))


_OWN = (
    PlayForm(
        USUAL_FORM, "32 bars, four times eight", (Part("A", 8), Part("B", 8), Part("A", 8), Part("C", 8)),
    ),
    PlayForm("vamp", "a vamp of 4 bars eight times, small cues and larger ones in turn", (Part("vamp", 8, VAMP),) * 4),
    PlayForm("12-bar-blues", "a blues twice through, three phrases of 4", _BLUES * 2),
    PlayForm(
        "two-to-four",
        "AABA, the first two eights in two, then opened to four",
        (Part("A", 8, TWO), Part("A", 8, TWO), Part("bridge", 8), Part("A", 8)),
    ),
    PlayForm(
        "trading-fours",
        "4 bars of time and 4 of solo, 32 bars",
        tuple(Part(kind, 4, kind, SMALL if kind == TIME else LARGE) for _ in range(4) for kind in (TIME, SOLO)),
    ),
    PlayForm(
        "intro-vamp-coda",
        "an intro of 4 bars, a vamp of 8, the tune of 16 and a coda of 4",
        (Part("intro", 4, INTRO), Part("vamp", 8, VAMP), Part("A", 8), Part("B", 8), Part("coda", 4, CODA)),
    ),
)  # fmt: skip
_BY_NAME = {form.name: form for form in _OWN}
PLAY_FORMS = MappingProxyType(
    {name: _BY_NAME.get(name) or _of_style_form(name) for name in (USUAL_FORM, *FORMS, *_BY_NAME)}
)
"""Every form there is to ask for, the usual first."""
_SHORT_NAMES = {"blues": "12-bar-blues", "trading": "trading-fours", "32": USUAL_FORM}


def play_form(name: str) -> PlayForm:
    """A form by its name.

    Raises:
        UnknownNameError: no such form; names the nearest.

    >>> play_form("blues").bars, play_form("aaba").bars
    (24, 32)
    """
    name = _SHORT_NAMES.get(name, name)
    if name not in PLAY_FORMS:
        raise UnknownNameError("form", name, [*PLAY_FORMS, *_SHORT_NAMES])
    return PLAY_FORMS[name]
