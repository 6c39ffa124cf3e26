"""Rhythm spelling: patterns and lines as written music, ready for any writer of scores.

Conventions: quarters, exact, where values leave this room; ticks (:mod:`kitgen.spell.ticks`) inside it. No file is read
or written here.
"""

from kitgen.spell.back import read_back, read_back_score
from kitgen.spell.choices import Choices
from kitgen.spell.line import read_back_line, spell_line
from kitgen.spell.refusal import SpellingError
from kitgen.spell.score import in_triplets, in_values, spell_page
from kitgen.spell.section import spell
from kitgen.spell.values import Count, Event, Grace, Measure, Score, Section, Stroke, Tuplet, Voice, Written

__all__ = [
    "Choices",
    "Count",
    "Event",
    "Grace",
    "Measure",
    "Score",
    "Section",
    "SpellingError",
    "Stroke",
    "Tuplet",
    "Voice",
    "Written",
    "in_triplets",
    "in_values",
    "read_back",
    "read_back_line",
    "read_back_score",
    "spell",
    "spell_line",
    "spell_page",
]
