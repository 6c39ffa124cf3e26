"""What stands in for a surface a kit has not, and who takes over for a limb that does not play.

One row a surface, the best stand-in first; common practice. ``lost`` is what the stand-in is without; ``louder`` is
how many levels up (or down) its strokes are played, where that keeps the sense and leaves loud and soft apart. What
no row names comes last, in the order of ``LAST``: then the rhythm is all that is left. The rules for limbs are those of
:mod:`kitgen.apply.substitute`.
"""

from collections.abc import Collection, Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

from kitgen.kit import HATS, SURFACES
from kitgen.pattern import Level

TIME = frozenset(
    ("ride", "ride-bell", "closed-hat", "open-hat", "cowbell", "wood-block", "tambourine", "floor-shell")
)  # fmt: skip
"""What time is kept on: its strokes are the ones a hand gives up for something louder or of more weight."""

BASS_IN_HAND = ("floor-tom", "mid-tom", "high-tom", "cross-stick", "lap")
"""What a hand plays the bass on where no foot can."""


class StandIn(NamedTuple):
    """A surface in the place of another.

    Args:
        label: the surface that stands in.
        lost: what it is without.
        louder: levels up, or down where less than 0.
    """

    label: str
    lost: str
    louder: int = 0

    @property
    def words(self) -> str:
        """What is lost and how the level changes, to follow a comma."""
        much = {0: "", 1: ", a level", 2: ", two levels"}[abs(self.louder)]
        return f"without {self.lost}{much}" + ("" if not self.louder else " louder" if self.louder > 0 else " softer")

    def kept_apart(self, levels: Collection[Level]) -> "StandIn":
        """The same with its change of level no greater than leaves these levels apart."""
        most = Level.ACCENT - max(levels) if self.louder > 0 else Level.FEATHER - min(levels)
        return self._replace(louder=min(self.louder, most) if self.louder > 0 else max(self.louder, most))


_S = StandIn
_TONE = "the pitch of the tom"
_LIGHTLY = "a clear tip of the stick (strike it lightly)"

_FOR_A_CRASH = (
    _S("splash", "its weight"), _S("china", "its clear ring"), _S("ride", "its attack", 1),
    _S("open-hat", "its long ring", 1), _S("closed-hat", "its ring", 1), _S("rim-shot", "a cymbal's ring"),
    _S("snare", "a cymbal's ring", 1),
)  # fmt: skip
STAND_INS: Mapping[str, tuple[StandIn, ...]] = MappingProxyType(
    {
        "crash": (_S("crash-2", "its own pitch"), *_FOR_A_CRASH),
        "crash-2": (_S("crash", "its own pitch"), *_FOR_A_CRASH),
        "splash": (
            _S("crash-2", "its short ring", -1), _S("crash", "its short ring", -1), _S("china", "its short ring", -1),
            _S("open-hat", "its bright tone"), _S("ride", "its bright tone", 1), _S("closed-hat", "its ring", 1),
            _S("snare", "a cymbal's ring"),
        ),
        "china": (
            _S("crash", "its roughness"), _S("crash-2", "its roughness"), _S("open-hat", "its weight", 1),
            _S("ride", "its roughness", 1), _S("splash", "its weight"), _S("closed-hat", "its ring", 1),
            _S("rim-shot", "a cymbal's ring"), _S("snare", "a cymbal's ring", 1),
        ),
        "ride": (
            _S("closed-hat", "the long ring"), _S("cowbell", "the ring"), _S("floor-shell", "the ring"),
            _S("crash", _LIGHTLY), _S("crash-2", _LIGHTLY), _S("china", _LIGHTLY), _S("wood-block", "the ring"),
            _S("cross-stick", "the ring"), _S("snare", "the ring"),
        ),
        "ride-bell": (
            _S("ride", "the bell's point", 1), _S("cowbell", "the ring"), _S("closed-hat", "the bell's ring", 1),
            _S("floor-shell", "the ring", 1), _S("wood-block", "the ring"), _S("crash", _LIGHTLY),
            _S("crash-2", _LIGHTLY), _S("cross-stick", "the ring", 1), _S("snare", "the ring"),
        ),
        "closed-hat": (
            _S("ride", "the short sound"), _S("floor-shell", "the cymbal"), _S("cowbell", "the cymbal"),
            _S("tambourine", "the cymbal"), _S("wood-block", "the cymbal"), _S("cross-stick", "the cymbal"),
            _S("crash", _LIGHTLY), _S("crash-2", _LIGHTLY), _S("snare", "the cymbal"),
        ),
        "open-hat": (
            _S("closed-hat", "the opening", 1), _S("splash", "the closing after it"),
            _S("crash-2", "the closing after it"), _S("crash", "the closing after it"),
            _S("ride", "the opening and closing", 1), _S("cowbell", "the ring"), _S("snare", "the ring"),
        ),
        "cowbell": (
            _S("ride-bell", "the dry sound"), _S("cross-stick", "the bell's tone"),
            _S("closed-hat", "the bell's tone"), _S("floor-shell", "the bell's tone"),
            _S("wood-block", "the bell's tone"), _S("ride", "the bell's tone"), _S("snare", "the bell's tone"),
        ),
        "wood-block": (
            _S("cross-stick", "its pitch"), _S("floor-shell", "its pitch"), _S("closed-hat", "the wood"),
            _S("cowbell", "the wood"), _S("ride-bell", "the wood"), _S("ride", "the wood"),
            _S("snare", "the wood"),
        ),
        "tambourine": (
            _S("closed-hat", "the jingles", 1), _S("ride", "the jingles", 1), _S("cowbell", "the jingles"),
            _S("cross-stick", "the jingles", 1), _S("clap", "the jingles"), _S("snare", "the jingles"),
        ),
        "high-tom": (
            _S("mid-tom", _TONE), _S("floor-tom", _TONE), _S("snare", _TONE), _S("lap", _TONE),
        ),
        "mid-tom": (
            _S("high-tom", _TONE), _S("floor-tom", _TONE), _S("snare", _TONE), _S("lap", _TONE),
        ),
        "floor-tom": (
            _S("mid-tom", _TONE), _S("high-tom", _TONE), _S("snare", _TONE), _S("lap", _TONE),
        ),
        "snare": (
            _S("rim-shot", "the soft strokes of the head", -1), _S("high-tom", "the snares"),
            _S("mid-tom", "the snares"), _S("cross-stick", "the drum under the stick", 1),
            _S("floor-tom", "the snares"), _S("clap", "the drum"), _S("lap", "the drum", 1),
        ),
        "cross-stick": (
            _S("rim-shot", "the dry click", -2), _S("snare", "the click of the stick", -1),
            _S("floor-shell", "the drum under it"), _S("wood-block", "the drum under it"),
            _S("closed-hat", "the wood"), _S("high-tom", "the click of the stick", -1), _S("clap", "the wood"),
            _S("lap", "the wood"),
        ),
        "rim-shot": (
            _S("snare", "the crack of the rim", 1), _S("cross-stick", "the crack of the drum", 1),
            _S("high-tom", "the crack of the rim", 1), _S("mid-tom", "the crack of the rim", 1),
            _S("floor-tom", "the crack of the rim", 1), _S("clap", "the drum", 1),
        ),
        "clap": (
            _S("lap", "the sharp sound"), _S("snare", "the sharp sound"), _S("cross-stick", "the sharp sound"),
            _S("floor-tom", "the sharp sound"),
        ),
        "floor-shell": (
            _S("cross-stick", "the shell's tone"), _S("closed-hat", "the wood"), _S("wood-block", "the shell's tone"),
            _S("cowbell", "the wood"), _S("ride", "the wood"), _S("snare", "the wood"),
        ),
        "lap": (
            _S("floor-tom", "the quiet of a knee", -1), _S("snare", "the quiet of a knee", -1),
            _S("clap", "one hand of two"), _S("mid-tom", "the quiet of a knee", -1),
            _S("high-tom", "the quiet of a knee", -1),
        ),
        "bass": (_S("floor", "the drum"),),
        "floor": (_S("bass", "the quiet of a foot", -1),),
        "hat-foot": (_S("floor", "the hat"),),
    }
)  # fmt: skip
assert STAND_INS.keys() == SURFACES.keys()

LAST = (
    "snare", "high-tom", "mid-tom", "floor-tom", "lap", "clap", "cross-stick", "floor-shell", "wood-block",
    "tambourine", "cowbell", "rim-shot", "closed-hat", "ride", "ride-bell", "open-hat", "splash", "china", "crash-2",
    "crash",
)  # fmt: skip
"""What a hand plays where no row names anything a kit has."""
assert set(LAST) == {label for label, row in SURFACES.items() if row.struck_by == "hand"}

LIMB_RULES: Mapping[str, str] = MappingProxyType(
    {
        "no-hat-foot": "the hat foot is left out and a clutch holds the hat closed; the line goes to the other foot, "
        "on the bass",
        "no-bass-foot": "the other foot plays the bass, the hat foot is left out and a clutch holds the hat closed; a "
        "line of the hat foot goes on, without the bass under it",
        "no-feet": "a hand that is free, or gives up a stroke of its time, plays the bass on the floor tom; the hat "
        "foot and a feathered bass are left out",
        "no-hand": "the other hand plays what it has a stroke free for; for accents and backbeats it gives up its "
        "time there, and soft strokes give way; flams and drags become plain strokes",
        "single-strokes": "diddles and buzzes of that hand, and drags it would bounce, become plain strokes",
        "one-surface": "a hand keeps to the place it plays most; a foot leaves the other pedal out",
    }
)
"""What happens where a limb does not play, or not all, by the name it is listed under."""


def candidates(label: str) -> Iterator[StandIn]:
    """Every surface that can stand in for one, best first."""
    yield from STAND_INS[label]
    if SURFACES[label].struck_by == "hand":
        named = {label, *(item.label for item in STAND_INS[label])}
        yield from (StandIn(other, "anything but the rhythm") for other in LAST if other not in named)


def stand_in(label: str, surfaces: Collection[str], *, hat: bool = True) -> StandIn | None:
    """The best stand-in among some surfaces, if there is one.

    Args:
        label: what is missing.
        surfaces: labels of what there is.
        hat: False where a hand cannot be on the hat, because the foot plays it.

    >>> stand_in("ride", ("closed-hat", "snare", "crash")).label
    'closed-hat'
    >>> stand_in("ride", ("closed-hat", "snare", "crash"), hat=False).label
    'crash'
    """
    for item in candidates(label):
        if item.label in surfaces and (hat or item.label not in HATS):
            return item
    return None


def listed() -> Iterator[tuple[str, str]]:
    """The tables in words: a surface with its stand-ins in order, then the rules for limbs."""
    for label, items in STAND_INS.items():
        last = "then left out" if label == "hat-foot" else "then whatever a hand can play, for the rhythm alone"
        if label in ("bass", "floor"):
            last = f"then a hand, on the first of {', '.join(BASS_IN_HAND)}"
        yield label, "; ".join([*(f"{item.label} {item.words}" for item in items), last])
    yield from LIMB_RULES.items()
