"""Forms a style is usually played in: sections in order, each with its length in bars. Common practice."""

from typing import NamedTuple


class Section(NamedTuple):
    """One section of a form.

    Args:
        name: what it is called on a chart.
        bars: how long it is.
    """

    name: str
    bars: int


class Form(NamedTuple):
    """A form by its name.

    Args:
        name: as a style's file names it.
        words: the form in words.
        sections: its sections, once through.
    """

    name: str
    words: str
    sections: tuple[Section, ...]

    @property
    def bars(self) -> int:
        """Bars once through."""
        return sum(section.bars for section in self.sections)


def _form(name: str, words: str, *sections: tuple[str, int]) -> Form:
    return Form(name, words, tuple(Section(*section) for section in sections))


FORMS: dict[str, Form] = {
    form.name: form
    for form in (
        _form("12-bar-blues", "12-bar blues, three phrases of 4", ("A", 4), ("B", 4), ("C", 4)),
        _form("16-bar", "16 bars in phrases of 4", ("A", 8), ("B", 8)),
        _form("aaba", "AABA, 32 bars with a bridge", ("A", 8), ("A", 8), ("bridge", 8), ("A", 8)),
        _form("abac", "ABAC, 32 bars in two halves", ("A", 8), ("B", 8), ("A", 8), ("C", 8)),
        _form("verse-chorus", "verse and chorus of 8 bars with a bridge",
              ("verse", 8), ("chorus", 8), ("verse", 8), ("chorus", 8), ("bridge", 8), ("chorus", 8)),
        _form("vamp", "a vamp of 4 bars, repeated", ("vamp", 4)),
        _form("montuno", "a verse, then a call and answer over a vamp", ("verse", 8), ("montuno", 8), ("mambo", 8)),
        _form("march", "two strains, each repeated, and a trio",
              ("strain", 16), ("strain", 16), ("second strain", 16), ("second strain", 16), ("trio", 32)),
        _form("trading-fours", "4 bars of time and 4 of solo, 32 bars",
              *(section for _ in range(4) for section in (("time", 4), ("solo", 4)))),
    )
}  # fmt: skip

SECTIONS = (
    "A", "B", "C", "bridge", "verse", "chorus", "vamp", "montuno", "mambo", "strain", "second strain", "trio", "time",
    "solo", "head", "shout", "interlude", "intro", "soft", "loud",
)  # fmt: skip
"""What a pattern may be meant for: the sections of these forms, and words of charts."""
