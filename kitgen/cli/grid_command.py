"""``kitgen grid``: every cell for a moving limb against an ostinato, one new cell a page."""

import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from kitgen.cli.options import (
    KIT_OPTIONS,
    OUTPUT_OPTIONS,
    PAGE_OPTIONS,
    PLAY_OPTIONS,
    PLAYER_OPTIONS,
    REPEATS_OPTION,
    TEMPO_OPTIONS,
    TRACKS_OPTION,
    with_options,
)
from kitgen.cli.output import check_output, deliver
from kitgen.cli.progress import progress

if TYPE_CHECKING:
    from kitgen.kit import Kit
    from kitgen.make.grid_recipe import GridRecipe

_COUNTING = (
    click.option("--count", is_flag=True, help="Count lines instead of making pages; the options below say which."),
    click.option("--slots", type=int, default=16, show_default=True, help="With --count: places of the bar."),
    click.option("--limbs", type=int, default=1, show_default=True, help="With --count: limbs that play, 1 to 4."),
    click.option("--no-together", is_flag=True, help="With --count: never two limbs at once."),
    click.option("--density", metavar="N|A-B", help="With --count: so many strokes."),
    click.option("--syncopation", metavar="N|A-B", help="With --count: so much syncopation (one limb)."),
    click.option("--apart", type=int, default=1, help="With --count: strokes at least so many slots apart (one limb)."),
    click.option("--rotations-removed", is_flag=True, help="With --count: lines that are turns of one another, once."),
    click.option("--sample", type=int, metavar="N", help="With --count: print so many of them, each as likely."),
)


@click.command("grid")
@click.option(
    "--moving", metavar="LIMB[,LIMB]", help="Limbs that move: LH, or RH,LH in turn, RH+LH as a pair, or free."
)
@click.option(
    "--under",
    default="none",
    show_default=True,
    metavar="NAME|ROWS|FILE",
    help="Ostinatos by name, one or more (samba,bossa), as box rows, or in a text file of rows.",
)
@click.option(
    "--time",
    default="none",
    show_default=True,
    metavar="NAME",
    help="A hand keeps time on the ride: beats, eighths or swing; none for none.",
)
@click.option(
    "--cells",
    default=None,
    metavar="KIND[,KIND]",
    help="8ths, 16ths, triplets, quintuplets or sextuplets; 16ths unless told, in 6/8 and the like 8ths.",
)
@click.option("--span", type=int, default=1, show_default=True, help="Beats a cell lasts, 1 or 2.")
@click.option(
    "--order",
    default="load",
    show_default=True,
    metavar="load|traditional",
    help="1, 1 &, 1 e & a first; then the easiest first, or what begins on the number before what begins off it.",
)
@click.option("--polyrhythm", is_flag=True, help="Let cells stand against the ostinato, as 3 against 2.")
@click.option("--row-bars", type=int, default=4, show_default=True, help="Bars each row is played, repeated.")
@click.option("--meter", default="4/4", show_default=True, help="Meter; a cell spans its beat.")
@with_options(*TEMPO_OPTIONS)
@click.option("--surface", metavar="LABEL", help="What the moving limb strikes.")
@with_options(*KIT_OPTIONS)
@with_options(*PLAYER_OPTIONS)
@with_options(TRACKS_OPTION)
@click.option("--seed", type=int, default=0, show_default=True, help="Chooses what comes back in the rows.")
@with_options(REPEATS_OPTION)
@click.option("--title", metavar="TEXT", help="Title of the series.")
@click.option("--heading", metavar="TEXT", help="Your own heading for every page: school, class, date.")
@click.option("--pages", metavar="N[-M]", help="Only these pages.")
@with_options(*PLAY_OPTIONS, *PAGE_OPTIONS, *_COUNTING, *OUTPUT_OPTIONS)
def command(**options: Any) -> None:
    """Every cell for a moving limb, against an ostinato that never stops.

    The first page is the ostinato alone; each later page brings one new cell: by itself, beside those that are known,
    and in phrases. Several limbs and ostinatos make one series after the other; a pair takes each limb's own grid for
    granted.

    \b
    Examples:
      kitgen grid --moving LH --under samba --out out/left-hand
      kitgen grid --moving LH,RH --under samba --to book --jobs 2
      kitgen grid --moving free --under samba,bossa
      kitgen grid --moving LH --under hat-2-4 --cells triplets
      kitgen grid --moving LH --under quarters-hat-2-4 --time swing --cells 8ths
      kitgen grid --count --density 5 --rotations-removed --sample 8
    """  # noqa: D301  click leaves the text after \b as it stands
    if options["count"]:
        _count(options)
        return
    if options["moving"] is None:
        raise click.UsageError("name a moving limb: --moving LH, RH,LH, RH+LH or free; or --count lines")
    _write(options)


def _write(options: dict[str, Any]) -> None:
    from kitgen.grid.granted import granted
    from kitgen.make.applied import elements_in, following_feel, ladder_of
    from kitgen.make.gridded import chapters_of, gridded, title_of
    from kitgen.read.kits import kit_named
    from kitgen.read.players import player_named
    from kitgen.write.chosen import chosen
    from kitgen.write.manifest import Folder
    from kitgen.write.midi import check_tracks
    from kitgen.write.played import played, suited

    check_tracks(options["tracks"])
    kinds, look = check_output(options), chosen(options)
    play = played(options, kinds, ladder_of(options["tempo"]))
    kit = kit_named(options["kit"], hand=options["hand"])
    recipe = _recipe(kit, {**options, **play.words}, play.sums)
    with progress("making pages") as told:
        pages, steps, numbers = gridded(recipe, on=kit, by=player_named(options["player"]), told=told)
    elements = [elements_in(page, kit) for page in pages]
    along = [replace(play.along, feel=following_feel(recipe, page)) for page in pages]
    pages, plays, as_usual = suited(pages, along, elements)
    beforehand = granted(elements, steps)
    deliver(
        Folder(
            recipe.title or title_of(recipe),
            str(recipe),
            pages,
            elements,
            plays=plays,
            tracks=options["tracks"],
            seed=options["seed"],
            keys=dict(kit.keys),
            kinds=kinds,
            numbers=numbers,
            known=beforehand.known,
            one_new=beforehand.one_new,
            chapters=chapters_of(steps, numbers),
            hearing=play.hearing,
            as_usual=as_usual,
            **look._asdict(),
        ),
        options,
        usual="out/grid",
    )


def _recipe(kit: "Kit", options: dict[str, Any], font: tuple[str, ...]) -> "GridRecipe":
    """The recipe of the whole command."""
    from dataclasses import fields

    from kitgen.make.applied import canonical_tempo
    from kitgen.make.grid_recipe import GridRecipe
    from kitgen.read.kits import kit_words
    from kitgen.read.players import player_words
    from kitgen.read.rows import rows_given

    kit_name, kit_sums = kit_words(options["kit"])
    player_name, player_sums = player_words(options["player"])
    given = {item.name: options[item.name] for item in fields(GridRecipe) if item.name in options}
    return GridRecipe(
        **{
            **given,
            "under": ",".join(rows_given(one.strip()) or "" for one in options["under"].split(",")),
            "cells": options["cells"] or _usual_cells(options["meter"]),
            "tempo": canonical_tempo(options["tempo"]),
            "swing_unit": int(options["swing_unit"]),
            "kit": kit_name,
            "hand": kit.hand,
            "player": player_name,
            "sums": (*kit_sums, *player_sums, *font),
        }
    )


def _usual_cells(meter: str) -> str:
    """The cells that can be counted in a meter's beat."""
    from kitgen.time import Meter

    return "8ths" if Meter.parse(meter).denominator >= 8 else "16ths"


def _count(options: dict[str, Any]) -> None:
    from kitgen.grid.census import Census, counted, range_of, sampled

    census = Census(
        options["slots"],
        options["limbs"],
        together=not options["no_together"],
        density=range_of("--density", options["density"]),
        syncopation=range_of("--syncopation", options["syncopation"]),
        apart=options["apart"],
        rotations=not options["rotations_removed"],
    )
    rows = counted(census)
    width, digits = (
        max(map(len, column)) for column in zip(*((row.what, str(row.number)) for row in rows), strict=True)
    )
    for row in rows:
        print(f"{row.what:<{width}}  {row.number:>{digits}}  {row.how}")
    if options["sample"] is not None:
        for line in sampled(census, options["sample"], seed=options["seed"]):
            sys.stdout.write(f"\n{line}\n")
