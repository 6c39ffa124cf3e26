"""Can this player play this pattern at this tempo.

Each limb is followed through the pattern and round into its repeat: gaps between strokes against the player's rates
(one gap, three or four in a row, the mean over a bar), time to travel between surfaces, hands that cross, the foot
that holds the hi-hat, and what ornaments add: the graces of the other hand, the second stroke of a diddle, the room
of a buzz. The two graces of a drag are one rebound and count as one stroke. Rates are those of
:mod:`kitgen.kit.players`; swung patterns are tested as played. Times in milliseconds.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from math import floor, inf
from typing import NamedTuple

from kitgen.kit import HAND_LIMBS, HATS, Limb, Player
from kitgen.kit.places import BOUNCING, PLACES, crossed, steps
from kitgen.pattern.findings import Finding, in_words
from kitgen.pattern.hit import Hit, Ornament
from kitgen.pattern.swing import played_onsets
from kitgen.pattern.value import Pattern
from kitgen.time import BPM_RANGE, unit_names

_MINUTE_MS = 60_000
_GRACE_MS = 35
_PEDALS = frozenset(("bass", "floor"))
_FINE = 1.002
"""How near the fastest tempo is found where it has to be searched for."""
_NEAR = 1e-6
"""Part of a limit a gap may fall short of it: rounding, not playing."""


class _Worst(NamedTuple):
    """The worst finding of a limb and a rule, and every place it is found at."""

    found: Finding
    onsets: set[Fraction]


def playability(
    pattern: Pattern, player: Player, pace: float, *, hand: str = "right", loops: bool = True
) -> tuple[Finding, ...]:
    """What a player cannot play in a pattern, the worst of each limb and rule, in order of place.

    Args:
        pattern: what is played.
        player: who plays.
        pace: quarters a minute.
        hand: hand setting of the kit: ``right``, ``left`` (mirrored) or ``open``.
        loops: the pattern repeats without a stop.

    >>> from kitgen.kit import player
    >>> from kitgen.pattern import parse_rows
    >>> from kitgen.time import Meter
    >>> fast = parse_rows("RH snare xxxx xxxx xxxx xxxx", Meter(4, 4))
    >>> [finding.rule for finding in playability(fast, player("school"), 120)]
    ['sustained']
    """
    if not pattern.hits:
        return ()
    look = _Look(pattern, player, pace, hand, loops=loops)
    said = [
        in_words(found, player, pattern.meters, look.slower(found))._replace(places=len(onsets))
        for found, onsets in look.worst().values()
    ]
    return tuple(sorted(said, key=lambda found: (found.onset, found.limb, found.rule)))


def fastest(pattern: Pattern, player: Player, pace: float, *, hand: str = "right") -> float:
    """The fastest tempo up to ``pace``, quarters a minute, at which a player can play a pattern; 0 where none is.

    Slowing down leaves a swing of ``auto`` its ratio for the tempo it comes to.
    """
    too_fast = pace
    while pace >= 1:
        shares = [found.share for found in playability(pattern, player, pace, hand=hand)]
        if not shares:
            break
        if min(shares) <= 0:
            return 0
        too_fast, pace = pace, pace * min(*shares, 0.999)
    else:
        return 0
    while _bends(pattern) and too_fast > pace * _FINE:
        between = (pace * too_fast) ** 0.5
        if playability(pattern, player, between, hand=hand):
            too_fast = between
        else:
            pace = between
    return pace


def _bends(pattern: Pattern) -> bool:
    """True where gaps do not all grow alike as the tempo falls."""
    return pattern.feel.ratio is None or any(hit.ornament is not None for hit in pattern.hits)


class _Stroke(NamedTuple):
    """When a limb strikes what; ``extra`` for strokes an ornament adds.

    A grace is ``lead`` before its beat, ``rises`` times as much at half the tempo, but never more than ``most``.
    """

    ms: float
    surface: str
    hit: Hit
    extra: str = ""
    lead: float = 0.0
    rises: float = 0.0
    most: float = 0.0


class _Look:
    """One look at a pattern: strokes in milliseconds a limb, and the rules one after the other."""

    def __init__(self, pattern: Pattern, player: Player, pace: float, hand: str, *, loops: bool) -> None:
        self.pattern, self.player, self.pace, self.hand, self.loops = pattern, player, pace, hand, loops
        self.ms = _MINUTE_MS / pace
        onsets = [hit.onset for hit in pattern.hits]
        if pattern.feel.unit:
            moves, _ = played_onsets(pattern, tempo_bpm=pace)
            onsets = [moves[at] for at in onsets]
        self.span = float(pattern.span) * self.ms
        when = [at.numerator / at.denominator * self.ms for at in onsets]
        self.limbs: dict[Limb, list[_Stroke]] = {}
        for ms, hit in zip(when, pattern.hits, strict=True):
            self.limbs.setdefault(hit.limb, []).append(_Stroke(ms, hit.surface, hit))
        self.times = {limb: [stroke.ms for stroke in own] for limb, own in self.limbs.items()}
        self.slowed: dict[float, dict[tuple[str, Limb], _Worst]] = {}

    def worst(self) -> dict[tuple[str, Limb], _Worst]:
        """The worst finding of each rule and limb, the first of those as bad, and where else it is."""
        worst: dict[tuple[str, Limb], _Worst] = {}
        for found in self._findings():
            key = found.rule, found.limb
            known = worst.get(key)
            if known is None:
                worst[key] = _Worst(found, {found.onset})
                continue
            known.onsets.add(found.onset)
            apart = found.share - known.found.share
            if apart < -_NEAR or (apart <= _NEAR and found.onset < known.found.onset):
                worst[key] = known._replace(found=found)
        return worst

    def _findings(self) -> Iterator[Finding]:
        everything = self._with_ornaments()
        yield from self._of_profiles(everything)
        yield from self._of_hats()
        yield from self._of_crossing()
        for limb, own in everything.items():
            if not self.player.plays(limb):
                continue
            yield from self._of_room(limb, own)
            yield from self._of_gaps(limb, own)
            graced = own is not self.limbs.get(limb)
            once = [one for one, two in pairwise([*own, own[0]]) if not _one_drag(one, two)] if graced else own
            yield from self._of_runs(limb, once)

    # ---- what no tempo mends -----------------------------------------------------------------------------------------

    def _of_profiles(self, everything: dict[Limb, list[_Stroke]]) -> Iterator[Finding]:
        for limb, struck in everything.items():
            profile, own = self.player.profile(limb), self.limbs.get(limb, [])
            if profile.absent:
                yield from (_found("absent", stroke) for stroke in own)
                continue
            if not profile.travels:
                places = [PLACES[stroke.surface] for stroke in struck]
                home = max(dict.fromkeys(places), key=places.count)
                yield from (_found("stays", stroke) for stroke in struck if PLACES[stroke.surface] != home)
            for stroke in own:
                yield from self._of_ornament(limb, stroke)

    def _of_ornament(self, limb: Limb, stroke: _Stroke) -> Iterator[Finding]:
        ornament = stroke.hit.ornament
        if ornament is None:
            return
        grace_hand = limb.mirrored
        if ornament.has_graces and not self.player.plays(grace_hand):
            yield _found("graces", stroke)
        doer = grace_hand if ornament is Ornament.DRAG else limb
        rates = self.player.rates(doer)
        if ornament is not Ornament.FLAM and self.player.plays(doer):
            if self.player.profile(doer).single:
                yield _found("single", stroke)._replace(limb=doer, words=f"{ornament.value} on {stroke.surface}")
            elif ornament is Ornament.DRAG and rates.rebound is None:
                yield _found("rebound", stroke)._replace(limb=doer)

    def _of_hats(self) -> Iterator[Finding]:
        """The foot that holds the hi-hat: it cannot stamp under a hand on it, nor leave it for another pedal."""
        struck = [stroke for limb in HAND_LIMBS for stroke in self.limbs.get(limb, ()) if stroke.surface in HATS]
        if not struck:
            return
        held = {stroke.ms for stroke in struck}
        closed = sorted({stroke.ms for stroke in struck if stroke.surface == "closed-hat"})
        pedal = Limb.LF if self.hand != "left" else Limb.RF
        clutch = not self.player.plays(pedal) or not self.player.plays(pedal.mirrored)
        for limb in (Limb.RF, Limb.LF):
            soon = self.player.rates(limb).two
            for stroke in self.limbs.get(limb, ()):
                if stroke.surface in _PEDALS:
                    if limb == pedal and closed and not clutch:
                        yield from self._of_leaving(stroke, closed)
                elif stroke.ms in held:
                    yield _found("hat-held", stroke)
                else:
                    gap, _ = self._around(stroke.ms, closed)
                    if gap < soon * (1 - _NEAR):
                        yield _found("hat-soon", stroke, gap, soon)

    def _of_leaving(self, stroke: _Stroke, closed: list[float]) -> Iterator[Finding]:
        """A stroke on another pedal by the foot that holds the hat, with too little time to come and go."""
        limb = stroke.hit.limb
        before, after = self._around(stroke.ms, closed)
        need = max(self.player.rates(limb).two, self.player.travel(limb, across=steps(stroke.surface, "hat-foot") > 1))
        gap = min(before, after)
        if gap < need * (1 - _NEAR):
            yield _found("hat-left", stroke, gap, need if gap else 0.0)

    def _around(self, ms: float, times: list[float]) -> tuple[float, float]:
        """How long before and after an instant the nearest of some times are, round the loop if there is one."""
        index = bisect_left(times, ms)
        if index < len(times) and times[index] == ms:
            return 0.0, 0.0
        before = after = inf
        if index:
            before = ms - times[index - 1]
        elif times and self.loops:
            before = ms - times[-1] + self.span
        if index < len(times):
            after = times[index] - ms
        elif times and self.loops:
            after = times[0] + self.span - ms
        return before, after

    def _of_crossing(self) -> Iterator[Finding]:
        """Hands too far past each other, at one instant or within three quick strokes."""
        right, left = self.limbs.get(Limb.RH, []), self.limbs.get(Limb.LH, [])
        if not right or not left:
            return
        pairs = self._crossings({s.surface for s in right}, {s.surface for s in left})
        if not pairs:
            return
        near = self.player.hand.few * (1 - _NEAR)
        if self.loops:
            left = [
                *(stroke._replace(ms=stroke.ms - self.span) for stroke in left if stroke.ms > self.span - near),
                *left,
                *(stroke._replace(ms=stroke.ms + self.span) for stroke in left if stroke.ms < near),
            ]
        times = [stroke.ms for stroke in left]
        for stroke in right:
            for other in left[bisect_right(times, stroke.ms - near) : bisect_left(times, stroke.ms + near)]:
                if (stroke.surface, other.surface) in pairs:
                    gap = abs(stroke.ms - other.ms)
                    later = other if (other.ms, self.hand == "left") > (stroke.ms, False) else stroke
                    yield _found("crossed", later, gap, self.player.hand.few if gap else 0.0)

    def _crossings(self, right: set[str], left: set[str]) -> set[tuple[str, str]]:
        """Pairs of surfaces on which the right and the left hand cross too far."""
        if self.hand == "left":
            return {(first, second) for first in right for second in left if crossed(second, first)}
        return {(first, second) for first in right for second in left if crossed(first, second)}

    # ---- what a slower tempo mends -----------------------------------------------------------------------------------

    def _with_ornaments(self) -> dict[Limb, list[_Stroke]]:
        """The strokes of each limb with those that ornaments add."""
        added: dict[Limb, list[_Stroke]] = {}
        for limb, own in self.limbs.items():
            for index, stroke in enumerate(own):
                ornament = stroke.hit.ornament
                if ornament is None:
                    continue
                if ornament.has_graces:
                    added.setdefault(limb.mirrored, []).extend(self._graces(stroke, ornament))
                elif ornament is Ornament.DIDDLE:
                    second = stroke.ms + self._room_after(own, index) / 2
                    added.setdefault(limb, []).append(_Stroke(second, stroke.surface, stroke.hit, "diddle"))
        if not added:
            return self.limbs
        return {
            limb: sorted(
                [*self.limbs.get(limb, ()), *added.get(limb, ())], key=lambda stroke: (stroke.ms, stroke.hit.onset)
            )
            for limb in sorted({*self.limbs, *added})
        }

    def _graces(self, stroke: _Stroke, ornament: Ornament) -> Iterator[_Stroke]:
        count = 1 if ornament is Ornament.FLAM else 2
        rises = self._gap_before(stroke.ms) / 4 / count
        for turn in range(count, 0, -1):
            lead = min(_GRACE_MS, rises) * turn
            more = (ornament.value, lead, rises * turn, _GRACE_MS * turn)
            ms = stroke.ms - lead
            yield _Stroke(ms + self.span if ms < 0 and self.loops else ms, stroke.surface, stroke.hit, *more)

    def _gap_before(self, ms: float) -> float:
        """To the last stroke of either hand before an instant."""
        gap = self.span
        for limb in HAND_LIMBS:
            if times := self.times.get(limb):
                index = bisect_left(times, ms)
                gap = min(gap, ms - (times[index - 1] if index else times[-1] - self.span))
        return gap

    def _room_after(self, own: list[_Stroke], index: int) -> float:
        """What a diddle or buzz may fill: its length, else to the hand's next stroke, an eighth at most."""
        stroke = own[index]
        length = stroke.hit.length
        room = self.ms / 2 if length is None else float(length) * self.ms
        following = own[index + 1].ms if index + 1 < len(own) else own[0].ms + self.span
        return min(room, following - stroke.ms)

    def _of_room(self, limb: Limb, own: list[_Stroke]) -> Iterator[Finding]:
        """The room of each buzz."""
        few = self.player.rates(limb).few
        for index, stroke in enumerate(own):
            if stroke.hit.ornament is Ornament.BUZZ and not stroke.extra:
                room = self._room_after(own, index)
                if room < few * (1 - _NEAR) and not self.player.profile(limb).single:
                    yield _found("buzz", stroke, room, few)

    def _of_gaps(self, limb: Limb, own: list[_Stroke]) -> Iterator[Finding]:
        """Two strokes in a row: time to strike again, or to get to another surface."""
        player, rates = self.player, self.player.rates(limb)
        two, rebound = rates.two, rates.rebound
        travel = (two, max(two, player.travel(limb, across=False)), max(two, player.travel(limb, across=True)))
        slack = travel[2] if len({stroke.surface for stroke in own}) > 1 else two
        gaps = self._gaps(own)
        last = len(gaps) - 1
        for index, gap in enumerate(gaps):
            following = own[(index + 1) % len(own)]
            if gap >= slack or _one_drag(stroke := own[index], following):
                continue
            apart = steps(stroke.surface, following.surface)
            limit, room = travel[apart], 0.0
            if apart == 0 and rebound is not None and following.surface in BOUNCING and limb.is_hand:
                before = gaps[index - 1] if index or self.loops else inf
                after = gaps[(index + 1) % len(gaps)] if index < last or self.loops else inf
                room = min(before, after) if len(own) > 2 else inf
                if room >= two * (1 - _NEAR):
                    limit = rebound
            if gap < limit * (1 - _NEAR):
                part = _part(gap, limit, stroke, following)
                if room and rebound is not None and part is None:
                    part = max(gap / limit, min(gap / rebound, room / two))
                yield _found("travel" if apart else "two", following, gap, limit, part, words=stroke.surface)

    def _gaps(self, own: list[_Stroke]) -> list[float]:
        gaps = [second.ms - first.ms for first, second in pairwise(own)]
        return [*gaps, own[0].ms + self.span - own[-1].ms] if self.loops else gaps

    def _of_runs(self, limb: Limb, own: list[_Stroke]) -> Iterator[Finding]:
        """Three or four strokes in a row, and the mean over a bar."""
        rates = self.player.rates(limb)
        few, sustained = rates.few * (1 - _NEAR), rates.sustained * (1 - _NEAR)
        bars = self.pattern.meters.bars
        longest = max(bar.length for bar in bars)
        times = [stroke.ms for stroke in own]
        size = len(times)
        if self.loops:
            turns = max(1 + int(float(longest) * self.ms // self.span), -(-3 // size))
            times += [ms + self.span * turn for turn in range(1, turns + 1) for ms in times[:size]]
        last = len(times)
        one_bar = float(bars[0].length) * self.ms if len({bar.length for bar in bars}) == 1 else 0.0
        end = 0
        for index in range(size):
            now, stroke = times[index], own[index]
            if index + 2 < last:
                gaps = 2
                if index + 3 < last and (times[index + 3] - now) * 2 < (times[index + 2] - now) * 3:
                    gaps = 3
                mean = (times[index + gaps] - now) / gaps
                if mean < few:
                    part = _part(mean * gaps, rates.few * gaps, stroke, own[(index + gaps) % size])
                    yield _found("few", stroke, mean, rates.few, part)
            bar = one_bar or float(bars[self.pattern.meters.beat_at(stroke.hit.onset).bar - 1].length) * self.ms
            end = max(end, index)
            while end < last and times[end] - now < bar * (1 - _NEAR):
                end += 1
            if end < last and times[end] - now < sustained * (end - index):
                gaps = end - index
                part = _part(times[end] - now, rates.sustained * gaps, stroke, own[end % size])
                yield _found("sustained", stroke, (times[end] - now) / gaps, rates.sustained, part)

    # ---- ways out ----------------------------------------------------------------------------------------------------

    def slower(self, found: Finding) -> str:
        """The way out by tempo, in words; empty where no tempo would do."""
        if not found.limit:
            return ""
        unit = self.pattern.meters.bars[0].meter.tempo_unit
        bpm = floor(self.pace * found.share / float(unit) + _NEAR)
        while _bends(self.pattern) and bpm >= BPM_RANGE[0]:
            still = self._slowed(bpm * float(unit)).get((found.rule, found.limb))
            if still is None:
                break
            bpm = min(bpm - 1, floor(bpm * still.found.share + _NEAR))
        if bpm < BPM_RANGE[0]:
            return ""
        beats = unit_names(unit)
        return f"play it at {bpm} {beats} a minute or slower"

    def _slowed(self, pace: float) -> dict[tuple[str, Limb], _Worst]:
        """What is found at another tempo."""
        if pace not in self.slowed:
            self.slowed[pace] = _Look(self.pattern, self.player, pace, self.hand, loops=self.loops).worst()
        return self.slowed[pace]


def _found(
    rule: str, stroke: _Stroke, gap: float = 0.0, limit: float = 0.0, part: float | None = None, *, words: str = ""
) -> Finding:
    limb = stroke.hit.limb
    if stroke.extra in ("flam", "drag"):
        limb = limb.mirrored
    words = f"{words} to {stroke.surface}" if words and words != stroke.surface else stroke.surface
    return Finding(rule, limb, stroke.hit.onset, gap, limit, words, part=part)


def _one_drag(first: _Stroke, second: _Stroke) -> bool:
    """True for the two graces of one drag: they are one rebound, as close as they like."""
    return first.extra == second.extra == "drag" and first.hit is second.hit and first.ms < second.ms


def _part(gap: float, limit: float, first: _Stroke, last: _Stroke) -> float | None:
    """What part of the tempo makes a gap as long as its limit; None where it grows as the tempo falls, as most do."""
    if not first.most and not last.most:
        return None
    plain = gap - first.lead + last.lead
    if plain < (_NEAR if first.most and last.most else -_NEAR):
        return 0.5  # a diddle's second stroke in among the graces of the next: slower it comes before them
    slower = 1.0
    for _ in range(8):  # each turn is exact once it is on the right side of where the graces stop growing
        now, grows = plain * slower, plain
        for stroke, sign in ((first, 1), (last, -1)):
            now += sign * min(stroke.most, stroke.rises * slower)
            grows += sign * stroke.rises * (stroke.rises * slower < stroke.most)
        if plain < _NEAR:
            return 0.0
        slower = slower * 2 if grows < _NEAR else slower + (limit - now) / grows
    return 1 / slower
