"""Lines with everything a line can carry, and the settings applications are tried under."""

from dataclasses import replace

from hypothesis import strategies as st

from kitgen.apply import Setting
from kitgen.kit import HANDS, KITS, kit
from kitgen.line import Line, Mark
from kitgen.time import Meters
from tests.strategies import lines, whole_maps

KITS_AND_HANDS = st.builds(lambda name, hand: kit(name, hand=hand), st.sampled_from(list(KITS)), st.sampled_from(HANDS))
SETTINGS = st.builds(Setting, kit=KITS_AND_HANDS)


@st.composite
def dressed_lines(draw: st.DrawFn, over: st.SearchStrategy[Meters] | None = None, *, graces: bool = True) -> Line:
    """Lines with grace notes, marks and, here and there, a sticking."""
    line = draw(lines(whole_maps(max_bars=2, max_runs=2) if over is None else over))
    drawn = draw(st.binary(min_size=len(line.notes), max_size=len(line.notes)))
    notes = [
        replace(
            note,
            graces=(0, 0, 0, 0, 1, 2, 3, 0)[byte % 8] if graces else 0,
            mark=(Mark.NONE, Mark.NONE, Mark.SHORT, Mark.LONG)[byte // 8 % 4],
            sticking=("", "", "", "", "R", "L", "B", "")[byte // 32],
        )
        for note, byte in zip(line.notes, drawn, strict=True)
    ]
    return Line(tuple(notes), line.meters)
