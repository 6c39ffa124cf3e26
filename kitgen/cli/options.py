"""Options that mean the same on every command."""

from collections.abc import Callable
from typing import Any, TypeVar

import click

_F = TypeVar("_F", bound=Callable[..., Any])

LINE_OPTIONS = (
    click.option("--meter", default="4/4", show_default=True, help="Meter of a typed line: 4/4, 6/8, 2+2+3/8."),
    click.option(
        "--notation", metavar="NAME", help="Read a typed line as boxes, counts or values, whatever it looks like."
    ),
    click.option("--pad", is_flag=True, help="Fill the last bar of a typed line with rest."),
    click.option("--part", metavar="NAME|N", help="Part of a score, or track of a MIDI file; the first unless told."),
    click.option("--channel", type=click.IntRange(1, 16), help="Channel of a MIDI file, 1 to 16, instead of a track."),
    click.option("--subdivisions", metavar="N[,N]", help="Ways a beat of a MIDI file may divide, such as 1,2,3,4,5."),
    click.option("--measures", metavar="A-B", help="Only these bars, such as 5-12."),
    click.option("--unfold", is_flag=True, help="Play out the repeats of a score."),
)

SHAPE_OPTIONS = (
    click.option("--limb", metavar="RH|LH|RF|LF", help="The moving limb."),
    click.option("--surface", metavar="LABEL", help="What the moving limb, the time or the long notes are on."),
    click.option("--order", metavar="LIMB,LIMB", help="Limbs in the order a line or its roles are passed."),
    click.option(
        "--gaps", default="left", show_default=True, metavar="left|filled", help="Empty places of a passed line."
    ),
    click.option("--carry", is_flag=True, help="Let the order run on where the line repeats."),
    click.option(
        "--sticking",
        default="natural",
        show_default=True,
        metavar="NAME",
        help="natural, alternating, doubles, paradiddle, together, computed.",
    ),
    click.option("--half-time", is_flag=True, help="Backbeat in the middle of the bar."),
    click.option("--rudiment", metavar="NAME", help="Rudiment to lay on the line; see kitgen list rudiments."),
    click.option(
        "--taps", default="tap", show_default=True, metavar="tap|bass|double", help="What fills a line's stream."
    ),
    click.option("--last", type=int, help="Notes at each bar's end that move to another limb; all numbers if unsaid."),
    click.option("--in-triplets", is_flag=True, help="Read a line of eighths in triplets."),
    click.option(
        "--fill", default="1-bar", show_default=True, metavar="LENGTH", help="1-beat, 2-beats, 1-bar or 2-bars."
    ),
    click.option("--phrase", type=int, default=4, show_default=True, help="Bars of a phrase."),
    click.option("--form", type=int, help="Bars of the form the figures stand in, such as 12 or 32."),
    click.option(
        "--land", default="one", show_default=True, metavar="one|and-of-4", help="Where a fill lands: 1, or & of 4."
    ),
    click.option(
        "--section", default="full", show_default=True, metavar="full|one|saxes", help="Who plays the figures."
    ),
    click.option("--stop-time", is_flag=True, help="Nothing but the figures, no time between them."),
    click.option("--against", metavar="N|M:N", help="Even strokes a bar against the line, or against each other."),
    click.option("--beats", type=int, help="How many beats of the line go over the bar."),
    click.option(
        "--value", default="twice", show_default=True, metavar="twice|half", help="Write the line in these values."
    ),
    click.option(
        "--clave", default="son", show_default=True, metavar="son|rumba", help="Clave to hold a line against."
    ),
)

PLAYER_OPTIONS = (
    click.option(
        "--player",
        default="school",
        show_default=True,
        metavar="NAME|FILE",
        help="Who has to be able to play it: beginner, school, advanced, or a player file (TOML).",
    ),
    click.option("--allow-unplayable", is_flag=True, help="Make a page though the player cannot play it; it says so."),
)

TEMPO_OPTIONS = (
    click.option(
        "--tempo",
        metavar="BPM|A..B[:STEP|marks]",
        help="Beats a minute, 20 to 400; the play-along climbs a range by 5, by 1 to 10, or by a metronome's marks.",
    ),
    click.option("--swing", metavar="even|N:M|auto", help="How eighths (or sixteenths) are played."),
    click.option("--swing-unit", type=click.Choice(["8", "16"]), default="8", show_default=True, help="What swings."),
)

KIT_OPTIONS = (
    click.option(
        "--kit",
        default="standard",
        show_default=True,
        metavar="NAME|FILE",
        help="standard, small, or a kit file (TOML).",
    ),
    click.option("--hand", default=None, metavar="right|left|open", help="Hand setting of the kit."),
)

TRACKS_OPTION = click.option(
    "--tracks", default="limb", show_default=True, metavar="limb|one", help="A MIDI track a limb, or one for all."
)
REPEATS_OPTION = click.option(
    "--repeats", type=int, help="Times through in the play-along; 4, fewer on long pages, four bars a tempo."
)

PLAY_OPTIONS = (
    click.option(
        "--click",
        default="beats",
        show_default=True,
        metavar="KIND",
        help="Click of the play-along: beats, 2-and-4, bar (1 only), half-time (1 and 3), none, or like 2-on-2-off.",
    ),
    click.option(
        "--count-in",
        default="usual",
        show_default=True,
        metavar="usual|one-bar|two-bars|none",
        help="Before the play-along; usual is a bar, in cut time or fast one of halves and one of quarters.",
    ),
    click.option("--mute", metavar="LIMB[,LIMB]", help="Leave these limbs out of the play-along, for you to play."),
    click.option("--from", "from_", metavar="ROW", help="Row the play-along begins with, by number or label."),
    click.option("--font", metavar="FILE", help="Sound font (.sf2, .sf3) to hear WAV files with."),
    click.option(
        "--rate",
        type=int,
        default=48000,
        show_default=True,
        metavar="44100|48000",
        help="Frames a second of WAV files.",
    ),
    click.option("--click-apart", is_flag=True, help="Write the click as a WAV file of its own, for a mixer."),
)

PAGE_OPTIONS = (
    click.option(
        "--layout",
        default="auto",
        show_default=True,
        metavar="auto|hands-feet|one|time-line",
        help="Which limbs share a voice on the staff.",
    ),
    click.option(
        "--beams",
        default="fours",
        show_default=True,
        metavar="fours|beats",
        help="Beam eighths in fours that fill half a bar, or by the beat.",
    ),
    click.option(
        "--write-swing",
        default="words",
        show_default=True,
        metavar="words|triplets",
        help="Write swing even, with words that say so, or in triplets.",
    ),
    click.option(
        "--rests",
        default="written",
        show_default=True,
        metavar="written|counted",
        help="Write each whole bar of rest, or count them under one number.",
    ),
    click.option(
        "--stickings",
        default="auto",
        show_default=True,
        metavar="auto|all|none",
        help="Print R and L under the strokes of the hands; auto does where they take turns on a drum.",
    ),
    click.option(
        "--counts",
        default="none",
        show_default=True,
        metavar="none|numbers|beat-function",
        help="What is said under the notes: 1 e & a, or by place in the beat, ta ka di mi.",
    ),
    click.option("--bar-repeats", is_flag=True, help="Show a bar equal to the one before as a repeat sign."),
    click.option(
        "--paper",
        default="letter",
        show_default=True,
        metavar="letter|a4",
        help="What sheets and books are printed on.",
    ),
    click.option(
        "--print-size",
        default="normal",
        show_default=True,
        metavar="normal|large",
        help="Size of notes and words on sheets, in books and pictures.",
    ),
)

FORCE_OPTION = click.option("--force", is_flag=True, help="Replace files that are there and differ.")
JSON_OPTION = click.option("--json", "as_json", is_flag=True, help="Print the manifest as JSON.")


def jobs_option(what: str) -> Callable[[_F], _F]:
    """How many of something are written at a time."""
    help_ = f"Write so many {what} at a time, side by side."
    return click.option("--jobs", type=int, default=1, show_default=True, metavar="N", help=help_)


OUTPUT_OPTIONS = (
    click.option(
        "--to",
        "to",
        metavar="KIND[,KIND]",
        default="mid,txt",
        show_default=True,
        help="Files to write, such as mid,txt,pdf. A page each: mid, txt, musicxml, mxl, svg (a picture), pdf (a sheet "
        "to print), wav (to hear). All pages in one PDF: book.",
    ),
    click.option("--out", metavar="DIR", type=click.Path(), help="Folder to write to; one under out/ unless told."),
    click.option("--print", "show", is_flag=True, help="Print the pages here, as text, instead of writing files."),
    FORCE_OPTION,
    JSON_OPTION,
    jobs_option("pages"),
)


def with_options(*options: Callable[[_F], _F]) -> Callable[[_F], _F]:
    """Several options as one decorator, in the order given."""

    def add(function: _F) -> _F:
        for option in reversed(options):
            function = option(function)
        return function

    return add
