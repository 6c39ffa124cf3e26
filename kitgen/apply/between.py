"""The line on one sound, what it leaves empty on another."""

from dataclasses import replace
from fractions import Fraction

from kitgen.apply.hands import in_hands
from kitgen.apply.layers import laid, stroke, together, under_for
from kitgen.apply.limb import usual_surface
from kitgen.apply.linear import linear_surfaces
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import Limb, surface
from kitgen.line import Line
from kitgen.line.stream import grid_of
from kitgen.pattern import Hit, Pattern
from kitgen.time import count_name

_QUARTER, _EIGHTH, _PARTIAL = Fraction(1), Fraction(1, 2), Fraction(1, 3)


def between(line: Line, setting: Setting) -> Made:
    """The line on one sound, every other place of its stream on another, so that the two make one even stream.

    Said to a student: sing the stream; the hands take the line, the foot takes what is left, and together they leave no
    hole. Options: ``limb`` for the gaps (the bass foot unless told; a hand leaves the line to the other hand),
    ``surface`` for the line, ``under`` for limbs that are free, ``in_triplets``: a line of eighths on the first and
    last partial of each beat, which leaves at least the middle ones.

    Refused where the line leaves no gap, in triplets where it is no line of eighths. Law: no two at one instant apart
    from both hands on one note of the line; line and gaps together are the whole stream; in triplets no stroke of the
    line is on a middle partial.
    """
    gaps_limb = setting.kit.bass_foot if setting.limb is None else setting.limb
    read = _in_triplets(line) if setting.in_triplets else line
    places = _partials(line) if setting.in_triplets else [at for at, _ in grid_of(line)]
    struck = set(read.onsets)
    empty = [at for at in places if at not in struck]
    if not empty:
        raise RefusedError(
            "this line strikes every place of its stream, so nothing is left between; leave some notes out, read a "
            "line of eighths with --in-triplets, or use --as hands or --as stream"
        )
    under, item = under_for(setting, line.meters, None)
    if under is not None and item is not None and gaps_limb in under.limbs:
        raise RefusedError(
            f"the {gaps_limb.words} plays the gaps, and {item.words} holds it; choose another --limb for the gaps or "
            "another --under"
        )
    hat_foot = under is not None and any(hit.surface == "hat-foot" for hit in under.hits)
    hits, gaps_label = _voices(read, empty, gaps_limb, setting, hat_foot=hat_foot)
    threes = " Long, short: the line swings by itself in triplets." if setting.in_triplets else ""
    return laid(
        read,
        setting,
        hits,
        title=f"Between{', in triplets' if setting.in_triplets else ''}: gaps in the {gaps_limb.words}",
        say=f"Play the line, and the {surface(gaps_label).words} in every gap, as one even stream.{threes}",
        label="line and gaps",
    )


def _voices(
    line: Line, empty: list[Fraction], limb: Limb, setting: Setting, *, hat_foot: bool
) -> tuple[list[Hit], str]:
    """The strokes of the line and of the gaps, and what the gaps are played on."""
    if limb.is_hand:
        usual = linear_surfaces(setting.kit, (limb, limb.mirrored), hat_foot=hat_foot)
        gaps_label, label = usual[limb], setting.hand_surface(usual[limb.mirrored])
        if gaps_label == label:
            raise OptionError(f"--surface {label} is where the gaps are; choose another one for the line")
        top = [stroke(note, limb.mirrored, label) for note in line.notes]
    else:
        gaps_label = usual_surface(limb, setting.kit)
        top = in_hands(line, setting, setting.hand_surface("snare"))
    gaps = Pattern(tuple(Hit(at, limb, setting.need(gaps_label)) for at in empty), line.meters)
    return list(together(top, gaps).hits), gaps_label


def _partials(line: Line) -> list[Fraction]:
    """Every triplet partial of every quarter, from the start of the line."""
    return [_PARTIAL * k for k in range(int(line.span / _PARTIAL))]


def _in_triplets(line: Line) -> Line:
    """A line of eighths with each "&" on the last triplet partial of its quarter, every note one partial long.

    Raises:
        RefusedError: a meter that does not count quarters, or a note that is not on an eighth.
    """
    for bar in line.meters.bars:
        if bar.meter.denominator > 4 or bar.length % _QUARTER:
            raise RefusedError(
                f"--in-triplets reads each quarter in three, and {bar.meter} does not count in quarters; leave "
                "--in-triplets away, or write the line in 4/4, 3/4 or 2/2"
            )
    for note in line.notes:
        if note.onset % _EIGHTH:
            raise RefusedError(
                f"--in-triplets needs a line of eighths, and {count_name(line.meters, note.onset)} is not on an "
                "eighth; leave --in-triplets away, or write the line at twice its note values"
            )
    thirds = (
        replace(note, onset=note.onset + (_PARTIAL / 2 if note.onset % _QUARTER else 0), length=_PARTIAL)
        for note in line.notes
    )
    return Line(tuple(thirds), line.meters, line.pickup)


APPLICATION = Application(
    "between",
    "hands and feet",
    "the line on one sound, the empty places of its stream on another",
    between,
    uses=("limb", "surface", "in_triplets", "under"),
)
