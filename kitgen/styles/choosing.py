"""What may keep time in a part of a form and what may end a phrase, in a seed's order."""

from collections import Counter
from random import Random

from kitgen.styles.colours import moved_ride, thinned_to_two
from kitgen.styles.parts import Role, StylePattern
from kitgen.styles.play_forms import SMALL, TIME, TWO, Part
from kitgen.styles.playing import PHRASE_BARS, Playing, Time

_KEEPS_TIME = tuple(role for role in Role if role.keeps_time)
_FULLER_AT_THE_END = 0.5


class Choices:
    """What keeps time in each part and what its cues are, in the seed's order."""

    def __init__(self, playing: Playing, random: Random) -> None:
        self.playing, self.random = playing, random
        self.groove = playing.style.time_at(playing.style.nearest(playing.bpm))
        free = [item for item in playing.meant(Role.GROOVE, Role.VARIATION) if not item.sections]
        free = [item for item in free if item is not self.groove and PHRASE_BARS % item.bars == 0]
        random.shuffle(free)
        self.turns = [self.groove, *free]
        self.turn = 0
        self.used = Counter[str]()  # in the order of their last use

    def times(self, part: Part, *, last: bool) -> list[Time]:
        """What may keep time in a part, the first choice first."""
        meant = [item for item in self.playing.meant(*_KEEPS_TIME) if part.section in item.sections]
        self.random.shuffle(meant)
        usual = [self.turns[(self.turn + step) % len(self.turns)] for step in range(len(self.turns))]
        opening = usual[:1] if not self.turn and part.kind == TIME else []  # a tune begins with the groove itself
        self.turn += 1
        if last and self.random.random() < _FULLER_AT_THE_END:
            usual = [*(item for item in self.playing.meant(Role.FULLER) if not item.sections), *usual]
        times = [Time(item.name, item.pattern) for item in dict.fromkeys((*opening, *meant, *usual))]
        if part.kind == TWO:
            times = [Time(f"{one.name} in two", thinned_to_two(one.pattern)) for one in times]
        if part.section == "bridge" and not meant:
            times = [Time(f"{one.name}, the ride hand moved", moved_ride(one.pattern)) for one in times] + times
        return [one._replace(name=one.name.replace("-", " ")) for one in times]

    def cues(self, size: str, bars: int) -> list[StylePattern | None]:
        """What may end a phrase, what was heard least and longest ago first: nothing where nothing fits."""
        bar = len(self.playing.style.meter.beats)
        fills = [item for item in self.playing.meant(Role.FILL) if item.bars < bars]
        small = [item for item in fills if item.beats < bar]
        large = [item for item in fills if item.beats >= bar]
        chosen, others = (small, large) if size == SMALL else (large, small)
        chosen, others = (chosen or others), others if chosen else []
        shuffled = self.random.sample(chosen, len(chosen))
        heard = list(self.used)
        shuffled.sort(key=lambda item: (self.used[item.name], heard.index(item.name) if item.name in heard else -1))
        return [*shuffled, *sorted(others, key=lambda item: item.length), None]

    def cued(self, name: str) -> None:
        """Say that a cue has been played."""
        self.used[name] = self.used.pop(name, 0) + 1
