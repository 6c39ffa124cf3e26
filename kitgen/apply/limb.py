"""One limb plays the line while the others keep an ostinato."""

from kitgen.apply.layers import laid, stroke
from kitgen.apply.setting import Application, Made, Setting
from kitgen.kit import Kit, Limb, kit, surface
from kitgen.line import Line
from kitgen.pattern import Hit, Pattern

_FEET_FOR_HANDS = "quarters-hat-2-4"
_RIDE_FOR_FEET = "ride-rock"


def in_limb(line: Line, limb: Limb | str, label: str | None = None) -> Pattern:
    """The line in one limb: accents stay, one grace note becomes a flam and more a drag.

    Args:
        line: the line.
        limb: RH, LH, RF or LF.
        label: the surface it strikes; the limb's usual one on a right-handed kit when left out.

    >>> in_limb(Line.parse("1 & 2 3 4"), "LH").limbs
    (<Limb.LH: 1>,)
    """
    limb = Limb.parse(limb)
    label = label or usual_surface(limb, kit("standard"))
    return Pattern(tuple(stroke(note, limb, label) for note in line.notes), line.meters)


def usual_surface(limb: Limb, on: Kit) -> str:
    """What a limb plays when nobody says: ride (or hat), snare, bass, hat foot."""
    if limb.is_hand:
        return ("ride" if "ride" in on else "closed-hat") if limb == on.lead else "snare"
    return "bass" if limb == on.bass_foot else "hat-foot"


def limb_surface(limb: Limb, setting: Setting) -> str:
    """What a limb strikes: the surface the user chose, else its usual one.

    Raises:
        KitError: a surface it cannot play.
    """
    label = setting.need(setting.surface or usual_surface(limb, setting.kit))
    surface(label).check_limb(limb)
    return label


def in_one(line: Line, setting: Setting, limb: Limb) -> list[Hit]:
    """The line's notes in one limb, on what :func:`limb_surface` says."""
    label = limb_surface(limb, setting)
    return [stroke(note, limb, label) for note in line.notes]


def limb(line: Line, setting: Setting) -> Made:
    """The line in the moving limb, an ostinato in the others that never breaks.

    Said to a student: get the ostinato going by itself, then let the line ride on top of it; strokes that meet are
    together, no flam. Options: ``limb`` (the hand that does not ride, unless told), ``surface``, ``under``. Refused
    where the ostinato holds the moving limb. Law: the ostinato's limbs, projected out, give the ostinato back.
    """
    moving = setting.kit.weak if setting.limb is None else setting.limb
    return laid(
        line,
        setting,
        in_one(line, setting, moving),
        title=moving.words.capitalize(),
        say="Play the line evenly.",
        label=f"line in {moving.name}",
        default=_FEET_FOR_HANDS if moving.is_hand else _RIDE_FOR_FEET,
        over_say="Where strokes meet they sound together.",
    )


APPLICATION = Application(
    "limb", "one limb", "the line in one limb over an unbroken ostinato", limb, uses=("limb", "surface", "under")
)
