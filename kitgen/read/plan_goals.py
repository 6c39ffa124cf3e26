"""The goals of a plan, and the setups of its parts, from the tables of its file."""

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

from kitgen.apply import APPLICATIONS, Setting
from kitgen.course.naming import KINDS, NO_STYLES, element_from
from kitgen.course.plan import Goal, Setup, Value
from kitgen.errors import OptionError, PlanError, UnknownNameError
from kitgen.kit import surface
from kitgen.pattern import Feel
from kitgen.read.kits import kit_named
from kitgen.read.plan_text import ALSO_CALLED, PlanText
from kitgen.read.players import player_named
from kitgen.read.toml_files import check_keys, is_file, shown
from kitgen.time import Meter, bpm_value

SETUP = ("meter", "tempo", "kit", "hand", "player", "swing", "swing-unit", "way", "surface")
"""The keys of a setup."""

_LINE_OPTIONS = {
    item.name.replace("_", "-"): type(item.default) if item.default is not None else str
    for item in fields(Setting)
    if item.name not in ("kit", "player", "pace", "turn", "straight", "surface")
} | {"bars": int, "form": int, "last": int, "beats": int, "title": str, "as": str, "application": str}
"""What may stand beside a line, and of what type it is."""

_ALSO_LINE = {"pattern": ("line",), "rhythm": ("line",)}
_BOXES = frozenset("xXtgfco-. |;")
_BESIDE = {"cell": ("limb", "over"), "sound": ("limb",), "ostinato": ("with",)}


def setup_of(text: PlanText, values: Mapping[str, Any], base: Setup) -> Setup:
    """A setup where it differs from another.

    Raises:
        KitgenError: a value that cannot be.
    """
    found: dict[str, Any] = {
        key.replace("-", "_"): text.number(values, key) if key == "swing-unit" else text.words(values, key)
        for key in SETUP
        if key in values
    }
    setup = replace(base, **found)
    for key in found:
        text.sought = key.replace("_", "-")
        _check(key, setup)
    text.sought = "kit" if "kit" in found else "hand"
    if {"kit", "hand"} & found.keys():
        kit = kit_named(text.beside(setup.kit), hand=found.get("hand"))
        setup = replace(setup, own_kit=kit if is_file(setup.kit) else None, hand=kit.hand)
    text.sought = "player"
    if "player" in found:
        player = player_named(text.beside(setup.player))
        setup = replace(setup, own_player=player if is_file(setup.player) else None)
    text.sought = ""
    return setup


def _check(key: str, setup: Setup) -> None:
    """Raise at a value of a setup that cannot be, but for a kit and a player, which are read."""
    if key == "meter":
        Meter.parse(setup.meter)
    elif key == "tempo":
        _check_tempo(str(setup.tempo))
    elif key in ("swing", "swing_unit"):
        if setup.swing_unit not in (8, 16):
            raise OptionError(f"swing-unit = {setup.swing_unit}; eighths swing (8), or sixteenths (16)")
        Feel.parse(setup.swing or "even", unit=setup.swing_unit)
    elif key == "way" and setup.way not in APPLICATIONS:
        raise UnknownNameError("application", setup.way, list(APPLICATIONS))
    elif key == "surface":
        surface(str(setup.surface))


def _check_tempo(words: str) -> None:
    slow, dots, rest = words.partition("..")
    start = bpm_value(slow)
    if dots and bpm_value(rest.partition(":")[0]) < start:
        raise OptionError(f'tempo = "{words}" goes down; write the slower tempo first')


def goal_of(text: PlanText, given: object, base: Setup) -> Goal:
    """One goal.

    Raises:
        KitgenError: it is none, or names what there is not.
    """
    if isinstance(given, str):
        text.sought = given
        goal = Goal(text.where, element=element_from(given), setup=base)
        text.sought = ""
        return goal
    if not isinstance(given, dict):
        raise PlanError(f"{shown(given)} is no goal; a goal is an element in quotes, or a table in braces")
    kinds = [key for key in ("style", "grid", "line", *KINDS) if key in given and key != "meter"]
    kinds += ["meter"] if "meter" in given else []
    if not kinds:
        check_keys(given, "key of a goal", ("line", "grid", "style", *KINDS), _ALSO_LINE)
        raise PlanError("a goal of nothing; it names an element, a line or a grid")
    text.sought = kinds[0]
    if kinds[0] == "style":
        raise PlanError(f"style = {shown(given['style'])}: {NO_STYLES}")
    if kinds[0] == "grid":
        return _grid(text, given, base)
    return _line(text, given, base) if kinds[0] == "line" else _element(text, given, kinds[0], base)


def _own_setup(text: PlanText, given: Mapping[str, Any], base: Setup, *, but: str = "") -> Setup:
    return setup_of(text, {key: value for key, value in given.items() if key in SETUP and key != but}, base)


def _element(text: PlanText, given: dict[str, Any], kind: str, base: Setup) -> Goal:
    check_keys(given, f"key of a goal of {kind}", (kind, *_BESIDE.get(kind, ()), *SETUP), ALSO_CALLED)
    setup = _own_setup(text, given, base, but=kind)
    text.sought = kind
    words = f"{kind} {_element_words(text, given, kind)}".rstrip()
    return Goal(text.where, element=element_from(words), setup=setup)


def _element_words(text: PlanText, given: dict[str, Any], kind: str) -> str:
    if kind == "tie":
        if given[kind] is not True:
            raise OptionError(f"tie = {shown(given[kind])}; write tie = true")
        return ""
    if kind == "rest" and type(given[kind]) is int:
        return f"{given[kind]} bars"
    value = text.words(given, kind)
    if kind in ("cell", "sound"):
        limb = text.words(given, "limb", "hands" if kind == "cell" else "")
        if not limb:
            raise OptionError(f'sound = {shown(value)}: say who plays it, such as limb = "RH"')
        value = f"{limb} {value}"
    over, other = text.words(given, "over"), text.words(given, "with")
    return value + (f" over {over}" if over else "") + (f" with {other}" if other else "")


def _line(text: PlanText, given: dict[str, Any], base: Setup) -> Goal:
    check_keys(given, "key of a goal of a line", ("line", *_LINE_OPTIONS, *SETUP), ALSO_CALLED)
    setup = _own_setup(text, given, base)
    options: dict[str, Value] = {}
    for key, kind in _LINE_OPTIONS.items():
        if key in given:
            name = "as_" if key in ("as", "application") else key.replace("-", "_")
            options[name] = _value(text, given, key, kind)
    _check_under(text, options)
    text.sought = "line"
    if (name := str(options.setdefault("as_", setup.way))) not in APPLICATIONS:
        raise UnknownNameError("application", name, list(APPLICATIONS))
    source = text.line(given, setup.meter)
    return Goal(
        text.where, line=(source.line, source.words), typed=text.words(given, "line"), options=options, setup=setup
    )


def _check_under(text: PlanText, options: Mapping[str, Value]) -> None:
    """Raise where an ostinato is typed as boxes that do not say who plays them."""
    under = options.get("under")
    if isinstance(under, str) and under and not set(under) - _BOXES:
        text.sought = "under"
        raise OptionError(
            f'under = "{under}": a row starts with its limb and surface, and rows have ; between: '
            'under = "RF bass x..x x..x; LF hat-foot ..x. ..x.", a group of boxes a beat; or give a name, such as samba'
        )


def _value(text: PlanText, given: dict[str, Any], key: str, kind: type) -> Value:
    if kind is bool:
        return text.truth(given, key)
    return text.number(given, key) if kind is int else text.words(given, key)


def _grid(text: PlanText, given: dict[str, Any], base: Setup) -> Goal:
    table = given["grid"]
    if not isinstance(table, dict):
        raise OptionError(
            f"grid = {shown(table)}; a grid says in a table of its own which limb moves, under what, in which cells: "
            'grid = { moving = "LH", under = "samba", cells = "16ths" }'
        )
    check_keys(given, "key of a goal of a grid", ("grid", *SETUP), ALSO_CALLED)
    setup = _own_setup(text, given, base)
    options: dict[str, Value] = {}
    for key, value in table.items():
        if not isinstance(value, str | int | bool):
            raise OptionError(f"grid: {key} = {shown(value)}; it is a text, a number, true or false")
        options[key.replace("-", "_")] = value
    _check_under(text, options)
    return Goal(text.where, grid=True, options=options, setup=setup)
