"""``kitgen check``: does it loop, and can two hands and two feet play it."""

import sys
from pathlib import Path

import click


@click.command("check")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--player", metavar="NAME|FILE", help="Who has to be able to play it, instead of the player each page names."
)
@click.option("--one-new", is_flag=True, help="Hold folders to one new element a page, as series are held.")
@click.option("--load", "loads", is_flag=True, help="Also print how hard each page is to coordinate, part by part.")
def command(files: tuple[str, ...], player: str | None, one_new: bool, loads: bool) -> int:  # noqa: FBT001  click does
    """Does it loop, and can two hands and two feet play it?

    FILE is a MIDI file, a page of box text, a drum score, a style or a chart (.toml), or a folder that kitgen wrote or
    that holds styles. Exits 1 when something is found.

    Pages of a series (kitgen series, kitgen grid) are also proved to bring exactly one new element each, in order, read
    from the notes of their files; --one-new asks it of any folder.

    With --load every page's coordination load is printed with the parts it adds up from: strokes off the beat, beats
    unlike each other, different sets of limbs and the changes between them, and so on, each with what drives it most.
    It compares pages; it is no mark, and changes no exit code.

    \b
    Examples:
      kitgen check out/demo
      kitgen check groove.mid --player beginner
      kitgen check --load out/demo
      kitgen check --one-new out/samba-feet
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.checks import check_path
    from kitgen.read.players import player_named

    by = None if player is None else player_named(player)
    found = 0
    for name in files:
        findings = check_path(Path(name), by, one_new=one_new)
        for finding in findings:
            print(f"{name}: {finding}")
        if not findings:
            print(f"{name}: ok, nothing found")
        found += len(findings)
        if loads:
            _print_loads(Path(name))
    if found:
        print(f"Error: {found} finding{'s' if found > 1 else ''}", file=sys.stderr)
    return 1 if found else 0


def _print_loads(path: Path) -> None:
    from kitgen.errors import ReadError
    from kitgen.make.loads import loads_of_path

    try:
        for page in loads_of_path(path):
            print("", *page.lines, sep="\n")
    except ReadError as error:
        print(f"load not measured: {error}", file=sys.stderr)
