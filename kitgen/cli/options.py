"""Options that mean the same on every command."""

from collections.abc import Callable
from typing import Any, TypeVar

import click

_F = TypeVar("_F", bound=Callable[..., Any])

LINE_OPTIONS = (
    click.option("--meter", default="4/4", show_default=True, help="Meter of a typed line: 4/4, 6/8, 2+2+3/8."),
    click.option(
        "--notation", metavar="NAME", help="Read a typed line as boxes, counts or values, whatever it looks like."
    ),
    click.option("--pad", is_flag=True, help="Fill the last bar of a typed line with rest."),
    click.option("--part", metavar="NAME|N", help="Part of a score, or track of a MIDI file; the first unless told."),
    click.option("--channel", type=click.IntRange(1, 16), help="Channel of a MIDI file, 1 to 16, instead of a track."),
    click.option("--subdivisions", metavar="N[,N]", help="Ways a beat of a MIDI file may divide, such as 1,2,3,4,5."),
    click.option("--measures", metavar="A-B", help="Only these bars, such as 5-12."),
    click.option("--unfold", is_flag=True, help="Play out the repeats of a score."),
)

OUTPUT_OPTIONS = (
    click.option(
        "--to", "to", metavar="KIND[,KIND]", default="mid,txt", show_default=True, help="Files to write: mid, txt."
    ),
    click.option("--out", metavar="DIR", type=click.Path(), help="Folder to write to; out/<command> unless told."),
    click.option("--print", "show", is_flag=True, help="Print the pages instead of writing anything."),
    click.option("--force", is_flag=True, help="Replace files that are there and differ."),
    click.option("--json", "as_json", is_flag=True, help="Print the manifest as JSON."),
)


def with_options(*options: Callable[[_F], _F]) -> Callable[[_F], _F]:
    """Several options as one decorator, in the order given."""

    def add(function: _F) -> _F:
        for option in reversed(options):
            function = option(function)
        return function

    return add
