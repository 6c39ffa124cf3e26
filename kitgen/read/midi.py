"""A MIDI file this package wrote, back into its pattern: timing, surface, limb, level and ornament.

Levels are told from velocities by bins halfway between the usual ones. Strokes that an ornament added are taken off
again, by the text that stands at the ornamented stroke. Where a swung pair holds threes, a note on the middle of
the pair is read where it sounds, on the last third.
"""

import re
from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from kitgen.errors import KitgenError, ReadError
from kitgen.kit import Limb, surface_of_key
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import EVEN, Feel, Hit, Level, Ornament, Pattern, straighten
from kitgen.time import Meter, Meters

if TYPE_CHECKING:
    import mido

_BOUNDS = (33, 48, 73, 102)
_TRACK_LIMBS = {limb.words: limb for limb in Limb}
_TEMPO = re.compile(r"tempo ([\d.]+) (.+?); feel (even|(8|16) (\S+?))(?:; rounded.*)?")
_PHRASE = re.compile(r"bar \d+")
_ADDED = re.compile(r"(?:(flam|drag|diddle|buzz)(?: \+(\d+))?)?(?: ?length ([\d/]+))?")


@dataclass(frozen=True, slots=True)
class _Struck:
    tick: int
    limb: Limb
    key: int
    velocity: int


def level_of_velocity(velocity: int) -> Level:
    """The level a velocity stands for.

    >>> [level_of_velocity(v).name for v in (28, 38, 58, 88, 115)]
    ['FEATHER', 'GHOST', 'TAP', 'NORMAL', 'ACCENT']
    """
    return Level(bisect_right(_BOUNDS, velocity - 1) + 1)


def is_ours(midi: "mido.MidiFile") -> bool:
    """True for a loop or play-along this package wrote."""
    texts = [message.text for message in midi.tracks[0] if message.type == "text"] if midi.tracks else []
    return any(text.startswith("kitgen") for text in texts) and any(_TEMPO.fullmatch(text) for text in texts)


def page_of_midi(midi: "mido.MidiFile", path: Path) -> Page:
    """The page of a file this package wrote; of a play-along, every time through and the count-in as a row of rest.

    Raises:
        ReadError: it was changed into something that is no page.
    """
    try:
        return _page(midi, path)
    except ReadError:
        raise
    except KitgenError as error:
        raise ReadError(f"{path.name}: {error}") from error


def _page(midi: "mido.MidiFile", path: Path) -> Page:
    ticks = midi.ticks_per_beat
    conductor = [(tick, message) for tick, message in _absolute(midi.tracks[0]) if message.is_meta]
    texts = [message.text for _, message in conductor if message.type == "text"]
    words = next(match for text in texts if (match := _TEMPO.fullmatch(text)))
    recipe = next(text for text in texts if text.startswith("kitgen"))
    feel = EVEN if words[3] == "even" else Feel.parse(words[5], unit=int(words[4]))
    meters = _meters(conductor, ticks)
    unit = meters.bars[0].meter.tempo_unit
    whole = Pattern(tuple(_hits(midi, path)), meters)
    if feel.unit:
        threes = [
            Fraction(tick, ticks) for tick, message in conductor if message.type == "text" and message.text == "threes"
        ]
        whole = straighten(whole, feel, threes=threes)
    rows = _rows(whole, conductor, ticks)
    return Page(midi.tracks[0].name, "", rows, Tempo.at(float(words[1]), unit), "" if recipe == "kitgen" else recipe)


def _absolute(track: "mido.MidiTrack") -> "list[tuple[int, mido.Message]]":
    now, out = 0, []
    for message in track:
        now += message.time
        out.append((now, message))
    return out


def _meters(conductor: "list[tuple[int, mido.Message]]", ticks: int) -> Meters:
    changes = [
        (tick, Meter(message.numerator, message.denominator))
        for tick, message in conductor
        if message.type == "time_signature"
    ]
    changes = changes or [(0, Meter(4, 4))]
    end = conductor[-1][0]
    ends = [tick for tick, _ in changes[1:]] + [end]
    return Meters(tuple((meter, Fraction(to - tick, ticks)) for (tick, meter), to in zip(changes, ends, strict=True)))


def _rows(whole: Pattern, conductor: "list[tuple[int, mido.Message]]", ticks: int) -> tuple[Row, ...]:
    marks = [
        (Fraction(tick, ticks), message.text)
        for tick, message in conductor
        if message.type == "marker" and not _PHRASE.fullmatch(message.text)
    ] or [(Fraction(0), "page")]
    ends = [start for start, _ in marks[1:]] + [whole.span]
    return tuple(
        Row(
            label,
            Pattern(
                tuple(hit.at(hit.onset - start) for hit in whole.hits if start <= hit.onset < end),
                whole.meters.cut(start, end),
                whole.feel,
            ),
        )
        for (start, label), end in zip(marks, ends, strict=True)
        if end > start
    )


def _hits(midi: "mido.MidiFile", path: Path) -> list[Hit]:
    ticks, end = midi.ticks_per_beat, max(sum(message.time for message in track) for track in midi.tracks)
    struck: list[_Struck] = []
    notes: list[tuple[int, Limb, str]] = []
    for track in midi.tracks[1:]:
        if track.name == "click":
            continue
        own, said = _read_track(track, path)
        struck += own
        notes += said
    added = {(tick, limb): words for tick, limb, words in notes if words != "hat-foot under closed-hat"}
    for (tick, limb), words in added.items():
        _take_off(struck, tick, limb, words, end)
    hits = []
    for stroke in struck:
        place = surface_of_key(stroke.key)
        if place is None:
            raise ReadError(f"{path.name}: key {stroke.key} at tick {stroke.tick} is no surface of the kit")
        ornament, length = _meaning(added.get((stroke.tick, stroke.limb), ""))
        onset = Fraction(stroke.tick, ticks)
        hits.append(Hit(onset, stroke.limb, place.label, level_of_velocity(stroke.velocity), ornament, length))
    hits += [
        Hit(Fraction(tick, ticks), limb, "hat-foot")
        for tick, limb, words in notes
        if words == "hat-foot under closed-hat"
    ]
    return hits


def _read_track(track: "mido.MidiTrack", path: Path) -> tuple[list[_Struck], list[tuple[int, Limb, str]]]:
    """Strokes and texts of a track; in a track of all limbs the texts say whose strokes they are."""
    messages = _absolute(track)
    texts = [(tick, message.text) for tick, message in messages if message.type == "text"]
    ons = [(tick, m) for tick, m in messages if m.type == "note_on" and m.velocity > 0]
    limb = _TRACK_LIMBS.get(track.name)
    if limb is not None:
        return [_Struck(tick, limb, m.note, m.velocity) for tick, m in ons], [
            (tick, limb, words) for tick, words in texts
        ]
    whose: dict[tuple[int, int], list[Limb]] = {}
    notes: list[tuple[int, Limb, str]] = []
    for tick, words in texts:
        name, _, rest = words.partition(" ")
        if name in Limb.__members__ and rest.isdigit():
            whose.setdefault((tick, int(rest)), []).append(Limb[name])
        elif name in Limb.__members__:
            notes.append((tick, Limb[name], rest))
    struck = []
    for tick, message in ons:
        limbs = whose.get((tick, message.note))
        if not limbs:
            raise ReadError(
                f"{path.name}: track {track.name!r} does not say which limb plays key {message.note} at tick {tick}"
            )
        struck.append(_Struck(tick, limbs.pop(0), message.note, message.velocity))
    return struck, notes


def _take_off(struck: list[_Struck], tick: int, limb: Limb, words: str, end: int) -> None:
    """Take the strokes an ornament added out of the list."""
    match = _ADDED.fullmatch(words)
    main = next((stroke for stroke in struck if stroke.tick == tick and stroke.limb == limb), None)
    if match is None or main is None or match[1] is None:
        return
    if Ornament(match[1]).has_graces:
        count, hand = (1 if match[1] == "flam" else 2), limb.mirrored
        near = sorted(
            (s for s in struck if s.limb == hand and s.key == main.key and s.tick != tick),
            key=lambda s: (tick - s.tick) % end,
        )
    else:
        count = int(match[2] or 0)
        near = sorted(
            (s for s in struck if s.limb == limb and s.key == main.key and s.tick > tick), key=lambda s: s.tick
        )
    for stroke in near[:count]:
        struck.remove(stroke)


def _meaning(words: str) -> tuple[Ornament | None, Fraction | None]:
    match = _ADDED.fullmatch(words)
    if match is None:
        return None, None
    return Ornament(match[1]) if match[1] else None, Fraction(match[3]) if match[3] else None
