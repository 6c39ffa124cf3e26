"""Every application, in teaching order: one line each."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from importlib import import_module

from kitgen.apply.setting import Application, Made, Setting
from kitgen.errors import KitError, PatternError, RefusedError, UnknownNameError
from kitgen.kit import SURFACES, Kit
from kitgen.line import Line

_NAMES = (
    "alone",
    "no-kit",
    "limb",
    "roles",
    "hands",
    "rudiment",
    "stream",
    "linear",
    "split",
    "long-short",
    "between",
    "over",
    "groove",
    "swing",
    "hip-hop",
    "latin",
    "fill",
    "solo",
    "trade",
    "figures",
    "displace",
    "over-bar",
    "subdivide",
    "against",
    "value",
)


class _Applications(Mapping[str, Application]):
    """Applications by name; the file of each, which is called like it, is loaded when it is first asked for."""

    def __getitem__(self, name: str) -> Application:
        if name not in _NAMES:
            raise KeyError(name)
        found: Application = import_module(f"kitgen.apply.{name.replace('-', '_')}").APPLICATION
        return found

    def __iter__(self) -> Iterator[str]:
        return iter(_NAMES)

    def __len__(self) -> int:
        return len(_NAMES)


APPLICATIONS: Mapping[str, Application] = _Applications()


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
    if own.surfaces == full.kit.surfaces and not setting.player.limbs:
        return made
    from kitgen.apply.substitute import revoiced  # most pages are for a full kit and four plain limbs

    there = revoiced(made, own, setting.player)
    if chosen.role == "time":
        _check_still_time(made, there, name)
    return there


def _check_still_time(before: Made, after: Made, name: str) -> None:
    """Raise where re-voicing left nothing of what the hands play, time and backbeat.

    Raises:
        RefusedError: says what was lost.
    """
    if not _by_hands(before) or _by_hands(after):
        return
    why = "; ".join(note for note in after.notes if note not in before.notes)
    raise RefusedError(
        f"nothing of the time and the backbeat would be left, only the feet ({why}); choose another --kit or --player, "
        f"or use --as limb --limb RF instead of {name}"
    )


def _by_hands(made: Made) -> bool:
    return any(hit.limb.is_hand for _, pattern in made.rows for hit in pattern.hits)
