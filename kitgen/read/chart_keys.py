"""The keys of a chart's file: of the chart, its sections and its figures."""

from collections.abc import Mapping
from types import MappingProxyType

from kitgen.read.style_keys import Key
from kitgen.styles.chart import ARTICULATIONS, PARTIES
from kitgen.styles.chart_section import BACKS, CHART_FILLS
from kitgen.styles.forms import SECTIONS

CHART_KEYS: Mapping[str, Key] = MappingProxyType(
    {
        "title": Key("words", "the tune", needed=True),
        "band": Key("words", "who plays it"),
        "words": Key("words", "who wrote or arranged it"),
        "style": Key("words", "a style's name, or a style's file beside this one", needed=True),
        "meter": Key("words", "its meter; the style's when left out"),
        "tempo": Key("number", "beats of the meter a minute", needed=True),
        "bars": Key("number", "how many bars are written; sections have to add up to it"),
        "section": Key("tables", "its sections in the order they are written, each under [[section]]", needed=True),
        "figure": Key("tables", "the band's figures, each under [[figure]]"),
    }
)
SECTION_KEYS: Mapping[str, Key] = MappingProxyType(
    {
        "mark": Key("words", "its rehearsal mark", needed=True),
        "bars": Key("number", "bars that are written, endings among them", needed=True),
        "style": Key("words", "another style than the chart's, for this section"),
        "meter": Key("words", "its meter; its style's when left out"),
        "tempo": Key("number", "a new tempo from here on, in beats of the meter"),
        "words": Key("words", "what else stands over its start"),
        "as": Key("words", "what it is: in a bridge the ride moves", SECTIONS),
        "dynamics": Key("words", 'one for its start, or by bar: { 1 = "mf", 7 = "cresc.", 8 = "f" }'),
        "times": Key("number", "how often it is played"),
        "endings": Key("numbers", "bars of each ending, the last bars of the section, such as [2, 2]"),
        "repeat-from": Key("words", "the mark where its repeat begins, if that is before it"),
        "segno": Key("truth", "a D.S. goes back to its start"),
        "to-coda": Key("number", "the bar after which the coda comes, the time after the jump"),
        "coda": Key("truth", "it is the coda"),
        "back": Key("words", "the jump at its end", BACKS),
        "fine": Key("truth", "the piece ends with it, the time after the jump"),
        "stops": Key("list", 'bars of stop-time: only the figures are played, such as [4, "7-8"]'),
        "rests": Key("list", 'bars in which the drums rest, such as ["1-8"]'),
        "fill": Key("words", "how long the fill into the next section is", CHART_FILLS),
    }
)
FIGURE_KEYS: Mapping[str, Key] = MappingProxyType(
    {
        "section": Key("words", "the mark of the section its bars are counted in; the whole chart's when left out"),
        "bar": Key("number", "the bar it begins in, from 1", needed=True),
        "line": Key("words", "its rhythm as boxes, counts or note values", needed=False),
        "file": Key("words", "a MIDI or score file beside the chart, with the part that plays it"),
        "part": Key("words", "the part of the file, by name or number"),
        "measures": Key("words", "the bars of the file, such as 5-6"),
        "who": Key("words", "who plays it", PARTIES),
        "how": Key("words", "what all its notes are", ARTICULATIONS),
    }
)
ALSO_CALLED = {
    "bpm": ("tempo",), "name": ("title", "mark"), "letter": ("mark",), "label": ("mark",), "repeat": ("times",),
    "repeats": ("times",), "dynamic": ("dynamics",), "stop": ("stops",), "rest": ("rests",), "sections": ("section",),
    "figures": ("figure",), "rhythm": ("line",), "articulation": ("how",), "groove": ("style",), "ending": ("endings",),
    "sign": ("segno",), "jump": ("back",), "fills": ("fill",), "by": ("who",), "role": ("as",),
    "player": ("who",), "players": ("who",), "party": ("who",), "cue": ("who",), "time": ("meter", "tempo"),
}  # fmt: skip
"""What other words for keys of a chart mean."""
