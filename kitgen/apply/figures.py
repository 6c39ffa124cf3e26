"""The line is what the horns play: time, set-ups, and the band's figures caught on the drums."""

from bisect import bisect_left
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from kitgen.apply.layers import level_of, lost_graces, ornament_of, without_graces
from kitgen.apply.setting import Application, Made, Setting
from kitgen.apply.timekeeping import by_quarters, in_threes, kept_time, offbeat, time_surface, usual_feel
from kitgen.errors import OptionError, RefusedError
from kitgen.kit import Kit, Limb
from kitgen.line import Line, Note
from kitgen.pattern import Hit, Level, Ornament, Pattern
from kitgen.time import Meters, count_name

_RUN = 3
"""Short notes in a row, each less than a beat after the last, that make a running line."""
_CLEAR, _WIDE = 2, 3
"""Beats since the last figure note: enough for a set-up, and for one of two notes before a note on the beat."""
_CLOSEST = Fraction(1, 4)
_HALVES = 2
"""Quarters of a beat that is felt in halves too, as in cut time: late in it a note is set up on its middle."""


class _Touch(NamedTuple):
    """What the other hand plays, besides time."""

    label: str
    level: Level
    ornament: Ornament | None = None


def figures(line: Line, setting: Setting) -> Made:
    """Time as in a jazz band, with the line caught as the horns' figures.

    Said to a student: time comes first, the ride before everything; then the kicks, and the set-ups last, since a
    band can live without them. A long note is a crash with the bass under it, a short one the snare; in a running line
    the notes on the beat are the bass alone. Options: ``section`` (full: kicked and set up; one: caught softly here
    and there, under time that goes on; saxes: heard, not caught), ``stop_time`` (nothing but the figures),
    ``surface`` (ride, swung under eighths, or closed hat with a backbeat), ``form`` (bars of the form: time fills what
    the line leaves). A set-up is one or two notes on a drum, only where no figure note came in the two beats
    before: on the beat before an off-beat note (late in a half-note beat on the middle of it), on the "&" before a
    note on the beat, and on the beat before that too where three beats are clear. Refused: stop-time for a section
    that is not kicked, figures outside the form. Law: every figure note of the full band sounds at its place, under
    a crash there is bass or snare, no set-up comes within a beat after a figure note, and under saxes the page is
    time alone.
    """
    if setting.stop_time and setting.section != "full":
        raise OptionError(
            f"--stop-time with --section {setting.section}: in stop-time only the figures are left, and those of one "
            "section are played under the time; use --section full, or leave --stop-time away"
        )
    line = in_form(line, setting.form)
    label = time_surface(setting, "ride", "closed-hat")
    time = kept_time(line.meters, setting, label, threes=in_threes(line))
    if setting.section == "full":
        return _kicked(line, setting, label, [] if setting.stop_time else time)
    if setting.section == "one":
        return _caught(line, setting, label, time)
    return Made(
        "Figures of the saxes",
        "Keep plain time and hear the saxes' line over it; it is not caught.",
        (("time under the saxes", Pattern(tuple(time), line.meters)),),
        ("the line is heard, not caught: nothing of it is played on the drums",),
        feel=usual_feel(line, label),
        count_quarters=by_quarters(line, label),
    )


def in_form(line: Line, bars: int | None) -> Line:
    """The line in a form of so many bars: rest to its end where the line is shorter.

    Raises:
        RefusedError: a figure stands outside the form; names the first.
    """
    own = line.meters.bars
    if bars is None or bars == len(own):
        return line
    if bars > len(own):
        meter = own[-1].meter
        return Line(line.notes, line.meters + Meters.of(meter, bars - len(own)), line.pickup)
    end = own[bars - 1].end
    outside = [note.onset for note in line.notes if note.onset >= end]
    if outside:
        many, form = ("s" if count > 1 else "" for count in (len(outside), bars))
        raise RefusedError(
            f"{len(outside)} figure{many} outside the form of {bars} bar{form}, the first on "
            f"{count_name(line.meters, outside[0])}; use --form {len(own)}, or --measures to choose the form's bars"
        )
    return line.measures(*((0, bars - 1) if line.pickup else (1, bars)))


# ---- the full band ---------------------------------------------------------------------------------------------------


def _kicked(line: Line, setting: Setting, label: str, time: Sequence[Hit]) -> Made:
    """Every figure note, set up where there is room, over time that goes on where the hands are free; or alone."""
    setting.need("crash")
    led = {} if setting.stop_time else set_ups(line)
    for one in led.values():
        setting.need(one.drum)
    row = Pattern(tuple(kicked(line, setting.kit, label, time, led)), line.meters)
    backbeats = _backbeats(time)
    return Made(
        f"Figures of the full band{', stop-time' if setting.stop_time else ''}",
        _say(
            _kicks(line, backbeats, _on_bass(line) - backbeats.keys()),
            stop_time=setting.stop_time,
            set_ups=bool(led),
        ),
        (("figures", row),),
        (*lost_graces(line, row), *_about(line, led)),
        feel=usual_feel(line, label),
        count_quarters=by_quarters(line, label),
    )


def kicked(line: Line, kit: Kit, label: str, time: Sequence[Hit], led: Mapping[Fraction, "SetUp"]) -> list[Hit]:
    """Time with every note of the full band's figures kicked, and set-ups before them; brushed taps yield to both.

    Args:
        line: the figures.
        kit: says the hands.
        label: what time is kept on.
        time: the time, under the line's meters; empty in stop-time.
        led: set-ups by their place, as :func:`set_ups` finds them.
    """
    time_hand, bass, crash_hand = kit.limb_for(label), kit.bass_foot, kit.limb_for("crash")
    backbeats = _backbeats(hit for hit in time if hit.level >= Level.NORMAL and hit.limb is not crash_hand)
    hits: dict[tuple[Fraction, Limb], Hit] = {(hit.onset, hit.limb): hit for hit in time}

    def put(at: Fraction, limb: Limb, what: _Touch) -> None:
        hits[at, limb] = Hit(at, limb, what.label, what.level, what.ornament)

    for at, one in led.items():
        if at not in backbeats:
            put(at, time_hand.mirrored, _Touch(one.drum, Level.NORMAL))
    on_bass = _on_bass(line) - backbeats.keys()
    for note in line.notes:
        at = note.onset
        if line.is_long(note):
            put(at, crash_hand, _Touch("crash", Level.ACCENT))
            if at in backbeats:
                put(at, crash_hand.mirrored, _Touch("snare", Level.ACCENT))
            else:
                put(at, bass, _Touch("bass", Level.ACCENT))
        elif at in on_bass:
            put(at, bass, _Touch("bass", level_of(note)))
        else:
            level = max(level_of(note), backbeats.get(at, Level.NORMAL))
            put(at, time_hand.mirrored, _Touch("snare", level, ornament_of(note, time_hand)))
    return without_graces(_yielding(line, hits.values()))


def _backbeats(time: Iterable[Hit]) -> dict[Fraction, Level]:
    return {hit.onset: hit.level for hit in time if hit.surface == "snare"}


def _yielding(line: Line, hits: Iterable[Hit]) -> list[Hit]:
    """Hits without the feathered strokes of the bass that come less than a beat before or after one that is meant."""
    every = list(hits)
    meant = sorted(hit.onset for hit in every if hit.surface == "bass" and hit.level > Level.FEATHER)
    kept = []
    for hit in every:
        if hit.level > Level.FEATHER:
            kept.append(hit)
            continue
        near, place = line.meters.beat_at(hit.onset).full, bisect_left(meant, hit.onset)
        if all(abs(at - hit.onset) >= near for at in meant[max(0, place - 1) : place + 1]):
            kept.append(hit)
    return kept


def _on_bass(line: Line) -> set[Fraction]:
    """The notes on the beat in running lines: many short notes in a row."""
    found: set[Fraction] = set()
    run: list[Note] = []
    for note, following in zip(line.notes, (*line.notes[1:], None), strict=True):
        if not line.is_long(note):
            run.append(note)
        goes_on = (
            following is not None
            and not line.is_long(following)
            and not line.is_long(note)
            and following.onset - note.onset < line.meters.beat_at(note.onset).full
        )
        if not goes_on:
            if len(run) >= _RUN:
                found |= {one.onset for one in run if one.onset == line.meters.beat_at(one.onset).start}
            run = []
    return found


class SetUp(NamedTuple):
    """A stroke that leads to a figure note.

    Args:
        drum: what it is on.
        figure: the onset of the note it leads to.
    """

    drum: str
    figure: Fraction


def set_ups(line: Line, *, loops: bool = True) -> dict[Fraction, SetUp]:
    """Set-ups by their place, and on which drum: the snare before a crash, the high tom before what is the snare's.

    Args:
        line: the figures.
        loops: the line comes round, so the last figure note before the first is the last of all, and what sets up
            bar 1 is at the end; else nothing comes before the first.
    """
    found: dict[Fraction, SetUp] = {}
    last = (line.notes[-1].onset if line.notes else 0) - line.span
    for note in line.notes:
        for at, beat in _places_before(line, note.onset, last):
            if at - last >= beat and (loops or at >= 0):
                found[at % line.span] = SetUp("snare" if line.is_long(note) else "high-tom", note.onset)
        last = note.onset
    return found


def _places_before(line: Line, onset: Fraction, last: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """Where a figure note may be set up, each with the length of the beat there; below 0 at the end of the line."""
    beats, index = line.meters.beats, line.meters.beat_index(onset)
    own, before = beats[index], beats[index - 1]
    if onset - last < _CLEAR * own.full:
        return
    if onset > own.start:
        half = own.start + own.full / 2
        place = half if own.full >= _HALVES and onset > half else own.start
        if onset - place >= _CLOSEST:
            yield place, own.full
        return
    round_again = 0 if index else line.span
    and_before = offbeat(before, threes=in_threes(line))
    if and_before is None or onset - last >= _WIDE * before.full:
        yield before.start - round_again, before.full
    if and_before is not None:
        yield and_before - round_again, before.full


def _kicks(line: Line, backbeats: Container[Fraction], on_bass: Container[Fraction]) -> str:
    """How the line's own notes are kicked: nothing is said of kinds it does not have."""
    long = [note.onset for note in line.notes if line.is_long(note)]
    said = []
    if long:
        on_back = sum(at in backbeats for at in long)
        under = "snare" if on_back == len(long) else "bass, or on the backbeat the snare," if on_back else "bass"
        said.append(f"long notes are a crash with the {under} under it")
    if len(long) < len(line.notes):
        runs = any(note.onset in on_bass for note in line.notes if not line.is_long(note))
        said.append(
            f"short {'ones' if long else 'notes are'} the snare{', in runs shared with the bass' if runs else ''}"
        )
    return ", ".join(said)


def _say(kicks: str, *, stop_time: bool, set_ups: bool) -> str:
    if stop_time:
        return f"Play the figures and nothing else, and count through the silence: {kicks}."
    return f"Keep time and kick the figures: {kicks}." + (" Add the set-ups last." if set_ups else "")


def _about(line: Line, set_ups: Iterable[Fraction]) -> tuple[str, ...]:
    """Whether a set-up stands at the end for the first bar."""
    if not any(at > line.notes[-1].onset for at in set_ups):
        return ()
    return (
        "the set-up at the end is for the first figure as the page comes round; the first time the count is enough",
    )


# ---- one section -----------------------------------------------------------------------------------------------------


def _caught(line: Line, setting: Setting, label: str, time: Sequence[Hit]) -> Made:
    """Time that goes on, with soft strokes of what is free: bass for long notes, snare for entries and accents."""
    return Made(
        "Figures of one section",
        "Keep the time unbroken and catch the section's figures lightly: long notes with the bass, where it enters and "
        "accents with the snare.",
        (("time with the section's figures", Pattern(tuple(caught(line, setting.kit, label, time)), line.meters)),),
        ("one section's figures are not set up and get no crash",),
        feel=usual_feel(line, label),
        count_quarters=by_quarters(line, label),
    )


def caught(line: Line, kit: Kit, label: str, time: Sequence[Hit]) -> list[Hit]:
    """Time that goes on, with one section's figures caught softly by what is free.

    Args:
        line: the figures.
        kit: says the hands.
        label: what time is kept on.
        time: the time, under the line's meters.
    """
    hits = {(hit.onset, hit.limb): hit for hit in time}
    backbeats = _backbeats(time)
    last: Fraction | None = None
    for note in line.notes:
        enters = last is None or note.onset - last >= line.meters.beat_at(note.onset).full
        last = note.onset
        limb, drum = (kit.bass_foot, "bass") if line.is_long(note) else (kit.limb_for(label).mirrored, "snare")
        there = hits.get((note.onset, limb))
        is_free = there is None or there.level is Level.FEATHER
        if is_free and note.onset not in backbeats and (line.is_long(note) or enters or note.accent):
            hits[note.onset, limb] = Hit(note.onset, limb, drum, Level.TAP)
    return _yielding(line, hits.values())


APPLICATION = Application(
    "figures",
    "phrase",
    "the line as the horns play it: time, set-ups and kicks",
    figures,
    uses=("section", "stop_time", "form", "surface"),
)
