"""What is looped of a style: time as it is, a fill at the end of its phrase, an ending after time, a way in before it.

Conventions: every loop is whole bars; a fill's phrase begins with what the fill lands on, so that it can be played
round and round.
"""

from kitgen.kit import Player
from kitgen.pattern import Hit, Pattern
from kitgen.pattern.swing import played_onsets
from kitgen.styles.colours import hats_closed
from kitgen.styles.parts import Role, StylePattern
from kitgen.styles.phrases import Room, entered, landed, phrase, room_for, time_for
from kitgen.styles.value import Style

_PHRASE_BARS, _BARS_BEFORE_END, _BARS_AFTER_START = 4, 2, 2


def loop_of(style: Style, item: StylePattern, *, bpm: float, player: Player) -> Pattern:
    """A pattern of a style as it is looped at a tempo, in the style's feel as it is written.

    Args:
        style: the style.
        item: one of its patterns.
        bpm: the tempo, in the style's unit.
        player: whose way from the time to a fill is left room for.
    """
    if item.role.keeps_time:
        return item.pattern
    return hats_closed(_around_time(style, item, bpm, player))


def _around_time(style: Style, item: StylePattern, bpm: float, player: Player) -> Pattern:
    """A fill, an ending or a way in, with the time it is played in."""
    time = style.time_at(style.nearest(bpm)).pattern
    room = room_for(player, bpm * float(style.tempo.unit), style.feel)
    if item.role in (Role.INTRO, Role.PICKUP):
        return _round(entered(item, time, _BARS_AFTER_START, room=room), room)
    if item.role is Role.ENDING:
        return landed(phrase(time, item, item.bars + _BARS_BEFORE_END, room=room), "time", item.pattern)
    return _filled(time, item, room)


def _filled(time: Pattern, item: StylePattern, room: Room) -> Pattern:
    """A fill at the end of a phrase that begins with what it lands on."""
    whole = phrase(time, item, max(_PHRASE_BARS, 2 * item.bars), room=room)
    bar = whole.meters.bars[0].length
    begun = landed(time_for(whole, 1), item.lands, item.pattern)
    return whole.with_hits([*begun.hits, *(hit for hit in whole.hits if hit.onset >= bar)])


def _round(pattern: Pattern, room: Room) -> Pattern:
    """Without the strokes at the end after which a hand is not back at its first surface in time."""
    first = {hit.limb: hit for hit in reversed(pattern.hits) if hit.limb.is_hand}
    played, _ = played_onsets(pattern.with_feel(room.feel))

    def late(hit: Hit) -> bool:
        to = first.get(hit.limb)
        if to is None or to.surface == hit.surface:
            return False
        return played[to.onset] + pattern.span - played[hit.onset] < room.quarters

    return pattern.with_hits(hit for hit in pattern.hits if not late(hit))
