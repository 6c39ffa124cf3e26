"""The line in the hands over feet that run by themselves."""

from kitgen.apply.hands import TITLES, in_hands
from kitgen.apply.layers import laid, under_for
from kitgen.apply.ostinatos import fitted_ostinato
from kitgen.apply.pulse import listed
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import RefusedError
from kitgen.line import Line

_USUAL, _PLAIN = "samba", "bass-1-3-hat-2-4"


def over(line: Line, setting: Setting) -> Made:
    """The line in both hands over samba feet, or others.

    Said to a student: the feet are the floor you stand on; start them, talk over them, and only when you could do that
    all day let the hands play. Options: ``under`` for the feet (samba unless told; bossa, baiao, tumbao, songo, or
    plain ones), ``sticking`` (natural unless told), ``surface``. Where nobody names feet and samba does not fit the
    meter they are plain, and the page says so.

    Refused over feet that do not fit, over none, and over an ostinato for a hand. Law: the hands give the line's
    onsets; the feet, projected out, are the ostinato untouched.
    """
    usual, notes = _usual_feet(line, setting)
    under, item = under_for(setting, line.meters, usual)
    if under is None or item is None:
        raise RefusedError("--under none leaves nothing for the hands to play over; name feet, or use --as hands")
    if any(limb.is_hand for limb in under.limbs):
        raise RefusedError(
            f"{item.words} needs a hand, and here both hands play the line; name feet, such as --under {_USUAL} or "
            f"--under {_PLAIN}, or put the line in one limb with --as limb"
        )
    made = laid(
        line,
        setting,
        in_hands(line, setting, setting.hand_surface("snare"), kind=setting.sticking),
        title="Hands" if setting.sticking == "natural" else TITLES[setting.sticking],
        say="",
        label="the line",
        default=usual,
        over_say="Where hands and feet meet they sound together.",
    )
    return made._replace(notes=(*notes, *made.notes))


def _usual_feet(line: Line, setting: Setting) -> tuple[str, tuple[str, ...]]:
    """The feet where nobody names any, and what the page says about them."""
    if setting.under is not None:
        return _USUAL, ()
    try:
        fitted_ostinato(_USUAL, line.meters, setting.kit)
    except RefusedError:
        where = listed(list(dict.fromkeys(str(meter) for meter, _ in line.meters.runs)))
        return _PLAIN, (f"{_USUAL} feet do not fit {where}; here the feet are plain, and --under names others",)
    return _USUAL, ()


APPLICATION = Application(
    "over",
    "hands and feet",
    "the line in the hands over samba feet or others",
    over,
    uses=("under", "sticking", "surface"),
)
