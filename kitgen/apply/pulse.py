"""What the applications of time itself share: the line in the hands or one limb, over feet that keep the pulse."""

from kitgen.apply.hands import in_hands
from kitgen.apply.layers import opening, together
from kitgen.apply.limb import in_one
from kitgen.apply.setting import Setting
from kitgen.errors import RefusedError
from kitgen.kit import HATS
from kitgen.line import Line
from kitgen.pattern import Hit, Pattern
from kitgen.time import Meters


def voiced(line: Line, setting: Setting) -> list[Hit]:
    """The line in the limb the user named, else in both hands with their natural sticking.

    Raises:
        KitError: a limb on a surface it cannot play; OptionError: a surface of the feet for the hands.
    """
    if setting.limb is not None:
        return in_one(line, setting, setting.limb)
    return in_hands(line, setting, setting.hand_surface("snare"))


def plain_feet(setting: Setting) -> str:
    """The plain feet under :func:`voiced`: every beat, with 2 and 4 where they are free, so that the 1 can be felt."""
    if setting.limb == setting.kit.bass_foot:
        return "hat-quarters"
    if setting.limb == setting.kit.hat_foot or setting.surface in HATS:
        return "quarters"
    return "quarters-hat-2-4"


def over(hits: list[Hit], under: Pattern | None, meters: Meters) -> Pattern:
    """Strokes over an ostinato if there is one, which stays untouched; see :func:`kitgen.apply.layers.together`."""
    return together(hits, under if under is not None else Pattern((), meters))


def beginning(line: Line, most: int) -> tuple[Line, tuple[str, ...]]:
    """As :func:`kitgen.apply.layers.opening`, where something has to be struck.

    Raises:
        RefusedError: the bars a page has room for are all rest.
    """
    first, notes = opening(line, most)
    if line.notes and not first.notes:
        raise RefusedError(
            f"a page has room for the first {most} bars of this line, and they are rest; choose others with --measures"
        )
    return first, notes


def listed(words: list[str], last: str = "and") -> str:
    """Words as a sentence holds them: ``1, 4 and 5``."""
    return f" {last} ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))
