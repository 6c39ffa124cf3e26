"""Long notes to bass and cymbal, short notes to the snare."""

from kitgen.apply.layers import laid, level_of, stroke
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import Limb, surface
from kitgen.line import Line, Note
from kitgen.pattern import Hit


def long_short(line: Line, setting: Setting) -> Made:
    """Long notes on the cymbal with the bass under it, short ones on the snare, as a drummer reads a horn line.

    Said to a student: read how long each note *is written*, ties and all; two units of the line or more is long,
    one unit is short even if rests follow; a dot or ``^`` makes a note short whatever it is. Options: ``surface``
    for the long notes (crash; a tom stays without harm), ``under`` for a free foot. Refused where every note is of
    one kind. Law: the strokes give the line's onsets; the bass plays exactly the long ones.
    """
    long = [note for note in line.notes if line.is_long(note)]
    if not long or len(long) == len(line.notes):
        kind = "short" if not long else "long"
        raise RefusedError(
            f"every note of this line is {kind}, so there is nothing to tell apart; "
            + (
                "write some notes longer (x- or a quarter)"
                if not long
                else "write some notes shorter (x. or an eighth)"
            )
            + ", or use --as hands or --as groove"
        )
    label = setting.hand_surface("crash", "ride", "floor-tom", "open-hat")
    if label == "snare":
        raise OptionError(
            "--surface snare would put long and short on one drum; choose a cymbal or tom for the long ones"
        )
    cymbal_hand, bass = setting.kit.limb_for(label), setting.kit.bass_foot
    hits: list[Hit] = []
    for note in line.notes:
        hits += _long(note, cymbal_hand, bass, label) if line.is_long(note) else [_short(note, setting)]
    return laid(
        line,
        setting,
        hits,
        title="Long and short",
        say=f"Long notes go to the {surface(label).words} with the bass under it, short ones to the snare. "
        "Let the long ones ring.",
        label="long and short",
    )


def _short(note: Note, setting: Setting) -> Hit:
    return stroke(note, setting.kit.weak, "snare")


def _long(note: Note, hand: Limb, bass: Limb, label: str) -> list[Hit]:
    return [stroke(note, hand, label), Hit(note.onset, bass, "bass", level_of(note))]


APPLICATION = Application(
    "long-short",
    "hands and feet",
    "long notes to cymbal and bass, short ones to snare",
    long_short,
    uses=("surface", "under"),
)
