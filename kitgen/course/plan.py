"""A plan as values: what a class knows, and what it is to learn, in chapters of goals.

The file (read by :mod:`kitgen.read.plans`) is TOML::

    title = "Samba feet and the left hand"
    heading = "Alder Bay Middle School, percussion class, spring"
    known = ["sound LH snare", { line = "1 & 2 &", limb = "LH" }, { course = "rhythm", to = "Eighth notes" }]
    meter = "4/4"
    player = "school"

    [[chapter]]
    title = "Samba feet"
    order = "free"
    rests = true
    review = true
    goals = [
        "ostinato samba",
        { cell = "x.xx", limb = "LH", over = "samba" },
        { line = "1 & 2 e & a 3 4 &", as = "linear", order = "RH,LH,RF" },
        { grid = { moving = "LH", under = "samba", cells = "16ths" } },
    ]

Of a plan: ``title``, ``heading`` (any text of one line, on every page), ``known``, ``seed``, chapters, and a setup. Of
a chapter: ``title``, ``goals``, ``order`` (``written``, or ``free``: the order that takes fewest bridging pages),
``rests`` and ``review`` (a page of long rests, a page to be graded, at its end; false unless said), and a setup of its
own where it differs from the plan's. Bridges come in the usual order of teaching
(:mod:`kitgen.course.teaching`), and easier cells that a line of the chapter needs anyway before a harder one.

A setup: ``meter``, ``tempo`` (``60..90``; the usual ones unless said), ``kit``, ``hand``, ``player``, ``swing``,
``swing-unit``, ``way`` (the application that lines are laid on the kit by: hands unless said) and ``surface``. A goal
may have these as well.

A goal is an element in its own words, or in a table: ``{ cell = "x.xx", limb = "LH", over = "samba" }``,
``{ sound = "ride", limb = "RH" }``, ``{ ostinato = "samba" }`` (``with`` names a second), ``{ meter = "3/4" }``,
``{ value = "half" }``, ``{ rest = "eighth" }``, ``{ rest = "4 bars" }``, ``{ application = "groove" }``,
``{ feel = "swing eighths" }``, ``{ ornament = "flam" }``, ``{ contrast = "soft-accent" }``, ``{ change = "3-4" }``,
``{ against = "3:2" }``, ``{ tie = true }``, ``{ parts = "RH+LH+RF" }``, ``{ turns = "RH+LH+RF" }``; the
page that introduces it is composed. Or it is a line: ``as`` names its application (``way`` unless said), and every
option of ``kitgen apply`` that shapes a page may stand there by its name. Or it is a grid, with the options of
``kitgen grid``.

Known are elements; the cells of a line (``limb`` is ``hands`` unless said); or what a course brings, or another plan
(``{ plan = "first-term.toml" }``), all of it or up to the end of a chapter (``to``). Files are looked for beside the
plan. Elements and what they teach are told by :mod:`kitgen.page.elements` and :mod:`kitgen.page.progress`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from kitgen.kit import Kit, Player, kit, player
from kitgen.line import Line

ORDERS = ("written", "free")
Value = str | int | bool


@dataclass(frozen=True)
class Setup:
    """What pages of a plan share, by the words of the options of ``kitgen apply``.

    Args:
        meter: the meter of lines.
        tempo: beats a minute as typed, ``60..90``; None for the usual.
        kit: a kit's name.
        hand: hand setting of the kit.
        player: who has to be able to play it.
        swing: ``even``, ``2:1`` or ``auto``; None for what the application does.
        swing_unit: what swings, 8 or 16.
        way: the application that lines are laid on the kit by.
        surface: what lines are played on; None for the usual.
        own_kit: the kit, where its name is a file's.
        own_player: the player, where its name is a file's.
    """

    meter: str = "4/4"
    tempo: str | None = None
    kit: str = "standard"
    hand: str = "right"
    player: str = "school"
    swing: str | None = None
    swing_unit: int = 8
    way: str = "hands"
    surface: str | None = None
    own_kit: Kit | None = None
    own_player: Player | None = None

    @property
    def on(self) -> Kit:
        """The kit itself."""
        return self.own_kit or kit(self.kit, hand=self.hand)

    @property
    def by(self) -> Player:
        """The player."""
        return self.own_player or player(self.player)


@dataclass(frozen=True)
class Goal:
    """Something to be learned or played: an element, a line, or a grid; one of the three is there.

    Args:
        where: where the plan has it, for messages: ``chapter 2 (Samba feet), goal 3``.
        element: the element.
        line: a line, with the words recipes have for it.
        typed: the line as the plan has it.
        grid: True for a grid.
        options: what shapes a page of a line (with ``as_``), or a grid, by option name.
        setup: of its pages.
    """

    where: str
    element: str = ""
    line: tuple[Line, str] | None = None
    typed: str = ""
    grid: bool = False
    options: Mapping[str, Value] = field(default_factory=dict, hash=False)
    setup: Setup = Setup()

    @property
    def words(self) -> str:
        """What it is, in a few words."""
        if self.element:
            return self.element
        if self.line is None:
            return f"the grid of {self.options.get('moving', 'a limb')} over {self.options.get('under', 'feet')}"
        return f"the line {self.typed or self.line[1]} as {self.options.get('as_', self.setup.way)}"


@dataclass(frozen=True)
class KnownLine:
    """A line whose cells a class knows in a voice (``hands``, or a limb)."""

    line: Line
    voice: str = "hands"


@dataclass(frozen=True)
class KnownCourse:
    """A course or plan a class has been through, all of it or up to the end of a chapter."""

    plan: "Plan"
    to: str | None = None


Known = str | KnownLine | KnownCourse


@dataclass(frozen=True)
class Chapter:
    """Goals that belong together.

    Args:
        title: one line.
        goals: one or more.
        order: ``written``, or ``free``.
        rests: a page of long rests at its end.
        review: a page to be graded at its end, with nothing new.
        setup: of its pages of rests and review.
    """

    title: str
    goals: tuple[Goal, ...]
    order: str = "written"
    rests: bool = False
    review: bool = False
    setup: Setup = Setup()


@dataclass(frozen=True)
class Plan:
    """What a class knows and is to learn.

    Args:
        title: one line.
        chapters: one or more, in order.
        known: what is taken for granted.
        heading: the teacher's own, on every page.
        seed: of everything that is composed.
        setup: what its chapters start from.
    """

    title: str
    chapters: tuple[Chapter, ...]
    known: tuple[Known, ...] = ()
    heading: str = ""
    seed: int = 0
    setup: Setup = Setup()
