"""``kitgen apply``: one line onto the kit."""

import sys
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from kitgen.cli.options import (
    KIT_OPTIONS,
    LINE_OPTIONS,
    OUTPUT_OPTIONS,
    PAGE_OPTIONS,
    PLAY_OPTIONS,
    PLAYER_OPTIONS,
    REPEATS_OPTION,
    SHAPE_OPTIONS,
    TEMPO_OPTIONS,
    TRACKS_OPTION,
    with_options,
)
from kitgen.cli.output import check_output, deliver

if TYPE_CHECKING:
    from kitgen.errors import RefusedError
    from kitgen.kit import Kit
    from kitgen.make.applied import Refused
    from kitgen.make.recipe import ApplyRecipe
    from kitgen.read.lines import LineSource


@click.command("apply")
@click.argument("line")
@click.option(
    "--as", "as_", required=True, metavar="NAME[,NAME]|all", help="Applications; see kitgen list applications."
)
@with_options(*LINE_OPTIONS)
@click.option("--bars", type=int, help="Repeat or cut the line to so many bars.")
@with_options(*TEMPO_OPTIONS)
@click.option(
    "--under", metavar="NAME|ROWS|FILE", help="Ostinato by name, as box rows, or in a text file of rows; none for none."
)
@with_options(*KIT_OPTIONS)
@with_options(*SHAPE_OPTIONS, *PLAYER_OPTIONS)
@with_options(TRACKS_OPTION)
@click.option("--seed", type=int, default=0, show_default=True, help="Of the small variation of loudness.")
@with_options(REPEATS_OPTION)
@click.option("--title", metavar="TEXT", help="Title of the page, instead of its own.")
@click.option("--heading", metavar="TEXT", help="Your own heading for every page: school, class, date.")
@click.option("--explain", is_flag=True, help="Say what the sticking of each page costs, stroke by stroke.")
@click.option(
    "--write-values",
    default="as-played",
    show_default=True,
    metavar="as-played|twice|half",
    help="Write pages in twice or half the note values; they sound the same.",
)
@with_options(*PLAY_OPTIONS, *PAGE_OPTIONS, *OUTPUT_OPTIONS)
def command(line: str, **options: Any) -> None:
    """One line onto the kit.

    LINE is typed as boxes ("x.x. xxx x--- ..x-"), counts ("1 & 2 e & a 3 4 &") or note values ("4 8 8 4. 8"), or is the
    name of a MIDI or score file, or - for standard input.

    \b
    Examples:
      kitgen apply "1 & 2 e & a 3 4 &" --as all --tempo 96 --out out/first
      kitgen apply "x.x. .xx. x... xxxx" --as limb --limb LH --under samba
      kitgen apply tune.musicxml --measures 5-12 --as linear --order RH,LH,RF,LF
      kitgen apply "1 & 2 e & a 3 4 &" --as groove --to mid,pdf --stickings all --counts numbers
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.applied import (
        check_settings,
        counted_on,
        elements_in,
        following_feel,
        ladder_of,
        pages_of,
        pickup_of,
    )
    from kitgen.read.kits import kit_named
    from kitgen.read.lines import read_line
    from kitgen.read.players import player_named
    from kitgen.write.chosen import chosen
    from kitgen.write.manifest import Folder
    from kitgen.write.midi import check_tracks
    from kitgen.write.played import played, suited

    check_tracks(options["tracks"])
    names = _names(options["as_"])
    kinds, look = check_output(options), chosen(options)
    play = played(options, kinds, ladder_of(options["tempo"]))
    source = read_line(line, **{name: options[name] for name in (*_OF_TYPED, *_OF_FILES)})
    kit = kit_named(options["kit"], hand=options["hand"])
    player = player_named(options["player"])
    recipe = _recipe(source, kit, {**options, **play.words}, play.sums)
    check_settings(recipe, names, source.line, on=kit, by=player)
    pages, refused = pages_of(recipe, names, source.line, on=kit, by=player)
    if not pages:
        raise _none_made(refused)
    elements = [elements_in(page, kit) for page in pages]
    pages, plays, as_usual = suited(
        pages,
        [
            replace(
                play.along,
                tempi=counted_on(page, play.along.tempi),
                feel=following_feel(recipe, page),
                pickup=pickup_of(source.line, page),
            )
            for page in pages
        ],
        elements,
    )
    deliver(
        Folder(
            options["title"] or "Pages from one line",
            str(recipe),
            pages,
            elements,
            [(item.name, item.why) for item in refused],
            plays,
            options["tracks"],
            options["seed"],
            dict(kit.keys),
            kinds,
            hearing=play.hearing,
            as_usual=as_usual,
            **look._asdict(),
        ),
        options,
        usual="out/apply",
    )
    if options["explain"]:
        from kitgen.make.explain import explanation

        for page in pages:
            print("\n".join(explanation(page, player, kit.hand)), file=sys.stderr if options["as_json"] else sys.stdout)
    for words in (*source.remarks, *(f"{item.name} not made: {item.why}" for item in refused)):
        print(words, file=sys.stderr)


_OF_TYPED = ("meter", "notation", "pad")
_OF_FILES = ("part", "channel", "subdivisions", "measures", "unfold")
_WORKED_OUT = frozenset(
    (*_OF_TYPED, *_OF_FILES, "line", "as_", "tempo", "swing_unit", "under", "kit", "hand", "player", "sums")
)
"""What a recipe does not hold as the option was given."""


def _names(words: str) -> list[str]:
    """The applications asked for, each once."""
    from kitgen.apply import APPLICATIONS, application
    from kitgen.errors import OptionError

    if words.strip() == "all":
        return list(APPLICATIONS)
    names = [application(word.strip()).name for word in words.split(",") if word.strip()]
    if not names:
        raise OptionError("--as names no application; see kitgen list applications")
    return list(dict.fromkeys(names))


def _recipe(source: "LineSource", kit: "Kit", options: dict[str, Any], font: tuple[str, ...]) -> "ApplyRecipe":
    """The recipe of the whole command; of how a line was typed or read, only what its canonical text leaves open."""
    from kitgen.make.applied import canonical_tempo
    from kitgen.make.recipe import OPTIONS, ApplyRecipe
    from kitgen.read.kits import kit_words
    from kitgen.read.players import player_words
    from kitgen.read.rows import rows_given

    if source.typed:
        options = {**options, "meter": str(source.line.meters.only)}
    read = ("meter",) if source.typed else _OF_FILES
    kit_name, kit_sums = kit_words(options["kit"])
    player_name, player_sums = player_words(options["player"])
    return ApplyRecipe(
        line=source.words,
        as_="all" if options["as_"].strip() == "all" else ",".join(_names(options["as_"])),
        tempo=canonical_tempo(options["tempo"]),
        swing_unit=int(options["swing_unit"]),
        under=rows_given(options["under"]),
        kit=kit_name,
        hand=kit.hand,
        player=player_name,
        sums=(*source.sums, *kit_sums, *player_sums, *font),
        **{name: options[name] for name in OPTIONS if name in read or name not in _WORKED_OUT},
    )


def _none_made(refused: "Sequence[Refused]") -> "RefusedError":
    """The error that every application asked for has refused."""
    from kitgen.errors import RefusedError

    if len(refused) == 1:
        return RefusedError(f"{refused[0].name} refused: {refused[0].why}")
    return RefusedError("every application refused: " + "; ".join(f"{item.name}: {item.why}" for item in refused))
