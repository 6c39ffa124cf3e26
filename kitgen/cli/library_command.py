"""``kitgen library``: the groove library as files that loop, at any tempi."""

import sys
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kitgen.cli.jobs import check_jobs, side_by_side
from kitgen.cli.options import PAGE_OPTIONS, TRACKS_OPTION, with_options
from kitgen.cli.progress import progress

if TYPE_CHECKING:
    from kitgen.make.library import Section
    from kitgen.make.library_recipe import LibraryRecipe
    from kitgen.write.library import Written

_OUTPUT = (
    click.option(
        "--to",
        "to",
        metavar="KIND[,KIND]",
        default="mid",
        show_default=True,
        help="Files to write of each page: mid, txt, musicxml, mxl, svg (a picture), pdf (a sheet to print).",
    ),
    click.option("--out", metavar="DIR", type=click.Path(), help="Folder to write to; out/library unless told."),
    click.option("--print", "show", is_flag=True, help="Print the pages as text instead of writing anything."),
    click.option("--force", is_flag=True, help="Replace files that are there and differ."),
    click.option("--json", "as_json", is_flag=True, help="Print the manifest as JSON."),
    click.option(
        "--jobs",
        type=int,
        default=1,
        show_default=True,
        metavar="N",
        help="Write so many sections at a time, side by side.",
    ),
)


@click.command("library")
@click.option("--style", required=True, metavar="NAME[,NAME]|all", help="Styles by name or file (TOML), or all.")
@click.option(
    "--section",
    metavar="NAME[,NAME]",
    help="Only these: patterns by name, kinds of them (fill, variation), or play-along.",
)
@click.option(
    "--tempo",
    metavar="BPM|A..B[:STEP]",
    help="Beats a minute of the style's own unit, a range by 5 unless told, or several with commas; the style's "
    "slowest, middle and fastest unless told.",
)
@click.option(
    "--form",
    default="32-bars",
    show_default=True,
    metavar="NAME",
    help="What the play-along goes through: 32-bars, blues, aaba, trading ...; see kitgen list forms.",
)
@click.option(
    "--ending",
    default="own",
    show_default=True,
    metavar="own|short|tag|ritard",
    help="How the play-along ends: as the style does, short, a tag three times, slowing down.",
)
@click.option("--without", metavar="LIMB[,LIMB]", help="Also write each file without these limbs, for you to play.")
@click.option("--exact", is_flag=True, help="Every stroke on the grid at its level; else small, seeded differences.")
@click.option(
    "--player",
    default="advanced",
    show_default=True,
    metavar="NAME|FILE",
    help="Who has to be able to play it: beginner, school, advanced, or a player file (TOML).",
)
@with_options(TRACKS_OPTION)
@click.option("--seed", type=int, default=0, show_default=True, help="Chooses phrases and small differences.")
@click.option("--heading", metavar="TEXT", help="Your own heading for every page: school, class, date.")
@with_options(*PAGE_OPTIONS, *_OUTPUT)
def command(**options: Any) -> None:
    """Grooves, fills and endings of styles as MIDI files that loop, at any tempi.

    Every pattern of a style is a file that loops: grooves and variations as they are, fills in a phrase of time,
    endings after time. The play-along goes through a form, with small cues after four bars and larger ones after eight.
    What cannot be played at a tempo is left out and said.

    \b
    Examples:
      kitgen library --style samba,bossa --tempo 90..120:10
      kitgen library --style swing --form blues --ending tag --without RH --out out/swing-blues
      kitgen library --style all --jobs 2 --out out/library
      kitgen library --style my-groove.toml --section fill --exact
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.library import outside, sections_in
    from kitgen.read.players import player_named
    from kitgen.write.chosen import chosen
    from kitgen.write.library import library_kinds, manifest_text
    from kitgen.write.midi import check_tracks

    check_jobs(options["jobs"])
    check_tracks(options["tracks"])
    chosen(options)
    kinds = library_kinds(options["to"])
    recipe = _recipe(options)
    sections = sections_in(recipe, options["style"], by=player_named(options["player"]))
    for words in outside(sections):
        print(words, file=sys.stderr)
    if options["show"]:
        _print(sections)
        return
    out = Path(options["out"] or "out/library")
    written = _write(out, sections, recipe, kinds, options)
    if options["as_json"]:
        sys.stdout.write(manifest_text(out))
    else:
        pages, files = (
            f"{n} {what}{'s' if n > 1 else ''}" for n, what in ((written.pages, "page"), (written.files, "file"))
        )
        print(f"{pages}, {files} in {out}; open {out / 'index.html'}")
    for name, why in written.skipped:
        print(f"{name} not made: {why}", file=sys.stderr)


def _write(
    out: Path,
    sections: "tuple[Section, ...]",
    recipe: "LibraryRecipe",
    kinds: tuple[str, ...],
    options: dict[str, Any],
) -> "Written":
    from kitgen.write.library import write_library

    title = "Grooves of every style" if recipe.style == "all" else f"Grooves: {recipe.style.replace(',', ', ')}"
    with side_by_side(options["jobs"], len(sections)) as executor, progress("writing sections") as told:
        return write_library(
            out,
            sections,
            title=title,
            recipe=str(recipe),
            kinds=kinds,
            force=options["force"],
            executor=executor,
            told=told,
        )


def _print(sections: "tuple[Section, ...]") -> None:
    from kitgen.write.library import library_texts

    first = True
    for text in library_texts(sections):
        if isinstance(text, str):
            sys.stdout.write(text if first else f"\n{text}")
            first = False
        else:
            print(f"{text[0]} not made: {text[1]}", file=sys.stderr)


_WORKED_OUT = frozenset(("style", "player", "sums"))
"""What a recipe does not hold as the option was given."""


def _recipe(options: dict[str, Any]) -> "LibraryRecipe":
    from kitgen.make.library_styles import canonical_styles
    from kitgen.make.library_recipe import LibraryRecipe
    from kitgen.read.players import player_words

    styles, style_sums = canonical_styles(options["style"])
    player_name, player_sums = player_words(options["player"])
    told = {item.name: options[item.name] for item in fields(LibraryRecipe) if item.name not in _WORKED_OUT}
    sums = tuple(dict.fromkeys((*style_sums, *player_sums)))
    return LibraryRecipe(style=styles, player=player_name, sums=sums, **told)
