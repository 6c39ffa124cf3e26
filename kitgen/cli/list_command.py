"""``kitgen list``: what there is, a name first on each line."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from kitgen.kit import Player


@click.command("list")
@click.argument("kind", metavar="KIND", default="lists")
def command(kind: str) -> None:
    """What there is: applications, ostinatos, styles, kits, players, rudiments, surfaces, cells, courses and more.

    Without KIND it says which lists there are. KIND is applications, ostinatos, styles, kits, players, rudiments,
    stand-ins, surfaces, cells, courses, goals or forms.

    \b
    Example:
      kitgen list ostinatos
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.errors import UnknownNameError

    if kind not in _KINDS:
        raise UnknownNameError("list", kind, list(_KINDS))
    rows = list(_KINDS[kind]())
    width = max(len(name) for name, _ in rows)
    for name, words in rows:
        print(f"{name:<{width}}  {words}")


def _applications() -> Iterator[tuple[str, str]]:
    from kitgen.apply import APPLICATIONS

    yield from ((item.name, f"{item.summary} ({item.role})") for item in APPLICATIONS.values())


def _ostinatos() -> Iterator[tuple[str, str]]:
    from kitgen.apply import OSTINATOS

    yield from ((item.name, item.words) for item in OSTINATOS.values())


def _kits() -> Iterator[tuple[str, str]]:
    from kitgen.kit import KITS

    yield from ((name, ", ".join(labels)) for name, labels in KITS.items())


def _players() -> Iterator[tuple[str, str]]:
    from kitgen.kit import PLAYERS

    yield from ((name, _player_words(player)) for name, player in PLAYERS.items())


def _rudiments() -> Iterator[tuple[str, str]]:
    from kitgen.pattern.rudiments import RUDIMENTS

    for item in RUDIMENTS.values():
        doubt = f" (? {item.doubt})" if item.doubt else ""
        yield item.name, f"{item.number:>2}  {item.sticking}, {item.family}{doubt}"


def _stand_ins() -> Iterator[tuple[str, str]]:
    from kitgen.apply.stand_ins import listed

    yield from listed()


def _surfaces() -> Iterator[tuple[str, str]]:
    from kitgen.kit import SURFACES

    for row in SURFACES.values():
        stand_in = f" (General MIDI has none: {row.stands_in} stands in)" if row.stands_in else ""
        yield row.label, f"key {row.key}, {row.words}{stand_in}"


def _cells() -> Iterator[tuple[str, str]]:
    from kitgen.grid.cells import KINDS, cells_of
    from kitgen.time import Meter

    for kind in KINDS:
        boxes = [str(cell) for cell in cells_of(kind, Meter(4, 4))]
        yield kind, f"{len(boxes)} cells: {' '.join(boxes[:15])}{' ...' if len(boxes) > 15 else ''}"


def _courses() -> Iterator[tuple[str, str]]:
    from kitgen.read.plans import course_names, plan_named

    for name in course_names():
        plan = plan_named(name).plan
        yield name, f"{plan.title}: {'; '.join(chapter.title for chapter in plan.chapters)}"


def _goals() -> Iterator[tuple[str, str]]:
    from kitgen.read.plan_examples import EXAMPLES

    yield from ((name, f"{words}: {example}") for name, (words, example) in EXAMPLES.items())


def _forms() -> Iterator[tuple[str, str]]:
    from kitgen.styles.play_forms import PLAY_FORMS

    for form in PLAY_FORMS.values():
        said = str(form.bars) in form.words
        yield form.name, form.words if said else f"{form.words}; {form.bars} bars"


def _styles() -> Iterator[tuple[str, str]]:
    from kitgen.read.style_files import style_names
    from kitgen.read.styles import style_named

    for style in map(style_named, style_names()):
        yield style.name, f"{style.meter}, {style.tempo}: {style.words}"


def _player_words(player: "Player") -> str:
    hand, foot = (
        f"{rates.sustained:g} ms a stroke for a bar or more, {rates.few:g} for three or four in a row, "
        f"{rates.two:g} for two" + (f", a rebound after {rates.rebound:g}" if rates.rebound else "")
        for rates in (player.hand, player.foot)
    )
    bounce = "" if player.hand.rebound else ", no rebound yet"
    return (
        f"hand {hand}{bounce}; foot {foot}; {player.next_drum:g} ms to the next drum, {player.across:g} across the kit"
    )


def _lists() -> Iterator[tuple[str, str]]:
    words = {
        "applications": "ways to take a line to the kit",
        "ostinatos": "what repeats under a line",
        "styles": "grooves of the library",
        "kits": "what there is to strike",
        "players": "what each limb can do, in milliseconds",
        "rudiments": "for apply --as rudiment",
        "stand-ins": "what takes the place of what, where a kit or a limb lacks it",
        "surfaces": "what is struck, and its MIDI key",
        "cells": "what a beat may hold",
        "courses": "for kitgen series",
        "goals": "what a course may ask for",
        "forms": "what a play-along of the library goes through",
    }
    yield from ((kind, words[kind]) for kind in _KINDS if kind != "lists")


_KINDS: dict[str, Callable[[], Iterator[tuple[str, str]]]] = {
    "applications": _applications,
    "ostinatos": _ostinatos,
    "styles": _styles,
    "kits": _kits,
    "players": _players,
    "rudiments": _rudiments,
    "stand-ins": _stand_ins,
    "surfaces": _surfaces,
    "cells": _cells,
    "courses": _courses,
    "goals": _goals,
    "forms": _forms,
    "lists": _lists,
}
