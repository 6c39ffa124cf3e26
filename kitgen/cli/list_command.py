"""``kitgen list``: what there is, a name first on each line."""

from collections.abc import Iterator
from fractions import Fraction

import click

_KINDS = ("applications", "ostinatos", "kits", "surfaces", "cells")


@click.command("list")
@click.argument("kind", metavar="KIND")
def command(kind: str) -> None:
    """What there is: applications, ostinatos, kits, surfaces or cells.

    \b
    Example:
      kitgen list ostinatos
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.errors import UnknownNameError

    if kind not in _KINDS:
        raise UnknownNameError("list", kind, list(_KINDS))
    rows = list(_rows(kind))
    width = max(len(name) for name, _ in rows)
    for name, words in rows:
        print(f"{name:<{width}}  {words}")


def _rows(kind: str) -> Iterator[tuple[str, str]]:
    if kind == "applications":
        from kitgen.apply import APPLICATIONS

        yield from ((item.name, f"{item.summary} ({item.role})") for item in APPLICATIONS.values())
    elif kind == "ostinatos":
        from kitgen.apply import OSTINATOS

        yield from ((item.name, item.words) for item in OSTINATOS.values())
    elif kind == "kits":
        from kitgen.kit import KITS

        yield from ((name, ", ".join(labels)) for name, labels in KITS.items())
    elif kind == "surfaces":
        from kitgen.kit import SURFACES

        for row in SURFACES.values():
            stand_in = f" (General MIDI has none: {row.stands_in} stands in)" if row.stands_in else ""
            yield row.label, f"key {row.key}, {row.words}{stand_in}"
    else:
        from kitgen.line import cells

        names = {2: "eighths", 3: "triplets", 4: "16ths", 5: "quintuplets", 6: "sextuplets"}
        for parts, name in names.items():
            boxes = [_boxes(cell.onsets, parts) for cell in cells(parts)]
            yield name, f"{len(boxes)} cells: {' '.join(boxes[:15])}{' ...' if len(boxes) > 15 else ''}"


def _boxes(onsets: tuple[Fraction, ...], parts: int) -> str:
    places = {onset * parts for onset in onsets}
    return "".join("x" if index in places else "." for index in range(parts))
