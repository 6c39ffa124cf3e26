"""A step of a grid as a sheet: title, instruction, rows, kernels, and what the page says of unisons.

The first row is always what goes on, alone; the rest are the phrases of :mod:`kitgen.grid.phrases` in the moving limb,
or the ways of :mod:`kitgen.grid.pairs` in two.
"""

from collections.abc import Iterator, Sequence
from random import Random
from typing import NamedTuple

from kitgen.apply.losses import name_of
from kitgen.grid.against import clash_notes
from kitgen.grid.cells import Cell, said
from kitgen.grid.grids import Grid, Step, cells_in
from kitgen.grid.ground import Ground
from kitgen.grid.kernels import kernels, together_notes
from kitgen.grid.laying import Bars, Voice, cell_on_every_beat, laid
from kitgen.grid.pairs import ways
from kitgen.grid.phrases import Names, phrases
from kitgen.kit import Limb
from kitgen.page import Row
from kitgen.pattern import Pattern, project


class Sheet(NamedTuple):
    """What a page of a grid holds, apart from tempi and recipe."""

    title: str
    instruction: str
    rows: tuple[Row, ...]
    kernels: tuple[Row, ...] = ()
    notes: tuple[str, ...] = ()


def sheet_of(step: Step, grid: Grid) -> Sheet:
    """The sheet of a step.

    >>> from kitgen.grid.grids import steps_of
    >>> from kitgen.kit import kit
    >>> from kitgen.time import Meter
    >>> grid = Grid(Meter(4, 4), kit("standard"), ((Limb.LH,),), ("samba",), order="traditional")
    >>> sheet_of(steps_of(grid)[1], grid).title
    'Left hand "1" over samba'
    """
    return _building_up(step, grid) if step.cell is None else _with_cell(step, step.cell, grid)


# ---- what goes on ----------------------------------------------------------------------------------------------------


def _building_up(step: Step, grid: Grid) -> Sheet:
    """A layer of the ground: what was there, then with the new layer; its limbs to loop one by one."""
    layers = step.ground.layers[: step.layer]
    new, before = layers[-1], layers[:-1]
    limbs = [limb for limb in new.pattern.limbs if not before or limb not in before[-1].pattern.limbs]
    rows = [_row("as before", layer.pattern, grid) for layer in before[-1:]]
    rows.append(_row(f"with {new.title}" if before else new.title, new.pattern, grid, twice=not before))
    by_limb = tuple(Row(_by_itself(new.pattern, limb), project(new.pattern, limb)) for limb in limbs)
    kernels = by_limb if len(limbs) > 1 else ()
    over = " and ".join(layer.title for layer in before)
    below = ", ".join(layer.short for layer in before)
    title = f"{new.short} over {below}" if below else f"{new.title}, alone"
    say = f"Get {over} going, then add {new.title}, and stay there" if over else f"Play {new.title} over and over"
    until = "until you need not think about it"
    return Sheet(_capital(title), f"{say}, {until}.", tuple(rows), kernels, step.ground.notes)


def _by_itself(pattern: Pattern, limb: Limb) -> str:
    """A limb by itself, said by what it strikes: ``bass by itself, right foot``."""
    struck = dict.fromkeys(hit.surface for hit in pattern.hits if hit.limb == limb)
    return f"{' and '.join(map(name_of, struck))} by itself, {limb.words}"


# ---- a new cell ------------------------------------------------------------------------------------------------------


def _with_cell(step: Step, cell: Cell, grid: Grid) -> Sheet:
    ground, who = step.ground, step.voices
    moving = [voice.limb for voice in who]
    every = cell_on_every_beat(cell, ground, who)
    names = _names(grid, ground)
    over = f" over {ground.short}" if ground.layers else ""
    name = names.cells.get(cell, str(cell))
    return Sheet(
        _capital(f'{_listed(who)} "{name}"{over}'),
        _say(ground, who),
        (*_alone(ground, grid), *_rows(step, cell, grid, names)),
        tuple(Row(found.label, found.pattern) for found in kernels(every, step.fresh, moving)),
        (*ground.notes, *_notes(cell, step, grid), *_together(every, step)),
    )


def _alone(ground: Ground, grid: Grid) -> list[Row]:
    return [_row("ostinato alone", ground.pattern, grid)] if ground.layers else []


def _rows(step: Step, cell: Cell, grid: Grid, names: Names) -> Iterator[Row]:
    who, ground = step.voices, step.ground
    found: set[Pattern] = set()
    for label, bars in _labelled(step, cell, grid, names):
        pattern = laid(bars, ground, who)
        if pattern not in found:  # two ways of a pair may come to the same
            found.add(pattern)
            yield _row(label, pattern, grid)


def _labelled(step: Step, cell: Cell, grid: Grid, names: Names) -> Iterator[tuple[str, Bars]]:
    """Each row's label and what every moving limb does in it."""
    if len(step.voices) > 1:
        first, second = (voice.limb.name for voice in step.voices)
        number = next((one for one in cells_in(grid) if one.is_number), None)
        found = ways(cell, grid.slots, first=first, second=second, last=number)
        yield from ((way.label, way.bars) for way in found)
        return
    random = Random(f"{grid.seed} {step.voices} {step.ground.under} {cell}")
    for phrase in phrases(cell, step.known, grid.slots, random, names):
        yield phrase.label, [[(one,) for one in bar] for bar in phrase.bars]


def _row(label: str, pattern: Pattern, grid: Grid, *, twice: bool = False) -> Row:
    """A row played for as many bars as the grid asks, at least once."""
    return Row(label, pattern, max(1, grid.row_bars * (1 + twice) // len(pattern.meters.bars)))


def _names(grid: Grid, ground: Ground) -> Names:
    beats = range(1, len(grid.meter.beats) + 1, grid.span)
    return Names(
        {cell: said(cell, grid.meter) for cell in cells_in(grid)},
        tuple(map(str, beats)),
        "time" if ground.layers else "rest",
    )


def _say(ground: Ground, who: Sequence[Voice]) -> str:
    if not ground.layers:
        foot = "Tap your foot on the beat and count" if all(voice.limb.is_hand for voice in who) else "Count"
        return f"{foot} aloud, rests too{'; strokes that meet sound as one' if len(who) > 1 else ''}."
    moving = _listed(who) if len(who) > 1 else f"the {_listed(who)}"
    return (
        f"Get the ostinato going by itself, then add {moving} row by row. The ostinato never stops; strokes that meet "
        "sound as one."
    )


def _notes(cell: Cell, step: Step, grid: Grid) -> Iterator[str]:
    """What there is to know before: each limb's own grid, plainer names, and what stands against what."""
    if len(step.voices) > 1:
        yield f"know the grid of each {'hand' if _listed(step.voices) == 'both hands' else 'limb'} by itself first"
    if plain := cell.plain(grid.meter):
        yield f"these are {plain}, played in time with the sixes around them"
    yield from clash_notes(cell, step.ground)


def _together(every: Pattern, step: Step) -> tuple[str, ...]:
    if not step.ground.layers and len(step.voices) < 2:
        return ()
    return together_notes(every, [voice.limb for voice in step.voices])


def _listed(who: Sequence[Voice]) -> str:
    if [voice.limb for voice in who] in ([Limb.RH, Limb.LH], [Limb.LH, Limb.RH]):
        return "both hands"
    return " and ".join(voice.limb.words for voice in who)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
