"""A page made for a full kit and four limbs, re-voiced for the kit and the player there are.

Surfaces by the table of :mod:`kitgen.apply.stand_ins`, alike on a whole page. Limbs by these rules:

- A foot that does not play: the other takes the bass, and the hat foot is left out. Where the hat foot has the line,
  the foot that is left plays that, on its own pedal or on the bass. With no foot (or no pedal) the bass goes to a
  hand that is free, or that gives up a stroke of its time; a feathered bass is left out.
- A hand that does not play: the other takes every stroke it is free for. Where both would strike, it plays the louder
  of them, the drum before the time; what is soft gives way.
- A hand of single strokes loses diddles, buzzes and the drags it would bounce; a limb without travel keeps to the
  place it plays most.
- A hand on the hat and the hat foot never strike together, and the hat is not open and closed at once: where a
  surface on the hat stands in for time, the foot rests on the whole page. It never rests for that where the line is
  in it, nor where it is under a line in the hand: then the next stand-in serves.

Title, instruction and labels name the limb that plays instead, and no ostinato, ghost note or open hat that is gone.

The line's limbs are those that the labels of rows name, else those that an ostinato heard alone leaves free. Laws:
only surfaces of the kit and limbs that play; every stroke is kept or counted as lost; re-voicing again changes nothing;
mirrored kit, player and pattern give the mirrored result; a full kit and a player of four plain limbs change nothing.
"""

import re
from collections.abc import Callable, Collection, Sequence
from typing import NamedTuple

from kitgen.apply.layers import STARTED
from kitgen.apply.losses import Loss
from kitgen.apply.revoicing import Revoicing
from kitgen.apply.setting import Made
from kitgen.apply.sheet import changes
from kitgen.errors import RefusedError
from kitgen.kit import FEET, HAND_LIMBS, SURFACES, Kit, Limb, Player
from kitgen.pattern import Hit, Level, Pattern

_ALONE = ("ostinato alone", "time alone")
_LIMB = re.compile(r"\b(?:RH|LH|RF|LF)\b")
_ORDER = re.compile(r"\b(?:RH|LH|RF|LF)(?: (?:RH|LH|RF|LF))+\b")
_SENTENCE = re.compile(r"(?<=\.) ")
_SPOKEN_OF: dict[str, Callable[[Hit], bool]] = {
    "the open hat": lambda hit: hit.surface == "open-hat",
    "ghost notes": lambda hit: hit.level is Level.GHOST,
}
_Rows = Sequence[tuple[str, Pattern]]


class Revoiced(NamedTuple):
    """A pattern re-voiced.

    Args:
        pattern: what is played; the very pattern given where nothing had to change.
        losses: what was left out or is played otherwise, each kind, limb and surface once.
        notes: the same in sentences.
    """

    pattern: Pattern
    losses: tuple[Loss, ...] = ()
    notes: tuple[str, ...] = ()


def revoiced(made: Made, kit: Kit, player: Player) -> Made:
    """A page for the kit and the player there are, with notes of what was lost; the same one if nothing had to change.

    Args:
        made: what an application made for a full kit.
        kit: the kit there is.
        player: who plays.

    Raises:
        RefusedError: nothing of the line would be left; says what would work instead.
    """
    patterns = [pattern for _, pattern in made.rows]
    if not changes(patterns, kit, player):
        return made
    work = Revoicing(patterns, kit, player, _line_limbs(made))
    work.run()
    notes = work.notes()
    if work.line_is_gone():
        raise RefusedError(_nothing_left(notes, kit, player))
    rows: list[tuple[str, Pattern]] = []
    empty: list[tuple[str, Pattern]] = []
    for (label, before), after in zip(made.rows, work.patterns(), strict=True):
        (rows if after.hits or not before.hits else empty).append((label, after))
    dropped = tuple(f"the row '{label}' is left out: nothing of it is left" for label, _ in empty)
    title, instruction = _without_ostinato(made) if any(label in _ALONE for label, _ in empty) else made[:2]
    return made._replace(
        title=_named(title, player),
        instruction=_with_warnings(_named(_still_true(instruction, made.rows, rows), player), player),
        rows=tuple((_named(label, player), pattern) for label, pattern in rows),
        notes=(*made.notes, *notes, *dropped),
    )


def revoiced_pattern(pattern: Pattern, kit: Kit, player: Player, *, line: Collection[Limb] = ()) -> Revoiced:
    """A pattern for the kit and the player there are; it may come out empty.

    Args:
        pattern: made for a full kit and four limbs.
        kit: the kit there is.
        player: who plays.
        line: the limbs that have the line, where that is known.

    >>> from kitgen.kit import kit, player
    >>> from kitgen.pattern import parse_rows, render_rows
    >>> time = parse_rows("RH ride xxxx xxxx; LF hat-foot .... x...", "2/4")
    >>> found = revoiced_pattern(time, kit("small"), player("school"))
    >>> found.pattern == parse_rows("RH closed-hat xxxx xxxx", "2/4")
    True
    >>> print(found.notes[0])
    the small kit has no ride: the closed hat stands in for 8 strokes, without the long ring; the hat foot rests for 1
    stroke, it holds the hat
    """
    if not changes([pattern], kit, player):
        return Revoiced(pattern)
    work = Revoicing([pattern], kit, player, frozenset(line))
    work.run()
    (after,) = work.patterns()
    return Revoiced(after, work.losses(), work.notes())


def _named(words: str, player: Player) -> str:
    """Words with the other of two limbs where they name one that does not play, and not the other beside it."""
    words = _ORDER.sub(lambda order: _those_who_play(order[0], player), words)
    for limb in Limb:
        other = limb.mirrored
        if player.plays(limb) or not player.plays(other):
            continue
        if limb.is_hand:
            words = words.replace("both hands", "one hand")
        for gone, there in ((limb.name, other.name), (limb.words, other.words)):
            if there not in words.lower() and there not in words:
                words = re.sub(rf"\b{gone}\b", there, words)
                words = re.sub(rf"\b{gone.capitalize()}\b", there.capitalize(), words)
    return words


def _those_who_play(order: str, player: Player) -> str:
    """An order of limbs without those that do not play; as it was, if that leaves none."""
    return " ".join(name for name in order.split() if player.plays(Limb[name])) or order


def _with_warnings(instruction: str, player: Player) -> str:
    """The instruction, with a sentence where it still speaks of feet nobody plays with, or of a way nobody goes."""
    if not any(player.plays(foot) for foot in FEET) and re.search(r"\b(?:foot|feet|bass)\b", instruction):
        instruction += " No foot plays here: the notes say what becomes of the feet."
    stays = any(player.plays(hand) and not player.profile(hand).travels for hand in HAND_LIMBS)
    if stays and re.search(r"\bround the (?:drums|kit)\b", instruction.lower()):
        instruction += " A hand stays where it is here: the notes say what becomes of its way."
    return instruction


def _without_ostinato(made: Made) -> tuple[str, str]:
    """Title and instruction of a page of which no ostinato is left."""
    return made.title.partition(" over ")[0], made.instruction.partition(STARTED)[2] or made.instruction


def _still_true(words: str, before: _Rows, after: _Rows) -> str:
    """Words without the sentences about what no row has any more."""
    gone = [name for name, is_one in _SPOKEN_OF.items() if _have(before, is_one) and not _have(after, is_one)]
    return " ".join(said for said in _SENTENCE.split(words) if not any(name in said for name in gone))


def _have(rows: _Rows, is_one: Callable[[Hit], bool]) -> bool:
    return any(is_one(hit) for _, pattern in rows for hit in pattern.hits)


def _line_limbs(made: Made) -> frozenset[Limb]:
    """The limbs that labels of rows name, else those that time or an ostinato heard alone leaves; none if neither."""
    named = {Limb[name] for label, _ in made.rows for name in _LIMB.findall(label)}
    if named:
        return frozenset(named)
    under = {limb for label, pattern in made.rows if label.endswith(_ALONE) for limb in pattern.limbs}
    return frozenset({limb for _, pattern in made.rows for limb in pattern.limbs} - under) if under else frozenset()


def _nothing_left(notes: Sequence[str], kit: Kit, player: Player) -> str:
    """The reason for a refusal, with the limbs that have something to play, and what there is for hands."""
    by_hand = [label for label in kit.surfaces if SURFACES[label].struck_by == "hand"]
    pedals = len(by_hand) < len(kit.surfaces)
    able = [limb.name for limb in Limb if player.plays(limb) and (by_hand if limb.is_hand else pedals)]
    ways = [f"a line in {' or '.join(able)} (--limb or --order)"] if able else []
    ways += [f"--surface {' or '.join(by_hand[:3])}"] if by_hand else []
    ways += ["another --kit or --player"]
    return f"nothing of the line would be left ({'; '.join(notes)}); use {', or '.join(ways)}"
