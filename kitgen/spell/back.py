"""Written music read back into a pattern, to prove that the page says what the pattern does."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from kitgen.kit import Limb
from kitgen.pattern import EVEN, Feel, Hit, Pattern
from kitgen.spell.values import Measure, Score, Section, Stroke
from kitgen.time import Meters


def read_back(section: Section, *, feel: Feel = EVEN) -> Pattern:
    """The pattern a section of a score says.

    Heads without a tie to them are struck; ties to the same limb and surface make them longer, and one at the start of
    the section goes on from its end. The lengths of others than held strokes are of no account.

    Args:
        section: the section.
        feel: the feel of its score.

    Raises:
        PatternError: a tie that comes from nowhere.
    """
    return Pattern(tuple(_hits(section.measures)), _meters(section.measures), feel)


def read_back_score(score: Score) -> Pattern:
    """The pattern of all sections of a score, each as often as it is played."""
    pattern = Pattern((), Meters(), score.feel)
    for section in score.sections:
        pattern += read_back(section, feel=score.feel) * section.times
    return pattern


def _meters(measures: Iterable[Measure]) -> Meters:
    return Meters(tuple((measure.meter, measure.length) for measure in measures))


_Key = tuple[Limb | None, str]


class _Struck:
    """A hit whose length is still growing."""

    def __init__(self, onset: Fraction, stroke: Stroke, length: Fraction) -> None:
        self.onset, self.stroke, self.length = onset, stroke, length

    @property
    def hit(self) -> Hit:
        """The hit, once all of it has been read."""
        stroke = self.stroke
        assert stroke.limb is not None
        length = self.length if stroke.held else None
        return Hit(self.onset, stroke.limb, stroke.surface, stroke.level, stroke.ornament, length)


def _hits(measures: Sequence[Measure]) -> list[Hit]:
    found: list[_Struck] = []
    sounding: dict[_Key, _Struck] = {}
    early: list[tuple[_Key, Fraction]] = []
    for measure in measures:
        events = [event for voice in measure.voices for event in voice.events]
        for event in sorted(events, key=lambda event: event.written.start):
            for stroke in event.strokes:
                key, length = (stroke.limb, stroke.surface), event.written.length
                if stroke.tie not in ("stop", "both"):
                    found.append(_Struck(measure.start + event.written.start, stroke, length))
                elif key in sounding:
                    sounding[key].length += length
                else:
                    early.append((key, length))
                if stroke.tie == "start":
                    sounding[key] = found[-1]
                elif stroke.tie == "stop":
                    sounding.pop(key, None)
    for key, length in early:
        sounding[key].length += length
    return [struck.hit for struck in found]
