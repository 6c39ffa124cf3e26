"""``kitgen chart``: a band chart to read, and played out."""

import sys
from pathlib import Path
from typing import Any

import click

from kitgen.cli.options import OUTPUT_OPTIONS, PLAY_OPTIONS, TRACKS_OPTION, with_options
from kitgen.cli.output import deliver


@click.command("chart")
@click.argument("chart", metavar="CHART.toml")
@click.option(
    "--to",
    "to",
    metavar="KIND[,KIND]",
    default="mid,txt,musicxml,pdf",
    show_default=True,
    help="Files to write. Played out: mid, txt, wav. To read: musicxml, mxl, svg (a picture), pdf.",
)
@click.option("--explain", is_flag=True, help="Print what is done about each figure and why, instead of writing.")
@click.option("--heading", metavar="TEXT", help="Your own heading, instead of the band.")
@click.option(
    "--player",
    default="school",
    show_default=True,
    metavar="NAME|FILE",
    help="Who plays: sets what a hand needs on its way.",
)
@click.option("--hand", default="right", show_default=True, metavar="right|left", help="Hand setting of the kit.")
@click.option("--seed", type=int, default=0, show_default=True, help="Which of several fills comes first.")
@with_options(TRACKS_OPTION)
@click.option("--paper", default="letter", show_default=True, metavar="letter|a4", help="What it is printed on.")
@click.option(
    "--print-size", default="normal", show_default=True, metavar="normal|large", help="Size of notes and words."
)
@with_options(*PLAY_OPTIONS, *OUTPUT_OPTIONS[1:])
def command(chart: str, **options: Any) -> None:
    """A band chart for the drums: to read, and played out.

    The file says the form (sections with their style, repeats and endings, D.S. and coda, stops, rests, dynamics) and
    the figures of the band. What is written to read is one part: a slash a beat for time, the full band's figures as
    rhythmic slashes, one section's small above the staff. What is played out, as MIDI and box text, has the form
    unfolded: full figures set up and kicked, one section's caught lightly, the saxes' left alone, fills into sections,
    plain time elsewhere.

    \b
    Of a chart: title, band, words, style, meter, tempo, bars. Of a [[section]]: mark, bars, style, meter, tempo, words,
    as, dynamics, times, endings, repeat-from, segno, to-coda, coda, back, fine, stops, rests, fill. Of a [[figure]]:
    section, bar, line (or file, part, measures), who, how.

    \b
    Examples:
      kitgen chart out/demo/ferry-at-six.toml
      kitgen chart out/demo/ferry-at-six.toml --explain
      kitgen chart out/demo/ferry-at-six.toml --to pdf --paper a4 --out out/ferry
      kitgen chart out/demo/ferry-at-six.toml --to mid,wav --mute RH,LH --from F

    \b
    A chart:
      title = "Low Water"
      style = "swing"
      tempo = 126
      [[section]]
      mark = "A"
      bars = 10
      endings = [2, 2]
      [[figure]]
      section = "A"
      bar = 4
      line = ".. .x .. x-"
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.applied import elements_in
    from kitgen.make.chart_recipe import ChartRecipe
    from kitgen.make.charted import charted
    from kitgen.read.charts import read_chart
    from kitgen.read.players import player_named, player_words
    from kitgen.write.chart_files import CHART_WORDS, ChartWork, chart_files
    from kitgen.write.manifest import Folder
    from kitgen.write.midi import check_tracks
    from kitgen.write.played import played, suited

    check_tracks(options["tracks"])
    kinds, paper = _kinds(options["to"]), _paper(options)
    play = played({**options, "repeats": 1}, kinds)
    player = player_named(options["player"])
    source = read_chart(Path(chart))
    player_name, sums = player_words(options["player"])
    recipe = ChartRecipe(
        chart=source.words,
        sums=(*source.sums, *sums, *play.sums),
        player=player_name,
        **{name: options[name] for name in ("hand", "seed", "tracks", "heading", "paper", "print_size")},
        **play.words,
    )
    made = charted(source.chart, recipe, player)
    for words in source.remarks:
        print(words, file=sys.stderr)
    if options["explain"]:
        print("\n".join(made.decisions))
        return
    read = ChartWork(source.chart, kinds, made.fills, str(recipe), options["heading"] or "", paper)
    more = {} if options["show"] else chart_files(read)
    elements = [elements_in(made.page)]
    pages, plays, as_usual = suited([made.page], [play.along], elements)
    deliver(
        Folder(
            source.chart.title,
            str(recipe),
            pages,
            elements,
            plays=plays,
            tracks=options["tracks"],
            seed=recipe.seed,
            kinds=tuple(kind for kind in kinds if kind in _PLAYED),
            hearing=play.hearing,
            as_usual=as_usual,
            more=more,
            beside={name: CHART_WORDS[Path(name).suffix[1:]] for name in more},
        ),
        options,
        usual=f"out/{Path(source.words).stem}",
    )
    if not options["as_json"] and not options["show"]:
        print("\n".join(f"  to read: {name}" for name in more))


_PLAYED = ("mid", "txt", "wav")


def _kinds(words: str) -> tuple[str, ...]:
    from kitgen.errors import OptionError
    from kitgen.write.chart_files import CHART_KINDS

    kinds = tuple(dict.fromkeys(word.strip() for word in words.split(",") if word.strip()))
    allowed = (*_PLAYED, *CHART_KINDS)
    for kind in kinds:
        if kind not in allowed:
            raise OptionError(f"--to {words}: a chart is written as {', '.join(allowed)}")
    if not kinds:
        raise OptionError(f"--to names nothing; a chart is written as {', '.join(allowed)}")
    return kinds


def _paper(options: dict[str, Any]) -> Any:
    from kitgen.write.chosen import chosen
    from kitgen.write.paper import USUAL_PAPER

    return chosen(options).paper or USUAL_PAPER
