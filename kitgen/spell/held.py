"""What is held while another limb of its voice plays: a brush that sweeps under taps, a roll under the ride.

One head cannot be struck and held on, and ties from chord to chord would only chop up what is one long stroke. So in a
bar where hands do both, what is held has a voice of its own, whichever lies higher above. Common practice.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from kitgen.kit import HAND_LIMBS
from kitgen.pattern import Hit
from kitgen.spell.values import Stroke, Voice
from kitgen.spell.voices import Staffed

_STEPS = "CDEFGAB"


class Sound(NamedTuple):
    """A hit: where it is struck, where it stops if its length is meant (else its start), in ticks, and its head."""

    hit: Hit
    start: int
    end: int
    stroke: Stroke

    @property
    def is_held(self) -> bool:
        """True if its length is meant."""
        return self.end > self.start


def meets_held(voice: Staffed, struck: Iterable[Sound], held: Sequence[Sound]) -> bool:
    """True where a limb strikes the place and head that another holds, or one hand strikes while the other holds.

    Args:
        voice: the voice all of them are of.
        struck: what is struck in a bar.
        held: what is held in it.
    """
    of_hands = voice.limbs == HAND_LIMBS
    for other in (*struck, *held):
        for one in held:
            if one.hit.limb == other.hit.limb or not one.start <= other.start < one.end:
                continue
            same_head = (one.stroke.place, one.stroke.head) == (other.stroke.place, other.stroke.head)
            if same_head or (of_hands and one.start < other.start):
                return True
    return False


def over_and_under(voice: Staffed, plain: Sequence[Sound], held: Sequence[Sound]) -> tuple[Staffed, Staffed]:
    """Voices for what is struck and for what is held, the higher one above with the number and stems of their voice."""
    first, second = voice, voice._replace(number=voice.number + 2, stem="down")
    return (second, first) if _height(held) > _height(plain) else (first, second)


def without_rests(voice: Voice) -> Voice:
    """A voice whose rests take room unseen, but in tuplets, which would have a hole."""
    events = (
        event._replace(shown=False) if event.written.is_rest and event.written.tuplet is None else event
        for event in voice.events
    )
    return voice._replace(events=tuple(events))


def _height(sounds: Sequence[Sound]) -> float:
    """How high the heads stand in the middle, in steps of the staff."""
    places = [sound.stroke.place for sound in sounds]
    return sum(7 * int(place[1:]) + _STEPS.index(place[0]) for place in places) / len(places)
