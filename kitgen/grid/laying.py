"""Cells laid on limbs, over what goes on."""

from collections.abc import Sequence
from math import lcm
from typing import NamedTuple

from kitgen.apply.layers import together
from kitgen.apply.limb import limb_surface
from kitgen.apply.setting import Setting
from kitgen.errors import OptionError
from kitgen.grid.cells import Cell
from kitgen.grid.ground import Ground
from kitgen.kit import Kit, Limb
from kitgen.pattern import Hit, Pattern


class Voice(NamedTuple):
    """A moving limb and what it strikes."""

    limb: Limb
    surface: str


Parts = Sequence[Cell | None]
"""What each moving limb does in one cell's time."""

Bars = Sequence[Sequence[Parts]]


def voices(limbs: Sequence[Limb], on: Kit, surface: str | None) -> tuple[Voice, ...]:
    """Moving limbs with what they strike.

    Args:
        limbs: one or two.
        on: the kit.
        surface: what the user chose; each limb's usual one when None.

    Raises:
        OptionError: no limb, more than two, or one twice; KitError: a surface a limb cannot play.
    """
    if not 1 <= len(limbs) <= 2 or len(set(limbs)) < len(limbs):
        named = "+".join(limb.name for limb in limbs) or "nothing"
        raise OptionError(f"--moving {named}; a limb moves by itself (LH) or two as a pair (RH+LH)")
    setting = Setting(kit=on, surface=surface)
    return tuple(Voice(limb, limb_surface(limb, setting)) for limb in limbs)


def laid(bars: Bars, ground: Ground, who: Sequence[Voice]) -> Pattern:
    """Bars of cells over a ground, repeated until both come out even.

    Args:
        bars: for each bar its cells' times, for each of those what each limb does.
        ground: what goes on.
        who: the moving limbs, in the order of ``bars``.

    Raises:
        RefusedError: the ground holds a limb, or hand and foot would be on the hi-hat at once.
    """
    size = len(ground.meters.bars)
    bars = [*bars] * (lcm(len(bars), size) // len(bars))
    under = ground.pattern * (len(bars) // size)
    beats, hits, index = under.meters.beats, list[Hit](), 0
    for bar in bars:
        for parts in bar:
            span = len(beats) // (len(bars) * len(bar))
            for voice, cell in zip(who, parts, strict=True):
                places = () if cell is None else cell.places
                for place in places:
                    beat = beats[index + int(place)]
                    hits.append(Hit(beat.start + place % 1 * beat.length, voice.limb, voice.surface))
            index += span
    return together(hits, under)


def cell_on_every_beat(cell: Cell, ground: Ground, who: Sequence[Voice]) -> Pattern:
    """A cell again and again in every moving limb, over a ground."""
    slots = len(ground.meters.beats) // (len(ground.meters.bars) * cell.span)
    return laid([[(cell,) * len(who)] * slots], ground, who)
