"""Every application, in teaching order: one line each."""

from kitgen.apply import before, groove, hands, limb, linear, long_short
from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import KitError, PatternError, RefusedError, UnknownNameError
from kitgen.line import Line

APPLICATIONS: dict[str, Application] = {
    item.name: item
    for item in (
        before.APPLICATION,
        limb.APPLICATION,
        hands.APPLICATION,
        linear.APPLICATION,
        long_short.APPLICATION,
        groove.APPLICATION,
    )
}


def application(name: str) -> Application:
    """The application of that name.

    Raises:
        UnknownNameError: none; says the nearest.
    """
    try:
        return APPLICATIONS[name]
    except KeyError:
        raise UnknownNameError("application", name, list(APPLICATIONS)) from None


def apply(line: Line, name: str, setting: Setting | None = None) -> Made:
    """A line through a named application.

    Raises:
        UnknownNameError: no such application.
        RefusedError: the line does not suit it; the message is the reason.
    """
    chosen = application(name)
    if chosen.needs_notes and not line.notes:
        raise RefusedError(f"this line is all rest, and {name} needs something to play; use --as alone to count it")
    setting = setting or Setting()
    try:
        made = chosen.make(line, setting)
    except (PatternError, KitError) as error:
        raise RefusedError(f"{name} would not be playable: {error}") from error
    for _, pattern in made.rows:
        for hit in pattern.hits:
            setting.need(hit.surface)
    return made
