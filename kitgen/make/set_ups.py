"""Who plays a page and on what, where its recipe cannot say so: in its entry in the manifest.

The recipe of a page of a series names the kit, the hand and the player of the whole plan. Where chapters or goals of a
plan differ in them, the page's entry in the manifest says what it was made for.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from kitgen.errors import KitgenError
from kitgen.kit import Kit, Player, kit, player

NAMES = ("kit", "hand", "player")
"""What an entry may say, as in the options of these names."""


class SetUp(NamedTuple):
    """A player and a kit; None for what an entry does not say."""

    by: Player | None = None
    on: Kit | None = None


def set_up_in(entry: Mapping[str, Any]) -> SetUp:
    """What an entry in the manifest says of who plays, and on what; nothing where it says what there is not.

    >>> set_up_in({"set_up": {"hand": "left"}}).on.hand, set_up_in({})
    ('left', SetUp(by=None, on=None))
    """
    said = entry.get("set_up")
    if not isinstance(said, dict) or not said:
        return SetUp()
    try:
        on = kit(str(said.get("kit", "standard")), hand=str(said.get("hand", "right")))
        return SetUp(player(said["player"]) if "player" in said else None, on)
    except KitgenError:
        return SetUp()
