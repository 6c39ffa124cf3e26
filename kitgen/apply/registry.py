"""Every application, in teaching order: one line each."""

from dataclasses import replace

from kitgen.apply import (
    against,
    before,
    between,
    displace,
    figures,
    fill,
    groove,
    hands,
    hip_hop,
    latin,
    limb,
    linear,
    long_short,
    no_kit,
    over,
    over_bar,
    roles,
    rudiment,
    solo,
    split,
    stream,
    subdivide,
    swing,
    trade,
    value,
)
from kitgen.apply.setting import Application, Made, Setting
from kitgen.apply.substitute import revoiced
from kitgen.errors import KitError, PatternError, RefusedError, UnknownNameError
from kitgen.kit import SURFACES, Kit
from kitgen.line import Line

APPLICATIONS: dict[str, Application] = {
    item.name: item
    for item in (
        before.APPLICATION,
        no_kit.APPLICATION,
        limb.APPLICATION,
        roles.APPLICATION,
        hands.APPLICATION,
        rudiment.APPLICATION,
        stream.APPLICATION,
        linear.APPLICATION,
        split.APPLICATION,
        long_short.APPLICATION,
        between.APPLICATION,
        over.APPLICATION,
        groove.APPLICATION,
        swing.APPLICATION,
        hip_hop.APPLICATION,
        latin.APPLICATION,
        fill.APPLICATION,
        solo.APPLICATION,
        trade.APPLICATION,
        figures.APPLICATION,
        displace.APPLICATION,
        over_bar.APPLICATION,
        subdivide.APPLICATION,
        against.APPLICATION,
        value.APPLICATION,
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
    """A line through a named application, made for a full kit and re-voiced for the kit and the player there are.

    Raises:
        UnknownNameError: no such application.
        RefusedError: the line does not suit it; the message is the reason.
    """
    chosen = application(name)
    if chosen.needs_notes and not line.notes:
        raise RefusedError(f"this line is all rest, and {name} needs something to play; use --as alone to count it")
    setting = setting or Setting()
    own = setting.kit
    full = replace(setting, kit=Kit(own.name, tuple(SURFACES), own.hand, own.keys))
    try:
        made = chosen.make(line, full)
    except (PatternError, KitError) as error:
        raise RefusedError(f"{name} would not be playable: {error}") from error
    return revoiced(made, own, setting.player)
