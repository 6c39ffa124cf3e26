"""A page to the bytes of its MIDI file, against mido making the same file and against packing its events alone."""

from functools import partial

from kitgen.write.midi import loop
from tests.bench.floors import mido_making, packing
from tests.bench.material import BARS, HITS_A_BAR, laid_over_samba, page_of, rhythm
from tests.bench.race import Race

PATTERN = laid_over_samba(rhythm())
DATA = loop(page_of(PATTERN))


def test_a_page_to_midi_takes_no_longer_than_mido(race: Race) -> None:
    """A page of sixteen bars becomes a MIDI file in no more time than mido takes to make that file of its events."""
    by_mido = mido_making(DATA)
    assert len(PATTERN.hits) == BARS * HITS_A_BAR
    assert by_mido() == DATA

    race("page to MIDI", lambda: partial(loop, page_of(PATTERN)), "mido, same events", lambda: by_mido, at_most=1)


def test_a_page_to_midi_against_packing_alone(race: Race) -> None:
    """How much longer a page takes to become a MIDI file than its events take to be packed."""
    packed = packing(DATA)
    assert packed() == DATA

    race("page to MIDI", lambda: partial(loop, page_of(PATTERN)), "packing, events known", lambda: packed)
