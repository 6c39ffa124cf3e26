"""For a home without drums: hands on the knees, feet on the floor."""

from kitgen.apply.hands import in_hands
from kitgen.apply.layers import laid, under_for
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import RefusedError
from kitgen.line import Line
from kitgen.pattern import orchestrate

_WALK = "bass-1-3-hat-2-4"


def no_kit(line: Line, setting: Setting) -> Made:
    """The line on the knees in natural sticking, the feet walking the beat on the floor.

    Said to a student: sit as you sit at the drums; the foot of the bass drum takes 1 and 3, the other one 2 and 4,
    tapped with the toes so that the knees stay still; when the feet walk by themselves, play the line. Options:
    ``under`` for other feet, which all go to the floor. Refused over an ostinato that needs a hand.

    Law: the hands, on the knees alone, give the line's onsets; the feet, on the floor alone, every beat, one foot each.
    """
    under, item = under_for(setting, line.meters, _WALK)
    if under is not None and item is not None and any(limb.is_hand for limb in under.limbs):
        raise RefusedError(
            f"without a kit both hands are on the knees, and {item.words} needs a hand; choose feet, such as "
            "--under quarters or --under samba, or leave --under away"
        )
    knee, floor = setting.need("lap"), setting.need("floor")
    made = laid(
        line, setting, in_hands(line, setting, knee), title="No kit", say="", label="on the knees", default=_WALK
    )
    feet = {"bass": floor, "hat-foot": floor}
    rows = tuple((label.replace("ostinato", "feet"), orchestrate(row, feet)) for label, row in made.rows)
    say = "Sit with your hands on your knees and play the line there."
    if setting.under is None:
        say = (
            "Sit with your hands on your knees and let the feet walk the beat on the floor, toes only. "
            "When they walk by themselves, play the line on the knees."
        )
    elif item is not None:
        say = (
            "Sit with your hands on your knees and start the feet on the floor, toes only. "
            "When they run by themselves, play the line on the knees."
        )
    title = f"No kit, {item.title}" if item is not None and item.latin else "No kit"
    return made._replace(title=title, instruction=say, rows=rows)


APPLICATION = Application(
    "no-kit",
    "before the kit",
    "hands on the knees, feet on the floor, for a home without drums",
    no_kit,
    uses=("under",),
)
