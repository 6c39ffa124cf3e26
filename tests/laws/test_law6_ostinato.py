"""Law 6: an ostinato is untouched by what is laid over it: projecting its limbs gives it back, tiled."""

from contextlib import suppress

from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import OSTINATOS, in_limb, ostinato
from kitgen.errors import RefusedError
from kitgen.kit import Limb
from kitgen.line import Line
from kitgen.pattern import Pattern, project, tile
from kitgen.time import Meters
from tests.strategies import fewer, lines, maps, patterns, usual_meters, whole_maps

names = st.sampled_from(tuple(OSTINATOS))


@st.composite
def layered(draw: st.DrawFn, name: str) -> tuple[Pattern, Pattern]:
    """A line in a limb that an ostinato leaves free, over bars the ostinato divides; and the ostinato."""
    own = ostinato(name)
    meter = own.meters.runs[0][0]
    bars = draw(st.integers(1, 3))
    line = draw(lines(st.just(Meters.of(meter, bars))))
    free = [limb for limb in Limb if limb not in own.limbs]
    limb = draw(st.sampled_from(free))
    surface = draw(st.sampled_from(("snare", "cowbell") if limb.is_hand else ("bass", "hat-foot")))
    return in_limb(line, limb, surface), own


@given(names.flatmap(layered))
def test_untouched_by_a_line(two: tuple[Pattern, Pattern]) -> None:
    """Law 6: with a line laid over it, an ostinato's limbs projected out are the ostinato, tiled."""
    top, own = two
    assert project(top | own, *own.limbs) == tile(own, top.meters)
    assert project(top | own, *top.limbs) == top


@fewer
@given(names, whole_maps(usual_meters, max_runs=2), st.data())
def test_untouched_where_it_fills_a_map(name: str, over: Meters, data: st.DataObject) -> None:
    """Law 6: an ostinato made to fill any meters is given back by its limbs from under any line it can be under."""
    with suppress(RefusedError):
        own = ostinato(name, over)
        assert own.meters == over
        free = [limb for limb in Limb if limb not in own.limbs]
        top = in_limb(data.draw(lines(st.just(over))), data.draw(st.sampled_from(free)))
        assert project(top | own, *own.limbs) == own


@given(st.data())
def test_untouched_by_any_pattern(data: st.DataObject) -> None:
    """Law 6: what holds of the named ones holds of any pattern under any other: limbs projected out are tiled."""
    over = data.draw(maps())
    turns = data.draw(st.integers(1, 3))
    feet = (Limb.RF, Limb.LF)
    own = data.draw(patterns(over=st.just(over), limbs=feet, parts=(1, 2, 3), lengths=True))
    top = data.draw(patterns(over=st.just(over * turns), limbs=(Limb.RH, Limb.LH), parts=(1, 2, 3)))
    assert project(top | own, *feet) == tile(own, over * turns) == own * turns


@fewer
@given(lines(maps()), st.sampled_from(Limb))
def test_a_line_in_a_limb_is_that_line(line: Line, limb: Limb) -> None:
    """Law 6: the line laid over is itself untouched: its onsets, in one limb."""
    top = in_limb(line, limb)
    assert top.onsets == line.onsets
    assert top.limbs in ((), (limb,))
