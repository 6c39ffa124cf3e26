"""Pages as values: rows of patterns, tempi, what is new; elements computed from the notes.

Conventions: a page is what a student works on at one sitting; its rows follow one another in the MIDI file.
"""

from kitgen.page.elements import elements_of
from kitgen.page.progress import learned, new_in
from kitgen.page.value import Page, Row, Tempo, TempoChange, felt, slug_of

__all__ = ["Page", "Row", "Tempo", "TempoChange", "elements_of", "felt", "learned", "new_in", "slug_of"]
