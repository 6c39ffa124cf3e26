"""``kitgen tour``: the shortest exercise with every limb-to-limb change."""

from dataclasses import fields, replace
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

if TYPE_CHECKING:
    from kitgen.kit import Kit
    from kitgen.make.tour_recipe import TourRecipe


@click.command("tour")
@click.option(
    "--limbs", metavar="LIMB,LIMB", help="Limbs that tour, in the order in which they join; all that are free."
)
@click.option(
    "--under",
    default="none",
    show_default=True,
    metavar="NAME|ROWS|FILE",
    help="Ostinato the other limbs keep: by name, as box rows, or in a text file of rows.",
)
@click.option(
    "--subdivision",
    metavar="NAME",
    help="Slots: 8ths, 16ths, triplets, quintuplets, sextuplets; 16ths, or 8ths if the beat is no quarter or swings.",
)
@click.option("--no-silence", is_flag=True, help="No slot is silent.")
@click.option("--no-triples", is_flag=True, help="No limb strikes three times in a row; adds a longer, varied page.")
@click.option("--playable", is_flag=True, help="Leave out changes too fast for the player at the goal tempo.")
@click.option("--meter", default="4/4", show_default=True, help="Meter: 4/4, 6/8, 2+2+3/8.")
@with_options(*TEMPO_OPTIONS)
@with_options(*KIT_OPTIONS)
@click.option("--surface", metavar="LIMB=LABEL", help="What limbs strike, such as RH=snare,LH=floor-tom.")
@with_options(*PLAYER_OPTIONS)
@with_options(TRACKS_OPTION)
@click.option("--seed", type=int, default=0, show_default=True, help="Chooses among tours that read as well.")
@with_options(REPEATS_OPTION)
@click.option("--title", metavar="TEXT", help="Title of the pages together.")
@click.option("--heading", metavar="TEXT", help="Your own heading for every page: school, class, date.")
@click.option("--pages", metavar="N[-M]", help="Only these pages.")
@with_options(*PLAY_OPTIONS, *PAGE_OPTIONS, *OUTPUT_OPTIONS)
def command(**options: Any) -> None:
    """The shortest exercise with every change from one set of limbs to another.

    Two limbs take 16 slots, three take 64 and four take 256: in sixteenths one bar, 4 bars and 16 bars of 4/4. Over an
    ostinato every change of the free limbs is met at every place of it. Each page says how many changes there are and
    how many it meets; kitgen check counts them again from the notes.

    \b
    Examples:
      kitgen tour --limbs RH,LH,RF,LF
      kitgen tour --limbs RH,LH --under samba
      kitgen tour --limbs RH,LH,RF --no-silence --tempo 60..80
      kitgen tour --limbs RH,LH --under samba --to pdf --bar-repeats
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.applied import elements_in, following_feel, ladder_of
    from kitgen.make.toured import toured
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
    player = player_named(options["player"])
    recipe = _recipe(kit, {**options, **play.words}, play.sums)
    pages, numbers = toured(recipe, on=kit, by=player)
    elements = [elements_in(page, kit) for page in pages]
    along = [replace(play.along, feel=following_feel(recipe, page)) for page in pages]
    pages, plays, as_usual = suited(pages, along, elements)
    deliver(
        Folder(
            recipe.title or "Every change from one set of limbs to another",
            str(recipe),
            pages,
            elements,
            plays=plays,
            tracks=options["tracks"],
            seed=options["seed"],
            keys=dict(kit.keys),
            kinds=kinds,
            numbers=numbers,
            hearing=play.hearing,
            as_usual=as_usual,
            **look._asdict(),
        ),
        options,
        usual="out/tour",
    )


_WORKED_OUT = frozenset(("limbs", "tempo", "swing_unit", "under", "kit", "hand", "player", "sums"))
"""What a recipe does not hold as the option was given."""


def _recipe(kit: "Kit", options: dict[str, Any], font: tuple[str, ...]) -> "TourRecipe":
    """The recipe of the whole command."""
    from kitgen.kit import Limb
    from kitgen.make.applied import canonical_tempo
    from kitgen.make.tour_recipe import TourRecipe
    from kitgen.read.kits import kit_words
    from kitgen.read.players import player_words
    from kitgen.read.rows import rows_given

    kit_name, kit_sums = kit_words(options["kit"])
    player_name, player_sums = player_words(options["player"])
    limbs = options["limbs"]
    if limbs is not None:
        limbs = ",".join(Limb.parse(word).name for word in limbs.split(",") if word.strip())
    return TourRecipe(
        limbs=limbs,
        tempo=canonical_tempo(options["tempo"]),
        swing_unit=int(options["swing_unit"]),
        under=rows_given(options["under"]) or "none",
        kit=kit_name,
        hand=kit.hand,
        player=player_name,
        sums=(*kit_sums, *player_sums, *font),
        **{item.name: options[item.name] for item in fields(TourRecipe) if item.name not in _WORKED_OUT},
    )
