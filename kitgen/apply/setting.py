"""What an application is given and what it gives back."""

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from kitgen.errors import OptionError, RefusedError
from kitgen.kit import Kit, Limb, kit, surface
from kitgen.line import Line
from kitgen.pattern import Pattern

GAPS = ("left", "filled")
STICKINGS = ("natural", "alternating", "doubles", "paradiddle", "together")


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
    turn: Fraction | None = None

    def __post_init__(self) -> None:
        for name, value, allowed in (("--gaps", self.gaps, GAPS), ("--sticking", self.sticking, STICKINGS)):
            if value not in allowed:
                raise OptionError(f"{name} {value!r}; it is one of {', '.join(allowed)}")
        if self.order is not None:
            named = " ".join(limb.name for limb in self.order) or "nothing"
            if len(self.order) < 2 or len(set(self.order)) < len(self.order):
                raise OptionError(f"--order {named}: name two limbs or more, each once, such as RH,LH,RF")
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
    """What an application makes: labelled rows and words for the page."""

    title: str
    instruction: str
    rows: tuple[tuple[str, Pattern], ...]
    notes: tuple[str, ...] = ()
    swings: bool = False
    count_quarters: bool = False


class Application(NamedTuple):
    """A named way to use a line.

    Args:
        name: as typed after ``--as``.
        role: its place in the teaching order.
        summary: a few words for lists.
        make: does it; raises RefusedError with the reason where the line does not suit.
        needs_notes: False for the ones that make sense of a line of rest alone.
        uses: names of the settings it heeds, apart from the kit.
    """

    name: str
    role: str
    summary: str
    make: Callable[[Line, Setting], Made]
    needs_notes: bool = True
    uses: tuple[str, ...] = ()
