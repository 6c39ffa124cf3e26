"""``kitgen series``: a course, one new element a page."""

import sys
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from kitgen.cli.options import OUTPUT_OPTIONS, PAGE_OPTIONS, PLAY_OPTIONS, TRACKS_OPTION, with_options
from kitgen.cli.output import check_output, deliver
from kitgen.cli.progress import progress

if TYPE_CHECKING:
    from kitgen.make.serial import Series
    from kitgen.make.series_recipe import SeriesRecipe
    from kitgen.read.plans import PlanFile


@click.command("series")
@click.argument("plan", metavar="PLAN.toml|COURSE")
@click.option("--heading", metavar="TEXT", help="Your own heading: school, class, date; instead of the plan's.")
@click.option(
    "--kit", metavar="NAME|FILE", help="The kit, instead of the plan's: standard, small, or a kit file (TOML)."
)
@click.option(
    "--hand", metavar="right|left|open", help="Hand setting of the kit; a plan for the other hand is turned round."
)
@click.option(
    "--player", metavar="NAME|FILE", help="Who plays, instead of the plan's: beginner, school, advanced, or a file."
)
@click.option("--seed", type=int, help="Of what is composed, instead of the plan's.")
@click.option("--pages", metavar="N|N-M", help="Only these pages of the series.")
@click.option("--as", "as_", metavar="NAME", help="Only the pages of one application.")
@with_options(TRACKS_OPTION)
@click.option("--repeats", type=int, help="Times through in the play-along; 4, fewer on long pages.")
@with_options(*PLAY_OPTIONS, *PAGE_OPTIONS, *OUTPUT_OPTIONS)
def command(plan: str, **options: Any) -> None:
    """A course, one new element a page.

    A plan says what a class knows and what it is to learn: cells, sounds, meters, ostinatos, lines and how they are
    played, grids. Each page brings exactly one new element; where a goal takes more, bridging pages come before it, and
    say so. kitgen check proves it from the files. COURSE is a built-in plan: see kitgen list courses; what a plan may
    have for goals, an example each: kitgen list goals.

    \b
    Of a plan: title, heading, known, seed. Of a chapter: title, goals, order (written, or free: fewest bridges),
    rests, review (a page of long rests, a page to be graded: true or false). Of both, and of a goal: meter, tempo,
    kit, hand, player, swing, swing-unit, way, surface.

    \b
    Examples:
      kitgen series rhythm
      kitgen series rhythm --heading "Alder Bay Middle School, grade 6, autumn" --pages 1-8
      kitgen series samba-feet.toml --out out/samba-feet
      kitgen series rhythm --to book --paper a4 --jobs 2 --out out/rhythm-book

    \b
    A plan:
      title = "Samba feet and the left hand"
      known = ["meter 4/4", "sound LH snare", "sound RH snare"]
      [[chapter]]
      title = "Samba feet"
      goals = ["ostinato samba", { cell = "x.xx", limb = "LH", over = "samba" },
               { line = "1 & 2 e & a 3 4 &", as = "limb", limb = "LH", under = "samba" }]
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.serial import series_of
    from kitgen.read.plans import plan_named
    from kitgen.write.chosen import chosen
    from kitgen.write.manifest import Folder
    from kitgen.write.midi import check_tracks
    from kitgen.write.played import played, suited

    check_tracks(options["tracks"])
    kinds, look = check_output(options), chosen(options)
    play = played(options, kinds)
    source = plan_named(plan)
    recipe = _recipe(source, {**options, **play.words}, play.sums)
    with progress("making pages") as told:
        series = series_of(recipe, source, told)
    elements = [one.elements for one in series.pages]
    pages, plays, as_usual = suited([one.page for one in series.pages], [play.along] * len(elements), elements)
    deliver(
        Folder(
            series.title,
            str(recipe),
            pages,
            elements,
            plays=plays,
            tracks=options["tracks"],
            seed=recipe.seed or 0,
            keys=_keys(series),
            kinds=kinds,
            numbers=series.numbers,
            of=series.of,
            known=series.known,
            set_ups=[dict(one.set_up) for one in series.pages],
            one_new=series.unbroken,
            chapters=series.chapters,
            hearing=play.hearing,
            as_usual=as_usual,
            **look._asdict(),
        ),
        options,
        usual=f"out/{Path(source.words).stem}",
    )
    for words in series.remarks:
        print(words, file=sys.stderr)


_WORKED_OUT = frozenset(("plan", "kit", "player", "sums"))
"""What a recipe does not hold as the option was given."""


def _recipe(source: "PlanFile", options: dict[str, Any], font: tuple[str, ...]) -> "SeriesRecipe":
    from kitgen.make.series_recipe import SeriesRecipe
    from kitgen.read.kits import kit_words
    from kitgen.read.players import player_words

    kit_name, kit_sums = kit_words(options["kit"]) if options["kit"] else (None, ())
    player_name, player_sums = player_words(options["player"]) if options["player"] else (None, ())
    told = {item.name: options[item.name] for item in fields(SeriesRecipe) if item.name not in _WORKED_OUT}
    sums = tuple(dict.fromkeys((*source.sums, *kit_sums, *player_sums, *font)))
    return SeriesRecipe(plan=source.words, kit=kit_name, player=player_name, sums=sums, **told)


def _keys(series: "Series") -> dict[str, int]:
    """MIDI keys of a kit of one's own."""
    return {label: key for one in series.pages for label, key in one.setup.on.keys}
