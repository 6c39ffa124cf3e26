"""The numbers of the coordination load, each with its reason. None comes from a search over a list of exercises.

Conventions: a weight multiplies a count; 1 is what one stroke of the leading hand costs that falls on the "&" by
itself.

Sources: H. Haken, J. A. S. Kelso and H. Bunz, "A theoretical model of phase transitions in human hand movements",
Biological Cybernetics 51, 1985 (moving together is steadiest, moving in turn next, all else is drawn to one of the
two; from memory); W. D. Byblow and D. Goodman, "Performance asymmetries in multifrequency coordination", Human
Movement Science 13, 1994 (right-handers are less steady with the left hand as the busier one; abstract); K. Nakagawa,
T. Muraoka and K. Kanosue, "Factors that determine directional constraint in ipsilateral hand-foot coordinated
movements", Physiological Reports 1(5), 2013, and the study that followed, PMC4393209 (moving against each other is
least hard for two hands, harder for a hand and a foot; abstracts); D. Deutsch, "The generation of two isochronous
sequences in parallel", Perception & Psychophysics 34, 1983 (m against n is worse the greater the numbers; from
memory). Where none is named it is common practice.
"""

from dataclasses import dataclass
from fractions import Fraction

_F = Fraction


@dataclass(frozen=True, slots=True)
class LoadWeights:
    """What each part of the load weighs, and what limbs and places weigh inside the parts.

    Args:
        off_beat: a stroke off the beat, weighed by place, limb and what holds it.
        unlike: a place by which a limb's beat differs from its next ones: what does not repeat cannot run by itself.
        rhythm: the rhythm all limbs make together, which has to be heard as one; low, for most of it is in the limbs.
        loudness: a change of level within a limb: a ghost and an accent are two strokes, not one.
        hat: the hat opened, and where it has to close.
        strokes: a stroke; below that of anything off the beat, since counting strokes alone orders little, but enough
            that one stroke a beat comes before three that follow the feet.
        together: a set of limbs that strikes at one instant: a movement of its own to learn.
        places: one such movement at one place of the beat: who has it on the "&" has not got it on the "a".
        changes: one movement after another in a given time: what practising a loop teaches.
        limbs: a limb that plays at all.
        adrift: a limb that never strikes a number, so that nothing of its own holds it to the beat: as much again as
            the limb.
        cycle: each doubling of the beats before everything repeats: one-bar figures come before two-bar ones.
        new: in a series, each limb beyond the first in a set that strikes together for the first time.
        speed: a limb at its working limit; at half that speed a quarter of it.
        meter: each length of beat, size of group and meter beyond the first.
        cross: a pair of limbs m against n, by the smaller number (Deutsch 1983).
        right_hand: a stroke of the right hand; of the left one on a left-handed kit.
        left_hand: of the other hand: what the leading hand plays comes first (Byblow and Goodman 1994).
        right_foot: of the bass foot: hands come before feet.
        left_foot: of the hat foot, which comes last.
        half: a stroke on the half of the beat: in turn with the beat (Haken, Kelso and Bunz 1985).
        late: in the last part of the beat (the "a", the last of three): it leads into the next number.
        early: just after the number (the "e", the middle of three): it leads nowhere.
        other: at any other place.
        accent: how many times as much an accented stroke off the beat costs: it is heard as the rhythm, the rest as its
            filling.
        after_own: what is left where the limb struck the number of that beat, no softer.
        with_other: what is left where another limb strikes as well (Haken, Kelso and Bunz 1985).
        in_turn: what is left midway between two strokes of one other limb that goes faster than the beat, which is in
            turn with it.
        in_turn_pair: the same where both are hands or both feet (Nakagawa and others).
    """

    off_beat: float = 1.0
    unlike: float = 0.5
    rhythm: float = 0.25
    loudness: float = 0.3
    hat: float = 1.0
    strokes: float = 0.5
    together: float = 1.0
    places: float = 0.5
    changes: float = 0.5
    limbs: float = 2.0
    adrift: float = 2.0
    cycle: float = 1.0
    new: float = 1.0
    speed: float = 4.0
    meter: float = 1.0
    cross: float = 1.0
    right_hand: float = 1.0
    left_hand: float = 1.15
    right_foot: float = 1.3
    left_foot: float = 1.5
    half: float = 1.0
    late: float = 1.5
    early: float = 2.0
    other: float = 2.5
    accent: float = 1.5
    after_own: float = 0.25
    with_other: float = 0.5
    in_turn: float = 0.75
    in_turn_pair: float = 0.5

    @property
    def by_limb(self) -> tuple[float, float, float, float]:
        """What a stroke of each limb weighs on a right-handed kit, in the order of limbs."""
        return self.right_hand, self.left_hand, self.right_foot, self.left_foot

    def at(self, place: Fraction, *, in_threes: bool = False) -> float:
        """What a place in the beat weighs; 0 on the number.

        Args:
            place: a share of the beat, from 0 up to 1.
            in_threes: the beat is three units of its meter (6/8), where halves and quarters stand across them.

        >>> [LoadWeights().at(Fraction(n, 4)) for n in range(4)]
        [0.0, 2.0, 1.0, 1.5]
        """
        if not place:
            return 0.0
        kinds = {_F(2, 3): self.late, _F(1, 3): self.early}
        if not in_threes:
            kinds |= {_F(1, 2): self.half, _F(3, 4): self.late, _F(1, 4): self.early}
        return kinds.get(place, self.other)


USUAL_WEIGHTS = LoadWeights()
