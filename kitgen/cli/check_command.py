"""``kitgen check``: does it loop, and can two hands and two feet play it."""

import sys
from pathlib import Path

import click


@click.command("check")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--player", metavar="NAME|FILE", help="Who has to be able to play it, instead of the player each page names."
)
def command(files: tuple[str, ...], player: str | None) -> int:
    """Does it loop, and can two hands and two feet play it?

    FILE is a MIDI file, a page of box text, or a folder that kitgen wrote. Exits 1 when something is found.

    \b
    Examples:
      kitgen check out/demo
      kitgen check groove.mid --player beginner
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.checks import check_path
    from kitgen.read.players import player_named

    by = None if player is None else player_named(player)
    found = 0
    for name in files:
        findings = check_path(Path(name), by)
        for finding in findings:
            print(f"{name}: {finding}")
        if not findings:
            print(f"{name}: ok, nothing found")
        found += len(findings)
    if found:
        print(f"Error: {found} finding{'s' if found > 1 else ''}", file=sys.stderr)
    return 1 if found else 0
