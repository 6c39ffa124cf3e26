"""``kitgen show``: anything readable, as box text."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from kitgen.line import Line
    from kitgen.page import Page
    from kitgen.pattern import Pattern
    from kitgen.pattern.take import Take

_NO_TEMPO = 100  # quarters a minute, where a score says nothing of its tempo


@click.command("show")
@click.argument("file")
@click.option("--part", metavar="NAME|N", help="Part of a score or track of a MIDI file.")
@click.option("--unfold", is_flag=True, help="Play out the repeats of a score.")
@click.option("--pads", default="auto", show_default=True, metavar="NAME", help="Pad map of a recorded take.")
@click.option("--meter", default="4/4", show_default=True, help="Meter of a typed line.")
@click.option("--style-draft", metavar="NAME", help="A take or drum score as the draft of a style's file.")
def command(
    file: str,
    part: str | None,
    unfold: bool,  # noqa: FBT001
    pads: str,
    meter: str,
    style_draft: str | None,
) -> None:
    """Anything readable, as box text: a page, a MIDI file, a score, a recorded take, a typed line.

    With --style-draft the most typical bars of a recording become the groove and variations of a style, and its fills
    the style's; what is left to do stands above in comments. Send it to NAME.toml and ask kitgen check.

    \b
    Examples:
      kitgen show out/demo/01-the-line-alone-60bpm-4-4-2bars.mid
      kitgen show "1 & 2 e & a 3 4 &"
      kitgen show take.mid --style-draft our-funk > our-funk.toml
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.line import Line
    from kitgen.page import Page
    from kitgen.pattern import Pattern, render_rows
    from kitgen.pattern.take import Take
    from kitgen.read.lines import is_file_name, read_line

    if not is_file_name(file):
        if style_draft is not None:
            raise _no_playing(repr(file), "typed text")
        print(_line_text(read_line(file, meter=meter).line))
        return
    from kitgen.read.anything import read_anything

    read = read_anything(Path(file), part=part, unfold=unfold, pads=pads)
    for remark in read.remarks:
        print(f"{read.name}: {remark}", file=sys.stderr)
    found = read.what
    if style_draft is not None:
        print(_draft_text(found, style_draft, read.name), end="")
    elif isinstance(found, Page):
        from kitgen.write.text import page_text

        print(page_text(found), end="")
    elif isinstance(found, Pattern):
        print(render_rows(found))
    elif isinstance(found, Take):
        from kitgen.pattern.take_rows import take_rows

        print(take_rows(found))
    elif isinstance(found, Line):
        print(_line_text(found))


def _draft_text(found: "Page | Line | Pattern | Take", name: str, source: str) -> str:
    """A take or a drum score as the draft of a style.

    Raises:
        OptionError: a name that is none, or a file that holds no playing on drums.
    """
    from kitgen.pattern import Pattern
    from kitgen.pattern.take import Take
    from kitgen.pattern.transcription import transcribed
    from kitgen.styles.draft import draft_name, draft_of_take, drafted
    from kitgen.write.style_text import style_text

    draft_name(name)
    if isinstance(found, Take):
        draft = draft_of_take(transcribed(found), name, source=source)
    elif isinstance(found, Pattern):
        draft = drafted(found.hits, found.meters, name, feel=found.feel, tempo=_NO_TEMPO, source=source)
    else:
        page = "a page of ours, whose rows kitgen show prints for you to copy"
        what = page if hasattr(found, "rows") else "a line"
        raise _no_playing(source, what)
    return style_text(draft.style, comments=draft.work)


def _no_playing(source: str, what: str) -> Exception:
    from kitgen.errors import OptionError

    return OptionError(f"{source} is {what}; a style is drafted from a recorded take or a drum score")


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
