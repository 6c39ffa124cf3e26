"""``kitgen library``: the groove library as files that loop, at any tempi."""

import sys
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kitgen.cli.jobs import check_jobs, side_by_side
from kitgen.cli.options import (
    FORCE_OPTION,
    JSON_OPTION,
    KIT_OPTIONS,
    PAGE_OPTIONS,
    PLAY_OPTIONS,
    TRACKS_OPTION,
    jobs_option,
    with_options,
)
from kitgen.cli.progress import progress

if TYPE_CHECKING:
    from kitgen.kit import Kit
    from kitgen.make.library import Section
    from kitgen.make.library_recipe import LibraryRecipe
    from kitgen.write.library import Written
    from kitgen.write.played import Hearing, Played

_OUTPUT = (
    click.option(
        "--to",
        "to",
        metavar="KIND[,KIND]",
        default="mid",
        show_default=True,
        help="Files to write of each page: mid, txt, musicxml, mxl, svg (a picture), pdf (a sheet to print), "
        "wav (to hear).",
    ),
    click.option("--out", metavar="DIR", type=click.Path(), help="Folder to write to; out/library unless told."),
    click.option("--print", "show", is_flag=True, help="Print the pages as text instead of writing anything."),
    FORCE_OPTION,
    JSON_OPTION,
    jobs_option("sections"),
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
    metavar="BPM|A..B[:STEP|marks]",
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
@click.option("--clave", metavar="2-3|3-2", help="Side of the clave, for styles that have one; their own unless told.")
@click.option(
    "--without",
    metavar="LIMB[,LIMB]",
    help="Write each file a second time without these limbs, for you to play; --mute takes them out of the play-along.",
)
@click.option("--exact", is_flag=True, help="Every stroke on the grid at its level; else small, seeded differences.")
@click.option(
    "--player",
    default="advanced",
    show_default=True,
    metavar="NAME|FILE",
    help="Who has to be able to play it: beginner, school, advanced, or a player file (TOML).",
)
@with_options(*KIT_OPTIONS, TRACKS_OPTION)
@click.option("--seed", type=int, default=0, show_default=True, help="Chooses phrases and small differences.")
@click.option("--heading", metavar="TEXT", help="Your own heading for every page: school, class, date.")
@click.option(
    "--click",
    default="usual",
    show_default=True,
    metavar="KIND",
    help="Click of the play-along: usual (2 and 4 where eighths swing, else beats), beats, 2-and-4, bar (1 only), "
    "half-time (1 and 3), none, or like 2-on-2-off.",
)
@with_options(*PLAY_OPTIONS[1:], *PAGE_OPTIONS, *_OUTPUT)
def command(**options: Any) -> None:
    """Grooves, fills and endings of styles as MIDI files that loop, at any tempi.

    Every pattern of a style is a file that loops: grooves and variations as they are, fills in a phrase of time,
    endings after time. The play-along goes through a form, with small cues after four bars and larger ones after eight.
    What cannot be played at a tempo is left out and said.

    \b
    Examples:
      kitgen library --style samba,bossa --tempo 90..120:10 --out out/latin
      kitgen library --style swing --form blues --ending tag --without RH --out out/swing-blues
      kitgen library --style all --jobs 2 --out out/library
      kitgen library --style my-groove.toml --section fill --exact --out out/my-groove
      kitgen library --style mambo --clave 3-2 --tempo 84..112:marks --section play-along --to mid,wav --out out/mambo
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.library import outside, sections_in
    from kitgen.read.kits import kit_named
    from kitgen.read.players import player_named
    from kitgen.write.chosen import chosen
    from kitgen.write.library import library_kinds, manifest_text
    from kitgen.write.midi import check_tracks
    from kitgen.write.played import played

    check_jobs(options["jobs"])
    check_tracks(options["tracks"])
    chosen(options)
    kinds = library_kinds(options["to"])
    play = played({**options, "click": _click(options["click"])}, kinds)
    kit = kit_named(options["kit"], hand=options["hand"])
    recipe = _recipe(options, kit, play)
    sections = sections_in(recipe, options["style"], by=player_named(options["player"]), on=kit)
    for words in outside(sections, recipe.clave):
        print(words, file=sys.stderr)
    if options["show"]:
        _print(sections)
        return
    out = Path(options["out"] or "out/library")
    written = _write(out, sections, recipe, kinds, play.hearing, options)
    if options["as_json"]:
        sys.stdout.write(manifest_text(out))
    else:
        pages, files = (
            f"{n} {what}{'s' if n > 1 else ''}" for n, what in ((written.pages, "page"), (written.files, "file"))
        )
        print(f"{pages}, {files} in {out}; open {out / 'index.html'}")
    for words in written.as_usual:
        print(words, file=sys.stderr)
    for name, why in written.skipped:
        print(f"{name} not made: {why}", file=sys.stderr)


def _write(
    out: Path,
    sections: "tuple[Section, ...]",
    recipe: "LibraryRecipe",
    kinds: tuple[str, ...],
    hearing: "Hearing",
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
            hearing=hearing,
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


_WORKED_OUT = frozenset(("style", "player", "kit", "hand", "sums"))
"""What a recipe does not hold as the option was given."""


def _click(words: str) -> str:
    """The click asked for; beats where it is left to each style."""
    return "beats" if words.lower() == "usual" else words


def _recipe(options: dict[str, Any], kit: "Kit", play: "Played") -> "LibraryRecipe":
    from kitgen.make.library_recipe import USUAL, LibraryRecipe
    from kitgen.make.library_styles import canonical_styles
    from kitgen.read.kits import kit_words
    from kitgen.read.players import player_words

    styles, style_sums = canonical_styles(options["style"])
    player_name, player_sums = player_words(options["player"])
    kit_name, kit_sums = kit_words(options["kit"])
    told = {**options, **play.words}
    if options["click"].lower() == USUAL:
        told["click"] = USUAL
    return LibraryRecipe(
        style=styles,
        player=player_name,
        kit=kit_name,
        hand=kit.hand,
        sums=tuple(dict.fromkeys((*style_sums, *kit_sums, *player_sums, *play.sums))),
        **{item.name: told[item.name] for item in fields(LibraryRecipe) if item.name not in _WORKED_OUT},
    )
