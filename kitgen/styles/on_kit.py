"""Pages of styles for the kit, the hands and the player there are.

Styles are written for a right-handed player on a full kit. Left-handed everything is mirrored, words as well. Played
open-handed the hat is the left hand's: in every beat in which the right hand alone plays the hat, and nothing else but
a crash, its strokes there go to the left, and what the left has in that beat goes to the right; what is struck with a
crash, fills, and time on other surfaces stay as they are. A stroke that has come to a hand too near to those it had
goes back, or is left out. What the kit has not and the player cannot do is then re-voiced as for applications
(:mod:`kitgen.apply.substitute`). The page's notes say what is lost; whether it can be played at a tempo is asked of the
finished page.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise

from kitgen.apply.setting import Made
from kitgen.apply.substitute import revoiced
from kitgen.errors import RefusedError
from kitgen.kit import HAND_LIMBS, HATS, Kit, Limb, Player
from kitgen.page import Page, Row
from kitgen.pattern import Hit, Pattern, mirror
from kitgen.pattern.swing import played_onsets
from kitgen.styles.phrases import Room, room_for

_CRASHES = frozenset(("crash", "crash-2", "splash", "china"))
_SIDES = {"right": "left", "left": "right", "Right": "Left", "Left": "Right"}
_SIDE = re.compile(r"\b(?:[Rr]ight|[Ll]eft)\b(?! (?:out|open|place|to the ba))")
_LEFT_OUT = "{} stroke{} left out where a hand has no time for the next"
_OPEN = "open-handed: the left hand has the hat, and what the words give the left hand meanwhile is the right one's"


def on_kit(pages: Iterable[Page], kit: Kit, player: Player) -> tuple[Page, ...]:
    """Pages of a style set for a kit's hands and re-voiced for what it and the player have not.

    Args:
        pages: pages as the style has them.
        kit: the kit there is, with its hand setting.
        player: who plays.

    Raises:
        RefusedError: nothing of a page would be left; names the page, and says what would work instead.
    """
    return tuple(_voiced(_handed(page, kit, player), kit, player) for page in pages)


def _handed(page: Page, kit: Kit, player: Player) -> Page:
    """A page set for a kit's hands."""
    if kit.hand == "left":
        return replace(
            page,
            title=page.title + kit.hand_words,
            instruction=_mirrored(page.instruction),
            rows=tuple(replace(row, label=_mirrored(row.label), pattern=mirror(row.pattern)) for row in page.rows),
            notes=tuple(map(_mirrored, page.notes)),
        )
    if kit.hand == "open":
        room = room_for(player, page.tempo.high * float(page.tempo.unit), page.feel)
        rows = tuple(
            replace(row, pattern=_on_its_way(row.pattern, open_handed(row.pattern), room)) for row in page.rows
        )
        notes = [*page.notes, *([_OPEN] if rows != page.rows else [])]
        for before, after in zip(page.rows, rows, strict=True):
            if fewer := len(before.pattern.hits) - len(after.pattern.hits):
                notes.append(f"{_LEFT_OUT.format(fewer, 's' if fewer > 1 else '')} in the row '{after.label}'")
        return replace(page, title=page.title + kit.hand_words, rows=rows, notes=tuple(notes))
    return page


def _mirrored(words: str) -> str:
    """Words with right and left swapped, where they are sides."""
    return _SIDE.sub(lambda found: _SIDES[found[0]], words)


def open_handed(pattern: Pattern) -> Pattern:
    """A pattern with the time on the hat in the left hand, and what the left has meanwhile in the right.

    >>> from kitgen.pattern import parse_rows
    >>> time = parse_rows("RH closed-hat xx xx xx xx; LH snare .. X. .. X.")
    >>> open_handed(time) == parse_rows("LH closed-hat xx xx xx xx; RH snare .. X. .. X.")
    True
    """
    beats = [(beat.start, beat.start + beat.length) for beat in pattern.meters.beats]
    hits: list[Hit] = []
    place = 0
    for start, end in beats:
        first = place
        while place < len(pattern.hits) and start <= pattern.hits[place].onset < end:
            place += 1
        hits += _opened(pattern.hits[first:place])
    return pattern.with_hits(hits)


def _opened(beat: tuple[Hit, ...]) -> Iterator[Hit]:
    """The strokes of a beat."""
    on_hat = {hit.limb for hit in beat if hit.limb.is_hand and hit.surface in HATS}
    others = [hit for hit in beat if hit.limb is Limb.RH and hit.surface not in HATS]
    keeps_time = on_hat == {Limb.RH} and all(hit.surface in _CRASHES for hit in others)
    kept = {hit.onset for hit in others}
    for hit in beat:
        swaps = keeps_time and hit.limb.is_hand and hit.onset not in kept
        yield replace(hit, limb=hit.limb.mirrored) if swaps else hit


def _on_its_way(before: Pattern, after: Pattern, room: Room) -> Pattern:
    """A pattern of which hands are in time, as they were before: with strokes given back, or else left out."""
    late = _late(before, after, room)
    if not late:
        return after
    places = {hit.onset for hit in late}
    back = after.with_hits(
        [hit for hit in after.hits if hit.onset not in places] + [hit for hit in before.hits if hit.onset in places]
    )
    still = _late(before, back, room)
    if len(still) < len(late):
        after, late = back, still
    return after.with_hits(hit for hit in after.hits if hit not in late)


def _late(before: Pattern, after: Pattern, room: Room) -> set[Hit]:
    """Strokes that have come to a hand too near, at another place, to those it had before."""
    had = {(hit.onset, hit.limb, hit.surface) for hit in before.hits}
    played, _ = played_onsets(after)
    found: set[Hit] = set()
    for hand in HAND_LIMBS:
        for one, two in pairwise(hit for hit in after.hits if hit.limb is hand):
            new = [hit for hit in (one, two) if (hit.onset, hit.limb, hit.surface) not in had]
            if len(new) == 1 and one.surface != two.surface and played[two.onset] - played[one.onset] < room.quarters:
                found.update(new)
    return found


def _voiced(page: Page, kit: Kit, player: Player) -> Page:
    """A page with what there is not re-voiced, and notes of what is lost."""
    made = Made(page.title, page.instruction, tuple((row.label, row.pattern) for row in page.rows))
    try:
        found = revoiced(made, kit, player)
    except RefusedError as error:
        raise RefusedError(f"{page.title}: {error}") from error
    if found is made:
        return page
    left = [row for row in page.rows if f"the row '{row.label}' is left out: nothing of it is left" not in found.notes]
    rows = (Row(label, pattern, row.times) for row, (label, pattern) in zip(left, found.rows, strict=True))
    return replace(
        page,
        title=found.title,
        instruction=found.instruction,
        rows=tuple(rows),
        notes=(*page.notes, *found.notes),
    )
