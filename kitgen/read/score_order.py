"""The order in which written bars are played: repeats, endings, jumps.

Common practice: a stretch without a sign at its start repeats from the last repeat's end or the beginning; each
ending is played in its own passes; after a jump back (da capo, dal segno) repeats are not taken again, the last
ending is played, and the music ends at ``fine`` or goes from the coda sign to the coda.
"""

from collections.abc import Sequence

from kitgen.errors import ReadError
from kitgen.read.score_written import ScoreBar

_MOST_BARS = 20_000


def playing_order(bars: Sequence[ScoreBar]) -> tuple[int, ...]:
    """Indices of the bars in the order they are played.

    Raises:
        ReadError: a sign that leads nowhere, or repeats that never end within a sensible length.
    """
    for bar in bars:
        if bar.signs.inside:
            raise ReadError(f"bar {bar.number} has a repeat sign inside it; split the bar there, or read it folded")
    order: list[int] = []
    place: int | None = 0
    walk = _Walk(bars)
    while place is not None and place < len(bars):
        if walk.enters(place):
            order.append(place)
        if len(order) > _MOST_BARS:
            raise ReadError(f"its repeats make more than {_MOST_BARS} bars; read it folded")
        place = walk.after(place)
    return tuple(order)


class _Walk:
    """Where the reader is: which pass of which stretch, and whether a jump back has been taken."""

    def __init__(self, bars: Sequence[ScoreBar]) -> None:
        self.bars = bars
        self.start, self.turn = 0, 1
        self.jumped = False

    def enters(self, place: int) -> bool:
        """Take note of what stands at the bar's start; False if this pass leaves the bar out."""
        signs = self.bars[place].signs
        leaves_endings = place > 0 and bool(self.bars[place - 1].signs.endings) and not signs.endings
        if place != self.start and (signs.repeat_from or leaves_endings):
            self.start, self.turn = place, 1
        return not self._left_out(place)

    def after(self, place: int) -> int | None:
        """The bar that comes next; None at the end."""
        signs = self.bars[place].signs
        if self._left_out(place):
            return place + 1
        if self.jumped:
            return self._after_jump(place)
        if signs.repeat_times and self._again(place):
            self.turn += 1
            return self.start
        if signs.repeat_times and not signs.endings:
            self.start, self.turn = place + 1, 1
        if signs.da_capo or signs.dal_segno:
            self.jumped = True
            return 0 if signs.da_capo else self._find("segno", signs.dal_segno, place)
        return place + 1

    def _after_jump(self, place: int) -> int | None:
        signs = self.bars[place].signs
        if signs.fine:
            return None
        return self._find("coda", signs.to_coda, place) if signs.to_coda else place + 1

    def _left_out(self, place: int) -> bool:
        """True for an ending of another pass; after a jump, for all but the last; an ending by itself is played."""
        endings = self.bars[place].signs.endings
        if not endings:
            return False
        around = self._endings_around(place)
        if self.jumped:
            return max(endings) != max(around)
        return self.turn not in endings and 1 in around

    def _again(self, place: int) -> bool:
        """True if the stretch that ends here has another pass."""
        signs = self.bars[place].signs
        if signs.endings:
            return self.turn + 1 in self._endings_around(place)
        return self.turn < signs.repeat_times

    def _endings_around(self, place: int) -> set[int]:
        """The passes of all endings that stand side by side with this one."""
        first, last = place, place
        while first and self.bars[first - 1].signs.endings:
            first -= 1
        while last + 1 < len(self.bars) and self.bars[last + 1].signs.endings:
            last += 1
        return {turn for bar in self.bars[first : last + 1] for turn in bar.signs.endings}

    def _find(self, sign: str, name: str, place: int) -> int:
        """The bar with a sign of that name, or the only one of its kind."""
        marked = {getattr(bar.signs, sign): index for index, bar in enumerate(self.bars) if getattr(bar.signs, sign)}
        if name in marked:
            return marked[name]
        if len(marked) == 1:
            return next(iter(marked.values()))
        raise ReadError(f"bar {self.bars[place].number} leads to a {sign} that is not there; read it folded")
