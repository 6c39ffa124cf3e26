"""The steps by which a page is re-voiced; the rules are those of :mod:`kitgen.apply.substitute`."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction

from kitgen.apply.losses import said
from kitgen.apply.sheet import DOUBLED, LOW, Hands, Sheet, Stroke, cannot_open, plain_for, unattended
from kitgen.apply.stand_ins import BASS_IN_HAND, TIME, StandIn, stand_in
from kitgen.kit import FEET, HAND_LIMBS, HATS, SURFACES, Kit, Limb, Player
from kitgen.kit.places import crossed, steps
from kitgen.pattern import Hit, Level, Pattern


class Revoicing(Sheet):
    """The steps of re-voicing, one after the other.

    Args:
        patterns: the rows of a page, made for a full kit and four limbs.
        kit: the kit there is.
        player: who plays.
        line: the limbs that have the line; none where that is not known.
    """

    def __init__(self, patterns: Sequence[Pattern], kit: Kit, player: Player, line: frozenset[Limb]) -> None:
        super().__init__(patterns, line)
        self.kit, self.player, self.line = kit, player, line
        self.had_line = any(stroke.line for stroke in self.all())
        self.had_any = any(self.rows)
        self.for_hands: list[tuple[int, Stroke]] = []
        self.hat_line = self._hat_has_line()

    def run(self) -> None:
        """Every step, in its order."""
        gone = [foot for foot in FEET if not self.player.plays(foot)]
        if len(gone) == 1:
            self._one_foot(gone[0], gone[0].mirrored)
        elif gone:
            self._no_feet()
        for hand in HAND_LIMBS:
            if not self.player.plays(hand):
                self._one_hand(hand, hand.mirrored)
        self._other_surfaces()
        for limb in Limb:
            if not self.player.profile(limb).travels and self.player.plays(limb):
                self._stay(limb)
        self._bass_by_hand()
        self._ornaments()
        self._hat()
        self.rows = [list(self._cut(row, pattern.span)) for row, pattern in zip(self.rows, self.given, strict=True)]

    # ---- what comes out ----------------------------------------------------------------------------------------------

    def notes(self) -> tuple[str, ...]:
        """What was lost, in sentences."""
        used = self.used()
        on_hat = any(surface == "closed-hat" for _, surface in used)
        clutch = on_hat and "hat-foot" in self.kit and unattended(used, self.kit, self.player)
        return said(self.losses(), self.kit, self.player, clutch=clutch)

    def line_is_gone(self) -> bool:
        """True where nothing is left of the line, or of all there was where no limb is known to have it."""
        if self.had_line:
            return not any(stroke.line for stroke in self.all())
        return self.had_any and not any(self.rows)

    def _hat_has_line(self) -> bool:
        """True where the line is in the hat foot.

        Where no limb is known to have the line, it is there if the limbs play in turn and never two together, or if
        nothing is on the bass and the hat foot plays by itself somewhere.
        """
        hats = [stroke for stroke in self.all() if stroke.hit.surface == "hat-foot"]
        if self.line:
            return any(stroke.line for stroke in hats)
        if not hats:
            return False
        counts = [Counter(stroke.hit.onset for stroke in row) for row in self.rows]
        if all(count == 1 for row in counts for count in row.values()):
            return True
        no_bass = all(surface not in LOW for _, surface in self.used())
        return no_bass and not self._all_met("hat-foot")

    def _all_met(self, label: str) -> bool:
        """True if something else is struck at every stroke on a surface."""
        for row in self.rows:
            others = {stroke.hit.onset for stroke in row if stroke.hit.surface != label}
            if any(stroke.hit.onset not in others for stroke in row if stroke.hit.surface == label):
                return False
        return True

    # ---- feet --------------------------------------------------------------------------------------------------------

    def _one_foot(self, gone: Limb, stays: Limb) -> None:
        """One foot for two: the bass, or the hat foot where the line is there."""
        if all(limb != gone for limb, _ in self.used()):
            return
        low = [stroke for stroke in self.all() if stroke.hit.surface in LOW]
        low_line = any(stroke.line for stroke in low) if self.line else bool(low)
        bass = "floor" if "bass" not in self.kit and "floor" in self.kit else "bass"
        on_hat = "hat-foot" if stays == self.kit.hat_foot else ""
        if self.hat_line:
            keep_low, hat_to = low_line, bass if low_line else on_hat or bass
        else:
            keep_low, hat_to = True, "" if low else on_hat

        def change(_: int, stroke: Stroke) -> Stroke | None:
            hit = stroke.hit
            if hit.limb.is_hand:
                return stroke
            to = hat_to if hit.surface == "hat-foot" else hit.surface if keep_low else ""
            if not to:
                self.lose("foot-out", gone, hit.surface)
                return None
            if hit.limb == gone or to != hit.surface:
                self.lose("foot-takes", stays, hit.surface, to)
            return stroke.on(limb=stays, surface=to)

        self.each(change)
        self.rows = [list(self._one_each(row)) for row in self.rows]

    def _one_each(self, row: Iterable[Stroke]) -> Iterator[Stroke]:
        """One stroke a limb an instant, the louder of two."""
        kept: dict[tuple[Fraction, Limb], Stroke] = {}
        order = list(SURFACES)

        def first(stroke: Stroke) -> tuple[int, int, Fraction]:
            hit = stroke.hit
            return -hit.level, order.index(hit.surface), -(hit.length or Fraction(0))

        for stroke in sorted(row, key=first):
            key = stroke.hit.onset, stroke.hit.limb
            if key in kept:
                kept[key] = kept[key]._replace(line=kept[key].line or stroke.line)
                self.lose("together")
            else:
                kept[key] = stroke
        return iter(kept.values())

    def _no_feet(self) -> None:
        """The bass (and a line of the hat foot) waits for a hand; the hat foot is left out."""

        def change(row: int, stroke: Stroke) -> Stroke | None:
            if stroke.hit.limb.is_hand:
                return stroke
            if stroke.hit.surface in LOW or self.hat_line:
                self.for_hands.append((row, stroke))
            else:
                self.lose("foot-out", None, stroke.hit.surface)
            return None

        self.each(change)

    # ---- surfaces ----------------------------------------------------------------------------------------------------

    def _other_surfaces(self) -> None:
        """Stand-ins for what the kit has not, pedals first, since what the feet do decides about the hat."""
        missing = [label for label in SURFACES if label not in self.kit]
        for label in sorted(missing, key=lambda label: SURFACES[label].struck_by == "hand"):
            if any(surface == label for _, surface in self.used()):
                self._replace(label, self._stand_in(label))

    def _replace(self, label: str, item: StandIn | None) -> None:
        for_hands = label in LOW or (label == "hat-foot" and self.hat_line)
        if item is not None:
            item = item.kept_apart([stroke.hit.level for stroke in self.all() if stroke.hit.surface == label])

        def change(row: int, stroke: Stroke) -> Stroke | None:
            if stroke.hit.surface != label:
                return stroke
            if item is not None:
                self.lose("stands-in", None, label, item.label, item.words)
                return stroke.on(surface=item.label, louder=item.louder)
            if for_hands:
                self.for_hands.append((row, stroke))
            else:
                self.lose("no-stand-in", None, label)
            return None

        self.each(change)
        if item is not None and item.label in HATS:
            self._rest_hat_foot(lambda _: True)

    def _stand_in(self, label: str) -> StandIn | None:
        hat = SURFACES[label].struck_by == "foot" or self._hat_is_free(label)
        item = stand_in(label, self.kit.surfaces, hat=hat)
        if not hat and label in TIME and "snare" in self.kit:
            drum = any(not steps(surface, "snare") for _, surface in self.used())
            if not drum and all(stroke.line for stroke in self.all() if stroke.hit.surface == label):
                return StandIn("snare", "the ring")  # a line in the hand is clearer there than on a crash
        return item

    def _hat_is_free(self, label: str) -> bool:
        """True if a hand may go to the hat in place of a surface: the hat foot can hold it."""
        if "hat-foot" not in self.kit:
            return True
        used = self.used()
        both = all(self.player.plays(foot) for foot in FEET)
        if both and any(limb == self.kit.hat_foot and surface in LOW for limb, surface in used):
            return False
        if all(surface != "hat-foot" for _, surface in used):
            return True
        if self.line:
            return not any(stroke.line for stroke in self.all() if stroke.hit.surface in ("hat-foot", label))
        return self._all_met("hat-foot")

    def _rest_hat_foot(self, where: Callable[[tuple[int, Fraction]], bool]) -> None:
        def change(row: int, stroke: Stroke) -> Stroke | None:
            if stroke.hit.surface != "hat-foot" or not where((row, stroke.hit.onset)):
                return stroke
            self.lose("hat-rests", None, "hat-foot")
            return None

        self.each(change)

    # ---- hands -------------------------------------------------------------------------------------------------------

    def _one_hand(self, gone: Limb, stays: Limb) -> None:
        """One hand for two: whatever it is free for; at one instant the louder, the drum before the time."""
        for number, row in enumerate(self.rows):
            kept = [stroke for stroke in row if stroke.hit.limb != gone]
            own = {stroke.hit.onset: stroke for stroke in kept if stroke.hit.limb == stays}
            for stroke in (stroke for stroke in row if stroke.hit.limb == gone):
                moved, there = stroke.on(limb=stays), own.get(stroke.hit.onset)
                if there is None:
                    self.lose("hand-takes", gone)
                    kept.append(moved)
                elif there.hit.surface == moved.hit.surface:
                    self.lose("together")
                    kept.remove(there)
                    louder = max(there, moved, key=lambda one: one.hit.level)
                    kept.append(louder._replace(line=there.line or moved.line))
                elif _weight(moved, own=False) > _weight(there, own=True):
                    self.lose("hand-takes", gone)
                    self.lose("hand-gives", gone)
                    kept.remove(there)
                    kept.append(moved)
                else:
                    self.lose("hand-out", gone)
            self.rows[number] = kept

    def _stay(self, limb: Limb) -> None:
        """A limb that does not travel keeps to the place it plays most; a foot leaves the other pedal out."""
        counts = Counter(stroke.hit.surface for stroke in self.all() if stroke.hit.limb == limb)
        if not counts:
            return
        home = max(
            (label for label in SURFACES if counts[label]),
            key=lambda label: (sum(counts[near] for near in counts if not steps(label, near)), counts[label]),
        )

        def change(_: int, stroke: Stroke) -> Stroke | None:
            if stroke.hit.limb != limb or not steps(home, stroke.hit.surface):
                return stroke
            if limb.is_hand:
                self.lose("stays", limb, "", home)
                return stroke.on(surface=home)
            self.lose("stays-out", limb, stroke.hit.surface)
            return None

        self.each(change)

    def _bass_by_hand(self) -> None:
        """The bass that no foot plays, in hands that are free or give up a stroke of their time."""
        to = next((label for label in BASS_IN_HAND if label in self.kit), "")
        hands = [hand for hand in self._usual_first(to) if self._gets_to(hand, to)] if to else []
        rows: dict[int, Hands] = {}
        for number, stroke in sorted(self.for_hands, key=self._first):
            if number not in rows:
                rows[number] = Hands(self.rows[number], to, self.given[number].span)
            felt_only = stroke.hit.level is Level.FEATHER
            by_hand = None if felt_only else self._in_hand(rows[number], stroke, hands)
            if by_hand is None:
                self.lose("bass-out", None, stroke.hit.surface)
                continue
            self.lose("bass-in-hand", None, stroke.hit.surface, to)
            rows[number].add(stroke.on(limb=by_hand, surface=to))
        for number, own in rows.items():
            self.rows[number] = [stroke for stroke in self.rows[number] if not stroke.hit.limb.is_hand] + own.all()

    def _first(self, waiting: tuple[int, Stroke]) -> tuple[int, Fraction, bool, int, bool]:
        number, stroke = waiting
        hit = stroke.hit
        return number, hit.onset, not stroke.line, -hit.level, hit.limb != self.kit.bass_foot

    def _usual_first(self, label: str) -> tuple[Limb, Limb]:
        usual = self.kit.limb_for(label)
        return usual, usual.mirrored

    def _gets_to(self, hand: Limb, to: str) -> bool:
        """True if a hand plays, and may leave its place for a surface where it is not there already."""
        own = (surface for limb, surface in self.used() if limb == hand)
        return self.player.plays(hand) and (
            self.player.profile(hand).travels or not any(steps(surface, to) for surface in own)
        )

    def _in_hand(self, row: Hands, stroke: Stroke, hands: Sequence[Limb]) -> Limb | None:
        """The hand that plays a stroke of the bass, cleared of what it gives up."""
        onset = stroke.hit.onset
        able = [hand for hand in hands if self._reaches(hand, row.to, row.at(hand.mirrored, onset))]
        if free := [hand for hand in able if row.at(hand, onset) is None]:
            return max(free, key=lambda hand: row.room(hand, onset))
        for hand in able:
            there = row.at(hand, onset)
            if there is None or stroke.hit.level < max(Level.NORMAL, there.hit.level):
                continue
            if there.hit.surface in TIME and there.line <= stroke.line:
                row.remove(there)
                self.lose("bass-gives", hand, there.hit.surface)
                return hand
        return None

    def _reaches(self, hand: Limb, to: str, other: Stroke | None) -> bool:
        """True if a hand can be on a surface while the other hand is where it is."""
        if other is None:
            return True
        right_hand = (hand == Limb.RH) is (self.kit.hand != "left")
        right, left = (to, other.hit.surface) if right_hand else (other.hit.surface, to)
        return steps(right, left) > 0 and not crossed(right, left)

    # ---- what is left to put right -----------------------------------------------------------------------------------

    def _ornaments(self) -> None:
        struck = [{(stroke.hit.onset, stroke.hit.limb) for stroke in row} for row in self.rows]

        def change(row: int, stroke: Stroke) -> Stroke:
            hit, other = stroke.hit, stroke.hit.limb.mirrored
            why = plain_for(hit, self.player)
            if not why and hit.ornament is not None and hit.ornament.has_graces and (hit.onset, other) in struck[row]:
                why = "graces-busy"
            if not why or hit.ornament is None:
                return stroke
            limb = None if why != "singles" else hit.limb if hit.ornament in DOUBLED else other
            self.lose(why, limb, hit.ornament.value)
            return stroke.plain()

        self.each(change)

    def _hat(self) -> None:
        """The hat is open or closed, with a foot to open it, and no hand is on it where the foot strikes."""
        closed_only = cannot_open(self.used(), self.kit, self.player)
        opened = {
            (number, stroke.hit.onset)
            for number, row in enumerate(self.rows)
            for stroke in row
            if stroke.hit.surface == "open-hat" and not closed_only
        }

        def change(row: int, stroke: Stroke) -> Stroke:
            label = stroke.hit.surface
            if label == "open-hat" and closed_only:
                self.lose("no-opening", None, label, "closed-hat")
                return stroke.on(surface="closed-hat", louder=1)
            if label == "closed-hat" and (row, stroke.hit.onset) in opened:
                self.lose("hat-opened", None, label, "open-hat")
                return stroke.on(surface="open-hat")
            return stroke

        self.each(change)
        held = {
            (number, stroke.hit.onset)
            for number, row in enumerate(self.rows)
            for stroke in row
            if stroke.hit.surface in HATS
        }
        self._rest_hat_foot(held.__contains__)

    def _cut(self, row: Sequence[Stroke], span: Fraction) -> Iterator[Stroke]:
        """Strokes that are held end where their limb strikes again, also round the end."""
        for limb in Limb:
            own = sorted((stroke for stroke in row if stroke.hit.limb == limb), key=lambda one: one.hit.onset)
            for index, stroke in enumerate(own):
                hit = stroke.hit
                following = own[index + 1].hit.onset if index + 1 < len(own) else own[0].hit.onset + span
                if hit.length is not None and hit.length > following - hit.onset:
                    self.lose("cut")
                    hit = Hit(hit.onset, hit.limb, hit.surface, hit.level, hit.ornament, following - hit.onset)
                yield Stroke(hit, stroke.line)


def _weight(stroke: Stroke, *, own: bool) -> tuple[bool, bool, bool, int, bool]:
    """What one hand plays of two strokes at one instant: the greater."""
    hit = stroke.hit
    return hit.level >= Level.NORMAL, stroke.line, hit.surface not in TIME, hit.level, own
