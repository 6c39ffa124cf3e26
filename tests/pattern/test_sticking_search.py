"""What a search leaves out of the pasts of hands makes no difference to any cost."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.kit import PLAYERS, Limb, LimbProfile, Player
from kitgen.pattern import Hit, Level, Ornament, sticking_search
from kitgen.pattern.sticking_costs import Costs, Past
from kitgen.pattern.sticking_events import events_of
from kitgen.pattern.sticking_limits import HandLimits, Limits
from kitgen.pattern.sticking_search import Search
from kitgen.time import Meter, Meters

BAR = Meters.of(Meter(4, 4))
SURFACES = ("snare", "snare", "rim-shot", "high-tom", "floor-tom", "ride", "closed-hat")
SCHOOL = PLAYERS["school"]
SLOW = Player("slow", SCHOOL.hand, SCHOOL.foot, SCHOOL.next_drum, SCHOOL.across, ((Limb.LH, LimbProfile(slow=1.5)),))


class _Mindful(Search):
    """A search that forgets nothing but which strokes were at speed."""

    def _within(self, own: HandLimits, past: Past, room: int) -> Past:  # noqa: ARG002
        return past._replace(row=past.row if past.gap < own.quick else 0)


@st.composite
def played(draw: st.DrawFn) -> list[Hit]:
    """Strokes of both hands on fine grids, with ornaments, some at once."""
    grid = draw(st.sampled_from((Fraction(1, 12), Fraction(1, 8), Fraction(1, 5), Fraction(1, 4))))
    places = draw(st.lists(st.integers(0, 15), min_size=2, max_size=9, unique=True))
    hits = []
    for place in places:
        limbs = draw(st.sampled_from(((Limb.RH,), (Limb.LH,), (Limb.RH, Limb.LH))))
        for limb in limbs:
            ornament = draw(st.sampled_from((None, None, *Ornament))) if len(limbs) == 1 else None
            hits.append(Hit(grid * place, limb, draw(st.sampled_from(SURFACES)), Level.NORMAL, ornament))
    return hits


@given(played(), st.sampled_from((40.0, 76.0, 120.0)), st.sampled_from((*PLAYERS.values(), SLOW)))
def test_what_is_forgotten_costs_nothing(hits: list[Hit], pace: float, who: Player) -> None:
    """Reasons and sums are those of a search that keeps every stroke in mind."""
    limits = Limits.of(pace, who, "right")
    _, events = events_of((), hits, BAR, limits)
    forgetful = Search(events, Costs(limits)).reasons()
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(sticking_search, "_fourth", lambda *_: True)
        mindful = _Mindful(events, Costs(limits)).reasons()
    assert forgetful == mindful
