"""``kitgen show``: anything readable, as box text."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from kitgen.line import Line


@click.command("show")
@click.argument("file")
@click.option("--part", metavar="NAME|N", help="Part of a score or track of a MIDI file.")
@click.option("--unfold", is_flag=True, help="Play out the repeats of a score.")
@click.option("--pads", default="auto", show_default=True, metavar="NAME", help="Pad map of a recorded take.")
@click.option("--meter", default="4/4", show_default=True, help="Meter of a typed line.")
def command(file: str, part: str | None, unfold: bool, pads: str, meter: str) -> None:  # noqa: FBT001
    """Anything readable, as box text: a page, a MIDI file, a score, a recorded take, a typed line.

    \b
    Examples:
      kitgen show out/demo/01-the-line-alone-60bpm-4-4-2bars.mid
      kitgen show "1 & 2 e & a 3 4 &"
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.line import Line
    from kitgen.page import Page
    from kitgen.pattern import Pattern, render_rows
    from kitgen.pattern.take import Take
    from kitgen.read.lines import is_file_name, read_line

    if not is_file_name(file):
        print(_line_text(read_line(file, meter=meter).line))
        return
    from kitgen.read.anything import read_anything

    read = read_anything(Path(file), part=part, unfold=unfold, pads=pads)
    for remark in read.remarks:
        print(f"{read.name}: {remark}", file=sys.stderr)
    found = read.what
    if isinstance(found, Page):
        from kitgen.write.text import page_text

        print(page_text(found), end="")
    elif isinstance(found, Pattern):
        print(render_rows(found))
    elif isinstance(found, Take):
        from kitgen.pattern.take_rows import take_rows

        print(take_rows(found))
    elif isinstance(found, Line):
        print(_line_text(found))


def _line_text(line: "Line") -> str:
    """A line as a count row over a row of boxes, and as counts or note values where they can say it."""
    from kitgen.errors import LineError
    from kitgen.line import render
    from kitgen.pattern import render_line

    said = [render_line(line)]
    for notation in ("counts", "values"):
        try:
            said.append(f"{notation}: {render(line, notation)}")
        except LineError:
            continue
    return "\n".join(said)
