"""A player from a TOML file.

Keys: ``name``; ``level`` (beginner, school or advanced, the player everything else starts from; school when left out);
tables ``[hand]`` and ``[foot]`` with any of ``sustained``, ``few``, ``two`` and ``rebound`` in milliseconds (``false``
for no rebound); ``[travel]`` with ``next-drum`` and ``across`` in milliseconds; a table a limb, ``[limbs.LF]``, with
any of ``absent`` (``true``), ``slow`` (``true`` for half as long again, or how many times as long), ``single-strokes``
(``true``) and ``travel`` (``false`` for a limb that stays on one surface).
"""

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from kitgen.errors import KitError, KitgenError, OptionError, ReadError, UnknownNameError
from kitgen.kit import PLAYERS, Limb, LimbProfile, Player, Rates, player
from kitgen.kit.players import SLOW
from kitgen.read.toml_files import check_keys, is_file, shown, values_of, words_of

_WHAT = "a player"
_KEYS = ("name", "level", "hand", "foot", "travel", "limbs")
_RATES = ("sustained", "few", "two", "rebound")
_WAYS = ("next-drum", "across")
_PROFILE = ("absent", "slow", "single-strokes", "travel")
_LIMBS = tuple(limb.name for limb in Limb)
_ALSO_CALLED = {
    "hands": ("hand",),
    "feet": ("foot",),
    "limb": ("limbs",),
    "travels": ("travel",),
    "single": ("single-strokes",),
    "singles": ("single-strokes",),
    "double": ("rebound",),
    "doubles": ("rebound",),
    "next": ("next-drum",),
    "missing": ("absent",),
}
_MANY = "milliseconds, such as 150"


def player_named(given: str) -> Player:
    """A built-in player by name, or one from a TOML file.

    Args:
        given: ``beginner``, ``school``, ``advanced`` or a path ending in .toml.

    Raises:
        UnknownNameError: no such player; ReadError: a file that is no player.
    """
    return read_player(Path(given)) if is_file(given) else player(given)


def player_words(given: str) -> tuple[str, tuple[str, ...]]:
    """How a player is named in a recipe, its name or its file's, and the file's name and hash if it is in one.

    Raises:
        ReadError: a file that cannot be read.
    """
    return words_of(given, _WHAT)


def read_player(path: Path) -> Player:
    """A player from a file.

    Raises:
        ReadError: names the file, the key and what is allowed.
    """
    values = values_of(path, _WHAT)
    try:
        return _player_of(values, path.stem)
    except KitgenError as error:
        raise ReadError(f"{path}: {error}") from error


def _player_of(values: Mapping[str, Any], stem: str) -> Player:
    check_keys(values, "key of a player file", _KEYS, _ALSO_CALLED)
    level = values.get("level", "school")
    if not isinstance(level, str):
        raise OptionError(f"level = {shown(level)}; it is one of {', '.join(PLAYERS)}, in quotes")
    if level not in PLAYERS:
        raise UnknownNameError("level", level, list(PLAYERS))
    base = PLAYERS[level]
    ways = _table(values, "travel", _WAYS, "milliseconds a hand or foot needs to another surface")
    limbs = _table(values, "limbs", None, "[limbs.LF] and the like, with what is special about that limb")
    next_drum, across = (
        _number(ways[key], f"[travel] {key}", _MANY) if key in ways else usual
        for key, usual in zip(_WAYS, (base.next_drum, base.across), strict=True)
    )
    name, limbs_said = _name(values.get("name", stem)), _profiles(limbs)
    hand, foot = (_rates(values, key, rates, level) for key, rates in (("hand", base.hand), ("foot", base.foot)))
    try:
        found = Player(name, hand, foot, next_drum, across, limbs_said)
    except KitError as error:  # names, rates and limbs have been looked at
        raise OptionError(f"[travel]: {error}") from error
    for limb, profile in found.limbs:
        try:
            found.rates(limb)
        except KitError as error:
            raise OptionError(f"[limbs.{limb.name}] slow = {profile.slow:g}: {error}") from error
    return found


def _name(given: object) -> str:
    if not isinstance(given, str) or not given.strip() or not given.isprintable():
        raise OptionError(f"name = {shown(given)}; a name is one line of text in quotes")
    return given.strip()


def _rates(values: Mapping[str, Any], key: str, base: Rates, level: str) -> Rates:
    table = _table(values, key, _RATES, "milliseconds between strokes; which hand leads is the kit's, or --hand")
    given: dict[str, float | None] = {}
    for name, value in table.items():
        where = f"[{key}] {name}"
        if name == "rebound":
            given[name] = None if value is False else _number(value, where, f"{_MANY}, or false for none")
        else:
            given[name] = _number(value, where, _MANY)
    rates = {name: given.get(name, getattr(base, name)) for name in _RATES}
    try:
        return Rates(rates["sustained"] or 0, rates["few"] or 0, rates["two"] or 0, rates["rebound"])
    except KitError as error:
        usual = [f"{name} = {rates[name]:g}" for name in _RATES if name not in given and rates[name] is not None]
        rest = f"; what it does not give is the {level} player's ({', '.join(usual)})" if usual else ""
        raise OptionError(f"[{key}]: {error}{rest}") from error


def _profiles(tables: Mapping[str, Any]) -> tuple[tuple[Limb, LimbProfile], ...]:
    found: dict[Limb, LimbProfile] = {}
    for name in tables:
        limb = _limb(name)
        if limb in found:
            raise OptionError(f"[limbs.{name}]: the {limb.words} stands there twice; give it one table")
        where = f"[limbs.{name}]"
        table = _table(tables, name, _PROFILE, f"a table {where} with any of {', '.join(_PROFILE)}", where=where)
        found[limb] = LimbProfile(
            absent=_truth(table.get("absent", False), f"{where} absent"),
            slow=_slow(table.get("slow", False), f"{where} slow"),
            single=_truth(table.get("single-strokes", False), f"{where} single-strokes"),
            travels=_truth(table.get("travel", True), f"{where} travel"),
        )
    if all(found.get(limb, LimbProfile()).absent for limb in (Limb.RH, Limb.LH)):
        raise OptionError("[limbs.RH] and [limbs.LH] are both absent, and every page needs a hand; leave one to play")
    return tuple(found.items())


def _limb(name: str) -> Limb:
    """A limb by its letters; one written out ("left-foot") brings them as the answer."""
    if name.strip().upper() in _LIMBS:
        return Limb.parse(name)
    words = name.lower().replace("-", " ").replace("_", " ").split()
    likely = [limb.name for limb in Limb if limb.words.split() == words]
    raise UnknownNameError("limb", name, _LIMBS, likely=tuple(likely))


def _slow(given: object, where: str) -> float:
    if isinstance(given, bool):
        return SLOW if given else 1.0
    allowed = f"true for {SLOW} times as long, or a number from 1 to 10"
    number = _number(given, where, allowed)
    if not 1 <= number <= 10:
        raise OptionError(f"{where} = {shown(given)}; it is {allowed}")
    return number


def _truth(given: object, where: str) -> bool:
    if not isinstance(given, bool):
        raise OptionError(f"{where} = {shown(given)}; it is true or false, without quotes")
    return given


def _number(given: object, where: str, allowed: str) -> float:
    """A number that can be one: no text, no true or false, nothing without end."""
    if isinstance(given, int | float) and not isinstance(given, bool) and abs(given) < 1e9 and math.isfinite(given):
        return given
    raise OptionError(f"{where} = {shown(given)}; it is a number: {allowed}")


def _table(
    values: Mapping[str, Any], key: str, keys: tuple[str, ...] | None, words: str, *, where: str = ""
) -> Mapping[str, Any]:
    """A table of a file, empty where it has none, its keys checked where they are known."""
    table = values.get(key, {})
    where = where or f"[{key}]"
    if not isinstance(table, dict):
        raise OptionError(f"{key} = {shown(table)}; {where} is a table: {words}")
    if keys is not None:
        check_keys(table, f"key of {where}", keys, _ALSO_CALLED)
    return table
