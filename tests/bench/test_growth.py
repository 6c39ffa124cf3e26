"""Cost grows with the number of hits and no faster: the time a hit takes on long pages, against sixteen bars."""

from collections.abc import Callable
from functools import partial

import pytest

from kitgen import in_limb, ostinato
from kitgen.kit import player
from kitgen.pattern import parse_rows, render_rows
from kitgen.pattern.playability import playability
from kitgen.pattern.sticking import stick
from kitgen.write.midi import loop
from tests.bench.material import BARS, four_four, free_strokes, laid_over_samba, page_of, rhythm, unused
from tests.bench.race import Race, Side, Turn

# About two, and room for noise: cost by the square would show as ten or a hundred.
MOST = 2.5


def writing(bars: int) -> Side:
    """A page's loop."""
    pattern = laid_over_samba(rhythm(bars))
    return lambda: partial(loop, page_of(pattern))


def laying(bars: int) -> Side:
    """A line laid over an ostinato, which tiles."""
    line, samba = in_limb(rhythm(bars), "LH", "snare"), ostinato("samba")

    def ready() -> Turn:
        top = unused(line)
        return lambda: top | samba

    return ready


def rendering(bars: int) -> Side:
    """A pattern as box rows."""
    pattern = laid_over_samba(rhythm(bars))
    return lambda: partial(render_rows, unused(pattern))


def parsing(bars: int) -> Side:
    """Box rows read."""
    rows = [render_rows(laid_over_samba(rhythm(BARS)))] * (bars // BARS)
    return lambda: partial(parse_rows, "\n\n".join(rows))


def judging(bars: int) -> Side:
    """What a player can play of a page."""
    pattern = laid_over_samba(rhythm(bars))
    return lambda: partial(playability, unused(pattern), player("school"), 96)


def sticking(bars: int) -> Side:
    """Hands for strokes."""
    return lambda: partial(stick, free_strokes(bars), four_four(bars), pace=96)


@pytest.mark.parametrize("times", [10, 100])
@pytest.mark.parametrize("work", [writing, laying, rendering, parsing, judging, sticking])
def test_a_hit_costs_no_more_on_a_long_page(race: Race, work: Callable[[int], Side], times: int) -> None:
    """A hit of a page ten or a hundred times as long takes at most about twice as long."""
    race(
        f"{work.__name__} {BARS * times} bars, a hit",
        work(BARS * times),
        f"{BARS} bars, a hit",
        work(BARS),
        at_most=MOST,
        scale=times,
        rounds=5 if times == 10 else 3,
    )
