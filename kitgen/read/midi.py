"""A MIDI file this package wrote, back into its pattern: timing, surface, limb, level and ornament.

Levels are told from velocities by bins halfway between the usual ones. Strokes that an ornament added are taken off
again, by the text that stands at the ornamented stroke. Where a swung pair holds threes, a note on the middle of
the pair is read where it sounds, on the last third.
"""

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from kitgen.errors import KitgenError, ReadError
from kitgen.kit import SURFACES, Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import EVEN, Feel, Hit, Level, Ornament, Pattern, straighten
from kitgen.pattern.take import level_of
from kitgen.time import Meter, Meters

if TYPE_CHECKING:
    import mido

_TRACK_LIMBS = {limb.words: limb for limb in Limb}
_TEMPO = re.compile(r"tempo (\d+(?:\.\d+)?) (.+?); feel (even|(8|16) (\S+?))(?:; rounded.*)?")
_KEYS = re.compile(r"keys ([a-z\d-]+ \d+(?:, [a-z\d-]+ \d+)*)")
_METER = re.compile(r"meter (\S+)")
_PHRASE = re.compile(r"bar \d+")
_ADDED = re.compile(r"(?:(flam|drag|diddle|buzz) \+(\d+))?(?: ?length (\d+(?:/[1-9]\d*)?))?")
_UNHEARD = re.compile(r"unheard (\S+) ([fgtxX])(?: (flam|drag|diddle|buzz))?(?: length (\d+(?:/[1-9]\d*)?))?")
_WRITTEN = re.compile(r"written (-?\d+(?:/[1-9]\d*)?)")
_MOVED = re.compile(r"moved (-?\d+(?: -?\d+)*)")
_SHARED = re.compile(r"(RH|LH|RF|LF) (?:(\d+)(?: under (\d+))?|(.+))")
_LEVELS = {level.char: level for level in Level}


@dataclass(frozen=True, slots=True)
class _Struck:
    tick: int
    limb: Limb
    key: int
    velocity: int


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
    if not meters.runs:
        raise ReadError(f"{path.name}: its first track ends at once, so it has no bars")
    unit = meters.bars[0].meter.tempo_unit
    labels = _labels(next((match[1] for text in texts if (match := _KEYS.fullmatch(text))), ""))
    played, spelled = _hits(midi, labels, path)
    whole = Pattern(tuple(played), meters)
    if feel.unit:
        threes = [
            Fraction(tick, ticks) for tick, message in conductor if message.type == "text" and message.text == "threes"
        ]
        whole = straighten(whole, feel, threes=threes)
    whole = whole.with_hits((*whole.hits, *spelled))
    rows = _rows(whole, conductor, ticks)
    return Page(midi.tracks[0].name, "", rows, Tempo.at(float(words[1]), unit), "" if recipe == "kitgen" else recipe)


def _absolute(track: "mido.MidiTrack") -> "list[tuple[int, mido.Message]]":
    now, out = 0, []
    for message in track:
        now += message.time
        out.append((now, message))
    return out


def _meters(conductor: "list[tuple[int, mido.Message]]", ticks: int) -> Meters:
    """The meters: by time signature, with the grouping a text at its tick says."""
    changes = {0: Meter(4, 4)}
    for tick, message in conductor:
        if message.type == "time_signature":
            changes[tick] = Meter(message.numerator, message.denominator)
    for tick, message in conductor:
        if message.type == "text" and tick in changes and (match := _METER.fullmatch(message.text)):
            changes[tick] = Meter.parse(match[1])
    ends = [*list(changes)[1:], conductor[-1][0]]
    return Meters(
        tuple((meter, Fraction(to - tick, ticks)) for (tick, meter), to in zip(changes.items(), ends, strict=True))
    )


def _labels(words: str) -> dict[int, str]:
    """Surface labels by key: General MIDI's, but for those whose keys the words give."""
    given = dict(pair.split() for pair in words.split(", ") if pair)
    keys = {label: row.key for label, row in SURFACES.items() if label not in given}
    return {key: label for label, key in keys.items()} | {int(key): label for label, key in given.items()}


def _rows(whole: Pattern, conductor: "list[tuple[int, mido.Message]]", ticks: int) -> tuple[Row, ...]:
    marks = [
        (Fraction(tick, ticks), message.text)
        for tick, message in conductor
        if message.type == "marker" and not _PHRASE.fullmatch(message.text)
    ]
    if not marks or marks[0][0]:
        marks.insert(0, (Fraction(0), "page"))
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


def _hits(midi: "mido.MidiFile", labels: Mapping[int, str], path: Path) -> tuple[list[Hit], list[Hit]]:
    """The hits where they are played, and those of which a text says where they are written."""
    ticks, end = midi.ticks_per_beat, max(sum(message.time for message in track) for track in midi.tracks)
    struck: list[_Struck] = []
    notes: list[tuple[int, Limb, str]] = []
    for track in midi.tracks[1:]:
        if track.name in ("click", "count-in"):
            continue
        own, said = _read_track(track, path)
        struck += own
        notes += said
    added = {(tick, limb): match for tick, limb, words in notes if (match := _ADDED.fullmatch(words))}
    for (tick, limb), match in added.items():
        _take_off(struck, tick, limb, match, end)
    written = {(tick, limb): Fraction(match[1]) for tick, limb, words in notes if (match := _WRITTEN.fullmatch(words))}
    unheard = [(tick, limb, match) for tick, limb, words in notes if (match := _UNHEARD.fullmatch(words))]
    meant = _meant([*((s.tick, s.limb) for s in struck), *((tick, limb) for tick, limb, _ in unheard)], notes)
    played: list[Hit] = []
    spelled: list[Hit] = []

    def take(tick: int, limb: Limb, label: str, level: Level, more: tuple[str | None, str | None]) -> None:
        ornament = Ornament(more[0]) if more[0] else None
        length = Fraction(more[1]) if more[1] else None
        off = written.get((tick, limb))
        onset = Fraction(meant.get((tick, limb), tick), ticks) + (off or 0)
        (played if off is None else spelled).append(Hit(onset, limb, label, level, ornament, length))

    for stroke in struck:
        if stroke.key not in labels:
            raise ReadError(f"{path.name}: key {stroke.key} at tick {stroke.tick} is no surface of the kit")
        match = added.get((stroke.tick, stroke.limb))
        level, more = level_of(stroke.velocity), (match[1], match[3]) if match else (None, None)
        take(stroke.tick, stroke.limb, labels[stroke.key], level, more)
    for tick, limb, match in unheard:
        take(tick, limb, match[1], _LEVELS[match[2]], (match[3], match[4]))
    return played, spelled


def _meant(struck: Collection[tuple[int, Limb]], notes: Sequence[tuple[int, Limb, str]]) -> dict[tuple[int, Limb], int]:
    """The tick each stroke that was moved is meant at, by its own tick and limb, as texts a limb say."""
    found: dict[tuple[int, Limb], int] = {}
    said = sorted((tick, limb, match[1]) for tick, limb, words in notes if (match := _MOVED.fullmatch(words)))
    for index, (start, limb, words) in enumerate(said):
        end = next((tick for tick, other, _ in said[index + 1 :] if other is limb), None)
        own = sorted(tick for tick, whose in struck if whose is limb and tick >= start and (end is None or tick < end))
        for tick, by in zip(own, map(int, words.split()), strict=False):
            found[tick, limb] = tick - by
    return found


def _read_track(track: "mido.MidiTrack", path: Path) -> tuple[list[_Struck], list[tuple[int, Limb, str]]]:
    """Strokes and texts of a track; in a track of all limbs the texts say whose strokes they are."""
    messages = _absolute(track)
    texts = [(tick, message.text) for tick, message in messages if message.type == "text"]
    ons = [(tick, m) for tick, m in messages if m.type == "note_on" and m.velocity > 0]
    limb = _TRACK_LIMBS.get(track.name)
    if limb is not None:
        struck = [_Struck(tick, limb, m.note, m.velocity) for tick, m in ons]
        return struck, [(tick, limb, words) for tick, words in texts]
    whose: dict[tuple[int, int], Limb] = {}
    notes: list[tuple[int, Limb, str]] = []
    struck = []
    for tick, words in texts:
        match = _SHARED.fullmatch(words)
        if match is None:
            continue
        limb = Limb[match[1]]
        if match[3]:
            struck.append(_Struck(tick, limb, int(match[2]), int(match[3])))
        elif match[2]:
            whose[tick, int(match[2])] = limb
        else:
            notes.append((tick, limb, match[4]))
    for tick, message in ons:
        if (tick, message.note) not in whose:
            raise ReadError(
                f"{path.name}: track {track.name!r} does not say which limb plays key {message.note} at tick {tick}"
            )
        struck.append(_Struck(tick, whose[tick, message.note], message.note, message.velocity))
    return struck, notes


def _take_off(struck: list[_Struck], tick: int, limb: Limb, match: re.Match[str], end: int) -> None:
    """Take the strokes an ornament added out of the list."""
    main = next((stroke for stroke in struck if stroke.tick == tick and stroke.limb == limb), None)
    if main is None or match[1] is None:
        return
    graces = Ornament(match[1]).has_graces
    hand = limb.mirrored if graces else limb
    same = [s for s in struck if s.limb == hand and s.key == main.key and s.tick != tick]
    same.sort(key=lambda s: (tick - s.tick if graces else s.tick - tick) % end)
    for stroke in same[: int(match[2])]:
        struck.remove(stroke)
