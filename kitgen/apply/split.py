"""The last notes of each bar move to another limb, one more in every row."""

from collections.abc import Iterator

from kitgen.apply.hands import in_hands
from kitgen.apply.layers import holder_of, laid, stroke, together
from kitgen.apply.limb import usual_surface
from kitgen.apply.pulse import beginning
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import RefusedError
from kitgen.kit import Limb, surface
from kitgen.line import Line, Note
from kitgen.pattern import Hit, Pattern

_MOST_BARS, _FEWEST = 96, 4


def split(line: Line, setting: Setting) -> Made:
    """The line in the hands, its last note of each bar in another limb, then the last two, and so on.

    Said to a student: the rhythm does not change, only who plays the end of it; sing the line and you will hear whether
    the foot is as even as the hands. Options: ``last`` for one row with so many notes, ``limb`` they move to (the bass
    foot unless told; to a hand, and the other hand plays the rest), ``surface`` for the rest, ``under`` for limbs that
    are free. A bar with fewer notes moves all of them. Refused where no bar has so many notes. Law: every row strikes
    the line's onsets; the moving limb has exactly the last notes of each bar.
    """
    moving = setting.kit.bass_foot if setting.limb is None else setting.limb
    rows = 1 if setting.last else max(map(len, _bars(line)))
    line, notes = (line, ()) if setting.last else beginning(line, max(_FEWEST, _MOST_BARS // rows))
    bars = list(_bars(line))
    most = max(map(len, bars))
    if setting.last is not None and setting.last > most:
        raise RefusedError(
            f"--last {setting.last}: no bar of this line has so many notes; "
            f"{f'--last 1 to --last {most}' if most > 1 else '--last 1'} can be"
        )
    if held := holder_of(moving, setting, line.meters):
        raise RefusedError(
            f"the notes move to the {moving.words}, and {held} holds it; choose another --limb or --under"
        )
    label = setting.hand_surface("snare")
    to = setting.need(_moved_to(moving, label, setting))
    stays = (
        [stroke(note, moving.mirrored, label) for note in line.notes]
        if moving.is_hand
        else in_hands(line, setting, label)
    )
    numbers = (setting.last,) if setting.last else tuple(range(1, most + 1))
    made = [
        laid(
            line,
            setting,
            _row(line, bars, stays, number, moving, to),
            title=f"Last notes to the {moving.words}",
            say=_say(label, to, moving, setting.last),
            label=_label(number, most),
        )
        for number in numbers
    ]
    return made[-1]._replace(
        rows=(*made[0].rows, *(row for one in made[1:] for row in one.rows[-1:])),
        notes=(*notes, *_short_bars(bars, numbers[-1]), *made[-1].notes),
    )


def _bars(line: Line) -> Iterator[tuple[Note, ...]]:
    """The notes that start in each bar."""
    notes = list(reversed(line.notes))
    for bar in line.meters.bars:
        own = []
        while notes and notes[-1].onset < bar.end:
            own.append(notes.pop())
        yield tuple(own)


def _row(line: Line, bars: list[tuple[Note, ...]], stays: list[Hit], number: int, moving: Limb, to: str) -> list[Hit]:
    """The strokes with so many notes at the end of each bar moved."""
    last = [note for own in bars for note in own[-number:]]
    gone = {note.onset for note in last}
    moved = Pattern(tuple(stroke(note, moving, to) for note in last), line.meters)
    return list(together([hit for hit in stays if hit.onset not in gone], moved).hits)


def _moved_to(limb: Limb, rest: str, setting: Setting) -> str:
    """What the moving limb strikes: its pedal, or a tom on its hand's side that the other hand leaves free."""
    if not limb.is_hand:
        return usual_surface(limb, setting.kit)
    tom = "floor-tom" if limb == setting.kit.lead else "high-tom"
    return "snare" if tom == rest else tom


def _label(number: int, most: int) -> str:
    return "all" if number == most and most > 1 else f"last {number}" if number > 1 else "last note"


def _say(label: str, to: str, moving: Limb, last: int | None) -> str:
    what = f"the {moving.words} ({to})"
    start = f"Play the line on the {surface(label).words}"
    if last is None:
        return f"{start}; the last note of each bar moves to {what}, and in every row one more. Nothing else changes."
    many = "last note" if last == 1 else f"last {last} notes"
    return f"{start}; the {many} of each bar move{'s' if last == 1 else ''} to {what}. The rhythm stays the same."


def _short_bars(bars: list[tuple[Note, ...]], number: int) -> tuple[str, ...]:
    """What the page says about bars that have fewer notes than move."""
    short = sum(0 < len(own) < number for own in bars)
    if not short:
        return ()
    return (f"{short} bar{'s have' if short > 1 else ' has'} fewer than {number} notes: there every note moves",)


APPLICATION = Application(
    "split",
    "hands and feet",
    "the last notes of each bar move to another limb",
    split,
    uses=("last", "limb", "surface", "under"),
)
