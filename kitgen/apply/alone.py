"""Before the kit: the line by itself."""

from kitgen.apply.layers import stroke
from kitgen.apply.ostinatos import fitted_ostinato
from kitgen.apply.setting import Application, Made, Setting
from kitgen.line import Line
from kitgen.pattern import Hit, Pattern


def alone(line: Line, setting: Setting) -> Made:
    """The line clapped (or on a pad) while the foot keeps the pulse.

    Said to a student: count out loud, tap the beat with your foot, clap what is written; hold long rests by counting
    bars. Options: ``surface`` for a pad or drum instead of the clap. Law: the hands give the line's onsets; the foot
    is on every beat.
    """
    label = setting.hand_surface("clap", "snare")
    hand, kit = setting.kit.lead, setting.kit
    pulse, _ = fitted_ostinato("quarters", line.meters, kit)
    foot = setting.need("floor") if label == "clap" and "floor" in kit else "bass"
    feet = [Hit(hit.onset, hit.limb, foot, hit.level) for hit in pulse.hits]
    hits = [stroke(note, hand, label) for note in line.notes]
    return Made(
        "The line alone",
        "Count out loud, keep the beat with the foot, and play the line.",
        (("the line", Pattern((*hits, *feet), line.meters)),),
    )


APPLICATION = Application(
    "alone",
    "before the kit",
    "the line clapped or on a pad, pulse in the foot",
    alone,
    needs_notes=False,
    uses=("surface",),
)
