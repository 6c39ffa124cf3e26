"""How the lines of a page are laid on the kit: an application and its setting, in which voice, over what.

The elements of what is laid are read from its notes like those of any page; nothing is declared.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from kitgen.apply import OSTINATOS, Setting, apply, fitted_ostinato, known_ostinatos
from kitgen.apply.limb import usual_surface
from kitgen.apply.ostinatos import Ostinato
from kitgen.apply.setting import SWUNG
from kitgen.course.plan import Setup
from kitgen.errors import KitgenError
from kitgen.kit import HAND_LIMBS, Kit, Limb, surface
from kitgen.line import Line
from kitgen.page import Page, Row, Tempo, elements_of
from kitgen.page.progress import WITH
from kitgen.pattern import EVEN, Feel, Hit, Pattern
from kitgen.pattern.boxes import rows_of
from kitgen.time import Meter, Meters

HANDS, TOGETHER = "hands", "RH+LH"
_BARS_ALONE = 4
RINGING = ("crash", "crash-2", "splash", "china")
"""Cymbals that are struck now and then, and left to ring."""
ALONE = "ostinato alone"
"""What the row of an ostinato by itself is called, on applied pages and on these."""


@dataclass(frozen=True)
class Way:
    """A way to lay lines.

    Args:
        name: the application.
        voice: whose cells it makes: ``hands``, ``RH+LH``, or a limb.
        setting: kit, player, and what the application heeds.
        over: the ostinato under the lines, empty for none.
        held: the strokes carry the written lengths of the line.
        by_beat: hands alternate by the beat, so that every bar starts with the same one.
        feel: of every row.
    """

    name: str
    voice: str
    setting: Setting
    over: str = ""
    held: bool = False
    feel: Feel = EVEN
    by_beat: bool = False

    def lay(self, line: Line) -> Pattern:
        """A line as the row it becomes.

        Raises:
            RefusedError: it does not suit.
        """
        return self._finished(apply(line, self.name, self.setting).rows[-1][1], line)

    def alone(self, line: Line) -> Row | None:
        """The row of the ostinato by itself; None where there is none."""
        (label, pattern), *others = apply(line, self.name, self.setting).rows
        times = max(1, _BARS_ALONE // len(pattern.meters.bars))
        return Row(label, pattern.with_feel(self.feel), times) if others else None

    def _finished(self, pattern: Pattern, line: Line) -> Pattern:
        if self.held:
            lengths = {note.onset: note.length for note in line.notes}
            pattern = pattern.with_hits(
                replace(hit, length=lengths[hit.onset]) if hit.limb in self.limbs else hit for hit in pattern.hits
            )
        if self.by_beat:
            pattern = hand_to_hand(pattern, self.setting.kit.lead)
        return pattern.with_feel(self.feel)

    @property
    def limbs(self) -> tuple[Limb, ...]:
        """The limbs that play the line."""
        return HAND_LIMBS if self.voice in (HANDS, TOGETHER) else (Limb[self.voice],)

    def cell(self, boxes: str) -> str:
        """A cell as an element of this way's voice."""
        return f"cell {self.voice} {boxes}" + (f" over {self.over}" if self.over else "")


def hand_to_hand(pattern: Pattern, lead: Limb) -> Pattern:
    """Strokes of hands one to a beat, the leading hand on beats 1 and 3, the other on 2 and 4; others as they are.

    Args:
        pattern: strokes of hands between the beats leave all of it as it is.
        lead: the hand that starts each bar.
    """
    by_beat = dict[Fraction, Limb]()
    for beat in pattern.meters.beats:
        by_beat[beat.start] = lead if beat.number % 2 else lead.mirrored
    if any(hit.onset not in by_beat for hit in pattern.hits if hit.limb.is_hand):
        return pattern
    return pattern.with_hits(replace(hit, limb=by_beat[hit.onset]) if hit.limb.is_hand else hit for hit in pattern.hits)


def setting_of(setup: Setup, kit: Kit, **chosen: object) -> Setting:
    """The setting of a setup, with what is chosen for one way."""
    return replace(Setting(kit=kit, player=setup.by), **chosen)  # type: ignore[arg-type]  # names of fields


def way_of(
    setup: Setup,
    voice: str | None,
    known: Collection[str],
    *,
    over: str = "",
    surface: str = "",
    sticking: str = "natural",
) -> Way | None:
    """How a voice plays lines in a setup.

    Args:
        setup: says kit, player and the way of its lines.
        voice: ``hands``, ``RH+LH`` or a limb; the setup's own when None.
        known: elements, among them the sounds a limb has met.
        over: an ostinato.
        surface: what it plays on; what the setup says, else what it knows, where empty.
        sticking: of hands that act as one.
    """
    kit = setup.on
    if voice is None:
        voice = kit.lead.name if setup.way in ("alone", "limb") else HANDS
    if setup.way == "alone" and voice == kit.lead.name and not over and surface in ("", "clap"):
        return Way("alone", voice, setting_of(setup, kit, surface=setup.surface))
    feel = SWUNG if over and any(OSTINATOS[name].swings for name in over.split(WITH) if name in OSTINATOS) else EVEN
    if voice in (HANDS, TOGETHER):
        label = surface or setup.surface
        kind = sticking if voice == HANDS else "together"
        name = "over" if over else "hands"
        under = under_words(over, setup) if over else None
        setting = setting_of(setup, kit, surface=label, sticking=kind, under=under)
        return Way(name, voice, setting, over, feel=feel, by_beat=kind == "alternating")
    if voice not in Limb.__members__:
        return None
    limb = Limb[voice]
    label = surface or _surface_for(limb, setup, kit, known)
    under = under_words(over, setup) if over else "none"
    return Way("limb", voice, setting_of(setup, kit, limb=limb, surface=label, under=under), over, feel=feel)


def _surface_for(limb: Limb, setup: Setup, kit: Kit, known: Collection[str]) -> str:
    """What a limb plays on: the setup's surface if it can, its usual one if it is known, else one it knows."""
    if setup.surface is not None and (surface(setup.surface).struck_by == "hand") == limb.is_hand:
        return setup.surface
    usual = usual_surface(limb, kit)
    heard = [label for label in kit.surfaces if f"sound {limb.name} {label}" in known]
    heard.sort(key=lambda label: label in RINGING)
    return usual if usual in heard or not heard else heard[0]


def under_words(over: str, setup: Setup) -> str:
    """What a setting is told to lay lines over: an ostinato's name, or the rows of two that are kept at once.

    Raises:
        KitgenError: no such ostinato, one that does not fit the meter, or two that need one limb for different things.
    """
    if WITH not in over:
        return over
    whole = kept_at_once([pattern for pattern, _ in ostinatos_named(over, setup)])
    return "; ".join(f"{row.head} {' '.join(row.groups)}" for row in rows_of(whole, counts=False))


def ostinatos_named(names: str, setup: Setup) -> list[tuple[Pattern, Ostinato]]:
    """The ostinatos of an element, ``hat-2-4 with ride-rock``, for a bar.

    Raises:
        KitgenError: no such ostinato, or one that does not fit the meter.
    """
    meters = Meters.of(Meter.parse(setup.meter))
    return [fitted_ostinato(name, meters, setup.on) for name in names.split(WITH)]


def kept_at_once(patterns: Sequence[Pattern]) -> Pattern:
    """Patterns of one length at once; what several of them strike is struck once, as softly as any has it."""
    hits = dict[tuple[Fraction, Limb, str], Hit]()
    for hit in sorted((hit for pattern in patterns for hit in pattern.hits), key=lambda hit: hit.level):
        hits.setdefault((hit.onset, hit.limb, hit.surface), hit)
    return Pattern(tuple(hits.values()), patterns[0].meters)


@lru_cache(maxsize=64)
def _ostinatos(meter: Meter, kit: Kit) -> dict[str, Pattern]:
    return known_ostinatos(Meters.of(meter), kit)


def elements(page: Page, kit: Kit, application: str | None = None) -> tuple[str, ...]:
    """The elements of a page, its ostinatos looked for as the kit is set."""
    return elements_of(page, ostinatos=_ostinatos(page.bars[0].meter, kit), application=application)


@lru_cache(maxsize=16384)
def line_elements(way: Way, line: Line) -> frozenset[str] | None:
    """The elements of whole bars of a line laid by itself; None where it cannot be laid."""
    try:
        pattern = way.lay(line)
    except KitgenError:
        return None
    page = Page("a line", "", (Row("line", pattern),), Tempo.at(60, Fraction(1)))
    return frozenset(elements(page, way.setting.kit))
