"""What an application is given and what it gives back."""

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import OptionError, RefusedError
from kitgen.kit import PLAYERS, Kit, Limb, Player, kit, surface
from kitgen.line import Line
from kitgen.pattern import EVEN, Feel, Pattern

GAPS = ("left", "filled")
STICKINGS = ("natural", "alternating", "doubles", "paradiddle", "together", "computed")
TAPS = ("tap", "bass", "double")
FILLS = ("1-beat", "2-beats", "1-bar", "2-bars")
LANDINGS = ("one", "and-of-4")
SECTIONS = ("full", "one", "saxes")
VALUES = ("twice", "half")
CLAVES = ("son", "rumba")
_MOST_PHRASE, _MOST_FORM = 16, 96


@dataclass(frozen=True)
class Setting:
    """The choices that shape an application; each uses those that concern it.

    Args:
        kit: the kit, with its hand setting.
        under: an ostinato by name, or its box rows as text; None for the application's own default.
        limb: the moving limb.
        surface: what the moving limb, the time or the long notes are played on.
        order: limbs in the order a line is passed.
        gaps: what linear passing does with empty places: ``left`` or ``filled``.
        carry: the order goes on where the line repeats, instead of starting over.
        sticking: one of ``STICKINGS``.
        half_time: the backbeat in the middle of the bar.
        rudiment: name of the rudiment laid on the line.
        taps: what fills the line's stream: one of ``TAPS``.
        last: how many of a bar's last notes move to another limb; every number in turn when None.
        in_triplets: an eighth-note line read in triplets.
        fill: one of ``FILLS``.
        phrase: bars of a phrase, 2 to 16.
        form: bars of the form the figures stand in, 1 to 96; the line's own when None.
        land: where a fill lands, one of ``LANDINGS``.
        section: who plays the figures, one of ``SECTIONS``.
        stop_time: nothing but the figures.
        against: even strokes a bar against the line (``3``), or one limb against another (``3:2``).
        beats: how many of the line's beats go over the bar.
        value: one of ``VALUES``.
        clave: one of ``CLAVES``.
        player: who plays.
        pace: quarters a minute it has to be playable at.
        straight: even, whatever the application would swing.
        turn: length of the line once through, in quarters, where it was repeated to fill bars.
    """

    kit: Kit = field(default_factory=lambda: kit("standard"))
    under: str | None = None
    limb: Limb | None = None
    surface: str | None = None
    order: tuple[Limb, ...] | None = None
    gaps: str = "left"
    carry: bool = False
    sticking: str = "natural"
    half_time: bool = False
    rudiment: str | None = None
    taps: str = "tap"
    last: int | None = None
    in_triplets: bool = False
    fill: str = "1-bar"
    phrase: int = 4
    form: int | None = None
    land: str = "one"
    section: str = "full"
    stop_time: bool = False
    against: str | None = None
    beats: int | None = None
    value: str = "twice"
    clave: str = "son"
    player: Player = PLAYERS["school"]
    pace: float = 60.0
    straight: bool = False
    turn: Fraction | None = None

    def __post_init__(self) -> None:
        for name, value, allowed in (
            ("--gaps", self.gaps, GAPS),
            ("--sticking", self.sticking, STICKINGS),
            ("--taps", self.taps, TAPS),
            ("--fill", self.fill, FILLS),
            ("--land", self.land, LANDINGS),
            ("--section", self.section, SECTIONS),
            ("--value", self.value, VALUES),
            ("--clave", self.clave, CLAVES),
        ):
            if value not in allowed:
                raise OptionError(f"{name} {value!r}; it is one of {', '.join(allowed)}")
        if self.order is not None:
            named = " ".join(limb.name for limb in self.order)
            if len(self.order) < 2 or len(set(self.order)) < len(self.order):
                what = f"--order {named}" if named else "--order is empty"
                raise OptionError(f"{what}: name two limbs or more, each once, such as RH,LH,RF")
        if not 2 <= self.phrase <= _MOST_PHRASE:
            raise OptionError(f"--phrase {self.phrase}; a phrase has 2 to {_MOST_PHRASE} bars, usually 4 or 8")
        if self.form is not None and not 1 <= self.form <= _MOST_FORM:
            raise OptionError(f"--form {self.form}; a form has 1 to {_MOST_FORM} bars, such as 12 or 32")
        if self.last is not None and self.last < 1:
            raise OptionError(f"--last {self.last}; one note or more of each bar moves")
        if self.surface is not None:
            self.need(self.surface)

    def need(self, label: str) -> str:
        """The label back, if the kit has that surface.

        Raises:
            RefusedError: it does not; says what it has.
        """
        surface(label)
        if label not in self.kit:
            raise RefusedError(f"the {self.kit.name} kit has no {label}; it has {', '.join(self.kit.surfaces)}")
        return label

    def hand_surface(self, *labels: str) -> str:
        """As :meth:`first_of`, for what a hand plays.

        Raises:
            OptionError: the user chose a surface for the feet.
        """
        label = self.first_of(*labels)
        if surface(label).struck_by != "hand":
            by_hand = (name for name in self.kit.surfaces if surface(name).struck_by == "hand")
            raise OptionError(f"--surface {label} is played with a foot; for a hand there are {', '.join(by_hand)}")
        return label

    def first_of(self, *labels: str) -> str:
        """The first of these surfaces that the kit has; a surface the user chose comes before them."""
        wanted = (self.surface,) if self.surface else labels
        for label in wanted:
            if label in self.kit:
                return label
        return self.need(labels[0])


class Made(NamedTuple):
    """What an application makes: labelled rows and words for the page.

    Args:
        title: of the page.
        instruction: one sentence to the student.
        rows: labelled patterns, in order.
        notes: what was adapted or left out, a sentence each.
        feel: how it is played unless the user says.
        count_quarters: count the quarters in cut time.
        clave: ``3-2``, ``2-3`` or None.
        speed: how many times as fast as the tempo asked for the page is counted.
    """

    title: str
    instruction: str
    rows: tuple[tuple[str, Pattern], ...]
    notes: tuple[str, ...] = ()
    feel: Feel = EVEN
    count_quarters: bool = False
    clave: str | None = None
    speed: Fraction = Fraction(1)


SWUNG = Feel(8, None)
"""Swung eighths by the ratio of the tempo."""


class Application(NamedTuple):
    """A named way to use a line.

    Args:
        name: as typed after ``--as``.
        role: its place in the teaching order.
        summary: a few words for lists.
        make: does it; raises RefusedError with the reason where the line does not suit.
        needs_notes: False for the ones that make sense of a line of rest alone.
        uses: names of the settings it heeds, apart from kit and player.
        rules: names of the checks of :mod:`kitgen.pattern.quality` its pages keep.
    """

    name: str
    role: str
    summary: str
    make: Callable[[Line, Setting], Made]
    needs_notes: bool = True
    uses: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
