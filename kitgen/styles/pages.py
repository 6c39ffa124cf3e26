"""The pages of a style: its groove in layers, variations, simpler and fuller, fills in their phrase, ways in and out.

A page has the tempi of what is on it: a start to learn at, a little under the range in which all its patterns live, and
a goal in it. A swing of ``auto`` has the ratio of the start, where the page is first heard, as on any other page; the
notes say how it narrows up to the goal and the top of the range, and a play-along through several tempi is given the
style's own feel, so that the ratio follows.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from kitgen.errors import OptionError
from kitgen.kit import HATS, PLAYERS, Limb, Player, surface
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, Pattern
from kitgen.styles.loops import loop_of
from kitgen.styles.parts import Role, StylePattern, TempoRange
from kitgen.styles.value import Style
from kitgen.time import BPM_RANGE

SECTIONS = ("groove", "variations", "simpler and fuller", "fills", "in and out")
"""The pages a style has, in order; one without patterns is left out, one with many goes over several, numbered."""

_TIMES = 4
_MOST_ROWS = 5
_STEP = 5
_SLOW = Fraction(3, 4)


def style_pages(
    style: Style,
    *,
    bpm: float | None = None,
    player: Player = PLAYERS["school"],
    recipe: Callable[[str], str] = lambda _section: "",
    heading: str = "",
) -> tuple[Page, ...]:
    """Every page of a style.

    Args:
        style: the style.
        bpm: the goal, in the style's unit; the middle of what its patterns are for when left out.
        player: whose way from the time to a fill is left room for.
        recipe: the recipe of a page, given its section.
        heading: the teacher's own heading.

    Raises:
        OptionError: a tempo the style does not live at.

    """
    if bpm is not None and not style.tempo.holds(bpm):
        raise OptionError(f"{style.title} at {bpm:g} bpm; it lives at {style.tempo}")
    made = []
    for section, instruction, patterns, rows in _numbered(_parts(style, bpm, player)):
        tempo = _tempo(style, patterns, bpm)
        feel = style.feel.resolved(tempo.quarters)
        page = Page(
            f"{style.title}: {section}",
            instruction,
            tuple(replace(row, pattern=row.pattern.with_feel(feel)) for row in rows),
            tempo,
            recipe(section),
            tuple(note.removesuffix(".") for note in style.notes) if section == SECTIONS[0] else (),
            style.count_quarters,
            style.clave.side if style.clave else None,
            heading=heading,
        )
        made.append(replace(page, notes=(*page.notes, *_said(style, section, tempo))))
    return tuple(made)


_Part = tuple[str, Sequence[StylePattern], Sequence[Row]]


def _numbered(parts: Iterator[_Part]) -> Iterator[tuple[str, str, Sequence[StylePattern], Sequence[Row]]]:
    """The pages of each section: its name, numbered where there are several, instruction, patterns and rows."""
    for section, (instruction, patterns, rows) in zip(SECTIONS, parts, strict=True):
        pages = -(-len(rows) // _MOST_ROWS)
        for page in range(pages):
            first, last = (len(rows) * turn // pages for turn in (page, page + 1))
            own = patterns[first:last] if len(patterns) == len(rows) else patterns
            yield f"{section} {page + 1}" if pages > 1 else section, instruction, own, rows[first:last]


def _parts(style: Style, bpm: float | None, player: Player) -> Iterator[_Part]:
    """Instruction, patterns and rows of each section, in the order of ``SECTIONS``."""
    groove = style.groove if bpm is None or style.groove.tempo.holds(bpm) else style.time_at(bpm)
    yield (
        f"Add a limb a row, then stay with the whole groove: {groove.words}.",
        [groove],
        list(_layers(style, groove)),
    )
    found = _meant(style.of_role(Role.VARIATION), bpm)
    yield "Play each variation until it is as easy as the groove; then change every four bars.", found, _rows(found)
    found = _meant(style.of_role(Role.SIMPLER, Role.FULLER), bpm)
    yield "Begin with the simpler one; keep the fuller one for where the band is loud.", found, _rows(found)
    fills = sorted(_meant(style.of_role(Role.FILL), bpm), key=lambda item: item.length)
    told = "Time, then the fill; what the fill lands on is the first note of the row, so play each row round and round."
    yield told, fills, [_looped(style, item, bpm, player) for item in fills]
    ways = _meant(style.of_role(Role.INTRO, Role.PICKUP, Role.ENDING), bpm)
    yield "Ways into the tune and out of it.", ways, [_looped(style, item, bpm, player) for item in ways]


def _meant(patterns: Sequence[StylePattern], bpm: float | None) -> list[StylePattern]:
    """The patterns meant for a tempo; all where none is said."""
    return [item for item in patterns if bpm is None or item.tempo.holds(bpm)]


def _layers(style: Style, groove: StylePattern) -> Iterator[Row]:
    """Feet first, then the hand that keeps time, then all; where a foot or hand adds nothing its layer is left out."""
    pattern = groove.pattern
    feet = [limb for limb in pattern.limbs if not limb.is_hand]
    layers: list[tuple[str, list[Limb]]] = [("the feet" if len(feet) > 1 else "the foot", feet)]
    if Limb.LH in pattern.limbs and Limb.RH in pattern.limbs:
        layers.append((f"with the {_sounds(pattern, Limb.RH)}", [*feet, Limb.RH]))
    for label, limbs in layers if feet else ():
        yield Row(label, pattern.with_hits(hit for hit in pattern.hits if hit.limb in limbs), _TIMES)
    yield Row(_label(style, groove), pattern, _TIMES)


def _sounds(pattern: Pattern, limb: Limb) -> str:
    labels = dict.fromkeys(hit.surface for hit in pattern.hits if hit.limb is limb)
    return "hat" if labels.keys() & HATS else " and ".join(surface(label).words for label in labels)


def _rows(patterns: Sequence[StylePattern]) -> list[Row]:
    return [Row(_named(item), item.pattern, _TIMES) for item in patterns]


def _looped(style: Style, item: StylePattern, bpm: float | None, player: Player) -> Row:
    return Row(_named(item), loop_of(style, item, bpm=item.tempo.high if bpm is None else bpm, player=player))


def _label(style: Style, item: StylePattern) -> str:
    return "the groove" if item is style.groove else _named(item)


def _named(item: StylePattern) -> str:
    """A pattern's name in plain words, where it is for, and what it is."""
    name = item.name.replace("-", " ")
    sections = [section for section in item.sections if section not in f"{name}: {item.words}"]
    where = f" ({', '.join(sections)})" if sections else ""
    return f"{name}{where}: {item.words}"


def _tempo(style: Style, patterns: Sequence[StylePattern], bpm: float | None) -> Tempo:
    """Start, goal and range of a page: where all of its patterns live, if there is such a range."""
    low = max((item.tempo.low for item in patterns), default=style.tempo.low)
    high = min((item.tempo.high for item in patterns), default=style.tempo.high)
    held = TempoRange(low, high, style.tempo.unit) if low <= high else style.tempo
    goal = _even((held.low + held.high) / 2) if bpm is None else bpm
    goal = min(max(goal, held.low), held.high)
    start = max(BPM_RANGE[0], _even(float(_SLOW) * held.low))
    return Tempo(min(start, goal), goal, held.low, held.high, held.unit)


def _even(bpm: float) -> int:
    return int(bpm) - int(bpm) % _STEP


def _said(style: Style, section: str, tempo: Tempo) -> Iterator[str]:
    """What a page says about its swing, balance, sticks, fills and sources."""
    yield from _narrowing(style.feel, tempo)
    if section == SECTIONS[0]:
        if style.leads:
            yield f"balance, loudest first: {', '.join(_led_by(style.leads))}"
        if style.sticks != ("sticks",):
            yield f"play it with {' or '.join(style.sticks)}"
        if style.micro_timing:
            yield f"measured in played music: {style.micro_timing.words} ({style.micro_timing.source})"
        yield f"source: {'; '.join(style.sources)}"
    if section.startswith("fills") and not style.crash_in_fills:
        yield "no crash in these fills, and none after them"


def _narrowing(feel: Feel, tempo: Tempo) -> Iterator[str]:
    """How a swing that follows the tempo narrows from the start over the goal to the top of the range."""
    ratios = {bpm: feel.resolved(bpm * float(tempo.unit)) for bpm in (tempo.start, tempo.goal, tempo.high)}
    if feel.ratio is None and len(set(ratios.values())) > 1:
        told = ", ".join(f"{ratio.ratio_text} at {bpm:g}" for bpm, ratio in ratios.items())
        yield f"the swing narrows as the tempo rises: {told}"


def _led_by(leads: Sequence[str]) -> Iterator[str]:
    """What leads the balance, each surface once, with its hand where the hands lead on it at two places."""
    labels = [head.split()[1] for head in leads]
    for head, label in zip(leads, labels, strict=True):
        words = surface(label).words
        yield f"{words} ({Limb[head.split()[0]].words})" if labels.count(label) > 1 else words
