"""Why the hands of a page play what they play: the cost of each stroke, and the least there could be."""

from collections import Counter
from collections.abc import Iterator

from kitgen.errors import PatternError
from kitgen.kit import Player
from kitgen.page import Page
from kitgen.pattern import Pattern
from kitgen.pattern.sticking import Stroke, explained, stick, sticking_cost
from kitgen.time import count_name


def explanation(page: Page, player: Player, hand: str) -> Iterator[str]:
    """A page's sticking in words, a line each: its cost, the least for the same strokes, and every stroke that costs.

    Args:
        page: the page, at the tempo of its goal.
        player: who plays.
        hand: hand setting of the kit.
    """
    pattern, pace = page.pattern, page.tempo.goal * float(page.tempo.unit)
    choices = explained(pattern.hits, pattern.meters, pace=pace, player=player, hand=hand)
    total = sum(choice.total for choice in choices)
    yield f"Sticking of {page.title}, {len(choices)} strokes at {page.tempo.goal:g} for {player.words}:"
    kinds = Counter[str]()
    for choice in choices:
        kinds.update(dict(choice.costs))
    spent = ", ".join(f"{name} {cost}" for name, cost in kinds.most_common())
    yield f"  cost {total}{f' ({spent})' if spent else ''}; {_least(pattern, pace, player, hand, total)}"
    for choice in choices:
        if choice.costs:
            hit = choice.hit
            costs = ", ".join(f"{name} {cost}" for name, cost in choice.costs)
            yield f"  {count_name(pattern.meters, hit.onset):<16} {hit.limb.name} {hit.surface:<12} {costs}"


def _least(pattern: Pattern, pace: float, player: Player, hand: str, total: int) -> str:
    """What the same strokes would cost if any hand might play each."""
    strokes = [Stroke(h.onset, h.surface, h.level, h.ornament) for h in pattern.hits if h.limb.is_hand]
    try:
        free = stick(strokes, pattern.meters, pace=pace, player=player, hand=hand)
    except PatternError:
        return "the hands have no choice"
    least = sticking_cost(free, pattern.meters, pace=pace, player=player, hand=hand)
    return "no other hands cost less" if least == total else f"free hands could have it for {least}"
