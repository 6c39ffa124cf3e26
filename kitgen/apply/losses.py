"""What a re-voiced page lost or changed, counted, and said in plain sentences: one a kind of loss."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from kitgen.kit import FEET, HAND_LIMBS, HATS, Kit, Limb, Player

LEFT_OUT = frozenset(
    (
        "no-stand-in", "hat-rests", "foot-out", "hand-out", "hand-gives", "together", "bass-out", "bass-gives",
        "stays-out",
    )
)  # fmt: skip
"""Kinds of loss that count strokes nobody plays; the others count strokes played otherwise."""


class Loss(NamedTuple):
    """Strokes of one kind that were left out or are played otherwise.

    Args:
        kind: ``stands-in``, ``takes`` and the like; see ``LEFT_OUT`` for those that are played no more.
        limb: the limb whose doing it is, where it is one limb's.
        surface: what they were on.
        to: what they are on now, where that changed.
        how: what is lost by that and how the level changes, in words.
        number: how many.
    """

    kind: str
    limb: Limb | None = None
    surface: str = ""
    to: str = ""
    how: str = ""
    number: int = 1

    @property
    def left_out(self) -> bool:
        """True where nobody plays these strokes."""
        return self.kind in LEFT_OUT


def said(losses: Iterable[Loss], kit: Kit, player: Player, *, clutch: bool = False) -> tuple[str, ...]:
    """The sentences of some losses.

    Args:
        losses: what was lost, each kind, limb and surface once.
        kit: the kit it was lost on.
        player: who plays.
        clutch: a clutch has to hold the hat closed, since no foot does.
    """
    found = list(losses)
    feet, hands = _of_feet(found, player, clutch=clutch), _of_hands(found, player)
    return (*_of_kit(found, kit), *feet, *hands, *_of_ornaments(found), *_of_places(found))


def strokes(count: int) -> str:
    """So many strokes in words."""
    return _many(count, "stroke")


def _many(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def name_of(label: str) -> str:
    """A surface as a sentence has it.

    >>> name_of("closed-hat"), name_of("crash-2")
    ('closed hat', 'second crash')
    """
    return "second crash" if label == "crash-2" else label.replace("-", " ")


def _listed(words: Iterable[str]) -> str:
    """Words with commas and an "and"."""
    items = list(dict.fromkeys(words))
    return " and ".join([", ".join(items[:-1]), items[-1]] if len(items) > 1 else items)


def _of(losses: list[Loss], *kinds: str) -> list[Loss]:
    return [loss for loss in losses if loss.kind in kinds]


def _total(losses: Iterable[Loss]) -> int:
    return sum(loss.number for loss in losses)


def _of_kit(losses: list[Loss], kit: Kit) -> Iterator[str]:
    changed, rests = _of(losses, "stands-in"), _total(_of(losses, "hat-rests"))
    for to in dict.fromkeys(loss.to for loss in changed):
        own = [loss for loss in changed if loss.to == to]
        names = _listed(name_of(loss.surface) for loss in own)
        how = _listed(loss.how for loss in own)
        words = f"the {kit.name} kit has no {names}: the {name_of(to)} stands in for {strokes(_total(own))}, {how}"
        if rests and to in HATS:
            words += f"; the hat foot rests for {strokes(rests)}, it holds the hat"
            rests = 0
        yield words
    for loss in _of(losses, "no-stand-in"):
        yield (
            f"the {kit.name} kit has no {name_of(loss.surface)} and nothing that stands in: "
            f"{strokes(loss.number)} left out"
        )
    if rests:
        yield f"the hat foot rests for {strokes(rests)}: it holds the hat under a hand"


def _of_feet(losses: list[Loss], player: Player, *, clutch: bool) -> Iterator[str]:
    played = _of(losses, "foot-takes", "bass-in-hand")
    parts = [
        f"{'a hand' if limb is None else f'the {limb.words}'} plays "
        + _listed(_moved(loss) for loss in played if loss.limb == limb)
        for limb in dict.fromkeys(loss.limb for loss in played)
    ]
    if gives := _total(_of(losses, "bass-gives")):
        parts.append(f"giving up {strokes(gives)} of its own")
    parts += [
        f"{strokes(loss.number)} of the {name_of(loss.surface)} left out"
        for loss in _of(losses, "foot-out", "bass-out")
    ]  # fmt: skip
    if parts:
        gone = [limb for limb in FEET if not player.plays(limb)]
        who = ("the kit has no pedal for it", f"the {_words(gone[0] if gone else None)} does not play", "no foot plays")
        yield f"{who[len(gone)]}: {', '.join(parts)}" + ("; a clutch holds the hat closed" if clutch else "")
    if opened := _total(_of(losses, "no-opening")):
        held = "" if parts and clutch else ", a clutch holds it closed"
        yield f"no foot opens the hat{held}: {_many(opened, 'open stroke')} played closed and louder"


def _moved(loss: Loss) -> str:
    to = "" if loss.to == loss.surface else f" on the {name_of(loss.to)}"
    return f"{strokes(loss.number)} of the {name_of(loss.surface)}{to}"


def _of_hands(losses: list[Loss], player: Player) -> Iterator[str]:
    takes, out = _total(_of(losses, "hand-takes")), _total(_of(losses, "hand-out"))
    gives, both = _total(_of(losses, "hand-gives")), _total(_of(losses, "together"))
    gone = next((limb for limb in HAND_LIMBS if not player.plays(limb)), None)
    if gone is not None and (takes or out):
        parts = [f"the {gone.mirrored.words} takes {strokes(takes)} of its part"] if takes else []
        parts += [f"giving up {strokes(gives)} of its own"] if gives else []
        parts += [f"{strokes(out)} left out"] if out else []
        yield f"the {gone.words} does not play: {', '.join(parts)}"
    if both:
        yield f"{strokes(both)} left out where two limbs struck one thing together: one plays it now"


def _of_ornaments(losses: list[Loss]) -> Iterator[str]:
    for kind, why in (("graces-alone", "only one hand plays"), ("graces-busy", "the other hand is busy")):
        if own := _of(losses, kind):
            yield f"{why}: {_ornaments(own)} played as plain strokes"
    singles = _of(losses, "singles")
    for limb in dict.fromkeys(loss.limb for loss in singles):
        own = [loss for loss in singles if loss.limb == limb]
        yield f"the {_words(limb)} plays single strokes only: {_ornaments(own)} played as plain strokes"


def _ornaments(losses: Iterable[Loss]) -> str:
    return _listed(_many(loss.number, loss.surface).replace("zzs", "zzes") for loss in losses)


def _of_places(losses: list[Loss]) -> Iterator[str]:
    for loss in _of(losses, "stays", "stays-out"):
        who, many = f"the {_words(loss.limb)} stays on", strokes(loss.number)
        if loss.left_out:
            yield f"{who} one pedal: {many} of the {name_of(loss.surface)} left out"
        else:
            yield f"{who} the {name_of(loss.to)}: {many} from elsewhere played there"
    if opened := _total(_of(losses, "hat-opened")):
        yield f"one hand opens the hat under the other: {_many(opened, 'closed stroke')} played open"
    if cut := _total(_of(losses, "cut")):
        yield f"{_many(cut, 'held stroke')} cut short by the next stroke of that limb"


def _words(limb: Limb | None) -> str:
    return "player" if limb is None else limb.words
