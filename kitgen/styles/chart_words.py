"""Why a chart is played as it is: a sentence for each figure and each fill, with its bar."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from kitgen.kit import surface
from kitgen.line import Line, Note
from kitgen.pattern import Level
from kitgen.styles.chart import PARTY_WORDS
from kitgen.styles.chart_heard import HEARD
from kitgen.styles.chart_play import Play
from kitgen.time import count_name

_APART = 2
"""Beats without a note that part one figure from the next: room enough for a set-up."""


def decisions(play: Play) -> tuple[str, ...]:
    """What is done about each figure and at each end of a section, and why, in the order it is played."""
    said = [*_of_figures(play), *_of_silence(play), *_of_ends(play), *_ending(play)]
    return tuple(words for _, words in sorted(said, key=lambda one: one[0]))


def _of_figures(play: Play) -> Iterator[tuple[Fraction, str]]:
    for who, line in play.lines.items():
        for notes in _apart(line):
            first = notes[0].onset
            head = f"{_where(play, first)}: {PARTY_WORDS[who]}, {_counted(play, notes)}"
            if who == "full":
                yield first, f"{head}: {_kicks(play, notes)}; {_set_up(play, notes)}"
            elif who == HEARD:
                yield first, f"{head}: heard, not caught; time goes on"
            elif play.in_fill(first):
                yield first, f"{head}: not caught, since a fill is played there"
            else:
                caught = _caught(play, notes)
                how = (
                    f"caught lightly with {caught}"
                    if caught
                    else "heard and not caught, what could catch it being busy with time"
                )
                yield first, f"{head}: {how}; time goes on, and one section's figures are not set up"


def _of_silence(play: Play) -> Iterator[tuple[Fraction, str]]:
    """Figures in bars in which nothing of them is played, once a bar."""
    for who, places in play.unplayed.items():
        bars = {play.bar_at(at): at for at in reversed(places)}
        for bar, at in bars.items():
            why = "the drums rest" if play.is_rest(bar) else "in stop-time only the full band's figures are played"
            yield at, f"{_where(play, at)}: {PARTY_WORDS[who]}, from {_count(play, at)}: heard, not played; {why}"


def _apart(line: Line) -> Iterator[list[Note]]:
    """The notes of a line in figures, each as far from the next as a set-up takes."""
    group = [line.notes[0]]
    for before, note in pairwise(line.notes):
        if note.onset - before.onset >= _APART * line.meters.beat_at(note.onset).full:
            yield group
            group = []
        group.append(note)
    yield group


def _where(play: Play, at: Fraction) -> str:
    """A bar as it is played, and where it is written."""
    here = play.bar_at(at)
    number = play.meters.beat_at(at).bar
    return f"bar {number} ({play.label(here.passage)}, its bar {here.bar})"


def _count(play: Play, at: Fraction) -> str:
    return count_name(play.meters, at).partition("count ")[2].replace('"', "")


def _counted(play: Play, notes: Sequence[Note]) -> str:
    said = [f"{_count(play, note.onset)} {'long' if play.full.is_long(note) else 'short'}" for note in notes]
    return ", ".join(said)


def _kicks(play: Play, notes: Sequence[Note]) -> str:
    """What the figure's notes are kicked with, each way once."""
    ways = dict[str, None]()
    for note in notes:
        struck = [hit for hit in play.struck.get(note.onset, ()) if hit.level > Level.FEATHER]
        heard = [hit.surface for hit in struck if hit.surface in ("crash", "snare", "bass")]
        if not play.full.is_long(note):
            heard = [label for label in heard if label != "crash"][:1]
        ways[
            ("long: " if play.full.is_long(note) else "short: ") + " and ".join(surface(one).words for one in heard)
        ] = None
    return ", ".join(ways)


def _caught(play: Play, notes: Sequence[Note]) -> str:
    """What one section's notes are caught with, and where."""
    places = {note.onset for note in notes}
    hits = [hit for at in sorted(places) for hit in play.struck.get(at, ()) if hit in play.catches]
    return " and ".join(f"the {surface(hit.surface).words} on {_count(play, hit.onset)}" for hit in hits)


def _set_up(play: Play, notes: Sequence[Note]) -> str:
    first = notes[0].onset
    meant = {at: one for at, one in play.led.items() if one.figure in {note.onset for note in notes}}
    led = {at: drum for at, one in meant.items() if (drum := _struck_on(play, at, one.drum))}
    if led:
        return _led(play, led, first)
    if meant:
        return "no set-up: the hand has the time to keep there"
    here = play.bar_at(first)
    before = play.bars.index(here) - (first == here.start)
    if before < 0:
        return "no set-up, since nothing comes before it"
    if play.in_fill(first - Fraction(1, 16)) or (
        first > 0 and any(play.spans[one.passage][1] == first for one in play.fills)
    ):
        return "no set-up, since the fill leads into it"
    if play.is_stop(play.bars[before]):
        return "no set-up in stop-time, nothing but the figures"
    if play.is_rest(play.bars[before]):
        return "no set-up, since the drums rest before it"
    return "no set-up: there is no room, a figure has just ended"


def _struck_on(play: Play, at: Fraction, drum: str) -> str:
    """What a set-up is struck on: its drum, or the snare of a backbeat that stays; empty where neither is."""
    struck = {hit.surface for hit in play.struck.get(at, ()) if hit.level >= Level.NORMAL}
    return next((label for label in (drum, "snare") if label in struck), "")


def _led(play: Play, led: dict[Fraction, str], first: Fraction) -> str:
    places = " and ".join(f"{surface(drum).words} on {_count(play, at)}" for at, drum in sorted(led.items()))
    off = play.meters.beat_at(first).start != first
    if off and all(play.meters.beat_at(at).start == at for at in led):
        return f"set up with the {places}: an off-beat figure is set up on the beat before it"
    kind = "a figure off the beat" if off else "a figure on the beat"
    return f"set up with the {places}: {kind} is set up just before it"


def _of_ends(play: Play) -> Iterator[tuple[Fraction, str]]:
    """The fills, and why there is none where a section ends without."""
    fills = {one.passage: one for one in play.fills}
    for passage in range(len(play.passages) - 1):
        end = play.spans[passage][1]
        into = play.label(passage + 1)
        if (fill := fills.get(passage)) is not None:
            beats = sum(beat.start >= fill.begins and beat.end <= end for beat in play.meters.beats)
            many = f"{beats} beat{'s' if beats > 1 else ''}"
            yield fill.begins, f"{_where(play, fill.begins)}: a fill of {many} into {into} ({fill.pattern.words})"
        else:
            yield (
                end - Fraction(1, 16),
                f"{_where(play, end - Fraction(1, 16))}: no fill into {into}, {_why_none(play, passage)}",
            )


def _ending(play: Play) -> Iterator[tuple[Fraction, str]]:
    """How the piece ends."""
    last = play.meters.bars[-1].start
    if (ending := play.ending) is not None:
        at = play.meters.span - ending.pattern.span + ending.starts
        yield at, f"{_where(play, at)}: the style's ending ({ending.words})"
    elif play.full.notes and play.full.notes[-1].onset >= last - play.meters.bars[-1].length:
        at = play.full.notes[-1].onset
        yield at + Fraction(1, 64), f"{_where(play, at)}: time ends with the band's last note"


def _why_none(play: Play, passage: int) -> str:
    last, following = play.bars_of(passage)[-1], play.bars_of(passage + 1)[0]
    if play.section(passage).fill == "none":
        return "as the chart says"
    if play.is_rest(following):
        return "since the drums rest there"
    if play.is_stop(last):
        return "since time has stopped"
    if play.is_rest(last):
        return "since the drums rest before it"
    if play.is_stop(following):
        return "since it begins with a stop"
    end = play.spans[passage][1]
    if any(end - last.written.length <= at < end for at in play.full.onsets):
        return "since the band's figure leads into it"
    if end - play.caught_before(end) <= last.written.length:
        return "since one section of the band plays there"
    return "since the style has none that fits there"
