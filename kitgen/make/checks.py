"""What ``kitgen check`` looks for: does a file loop, and can its player play it.

Each check gives findings, a sentence each that says where. An empty tuple means nothing was found.
"""

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kitgen.apply import APPLICATIONS
from kitgen.errors import KitgenError, ReadError
from kitgen.kit import KITS, PLAYERS, Kit, Limb, Player, player, surface_of_key
from kitgen.make.again import recipe_in
from kitgen.make.applied import elements_in, recipe_of
from kitgen.make.recipe import command_of
from kitgen.make.series_checks import check_series
from kitgen.make.set_ups import set_up_in
from kitgen.page import Page, Tempo
from kitgen.pattern import Hit
from kitgen.pattern.findings import Finding
from kitgen.pattern.playability import playability
from kitgen.pattern.quality import Terms, faults
from kitgen.read.lines import bytes_of, text_of
from kitgen.read.midi import is_ours, page_of_midi
from kitgen.read.smf import load
from kitgen.read.text import page_of_text
from kitgen.time import Meter, Meters, count_name, unit_names

if TYPE_CHECKING:
    import mido

_TRACKS = {limb.words: limb for limb in Limb}
_NOT_PLAYED = ("click", "count-in")


def check_path(path: Path, by: Player | None = None, *, one_new: bool = False) -> tuple[str, ...]:
    """Findings about a MIDI or text file, or a folder with a manifest.

    Args:
        path: the file or folder.
        by: who has to be able to play it; the player each page's recipe names when left out.
        one_new: hold a folder to one new element a page, whether or not it says that it keeps to it.

    Raises:
        ReadError: it is none of these or cannot be read.
    """
    if path.is_dir():
        return tuple(check_folder(path, by, one_new=one_new))
    ending = path.suffix.lower()
    if ending in (".mid", ".midi"):
        return tuple(check_midi(load(path), path, by))
    if ending == ".txt":
        return tuple(check_page(page_of_text(text_of(bytes_of(path), path), path.stem), by))
    what = "check reads .mid and .txt files and folders that hold a manifest.json"
    raise ReadError(f"{path}: {what}" if path.exists() else f"{path} is not there; {what}")


def check_page(page: Page, by: Player | None = None, *, hand: str | None = None) -> Iterator[str]:
    """Findings about a page: whole bars, its application's rules, and who can play it at its goal, in its hands.

    Args:
        page: the page.
        by: who has to be able to play it; whom its recipe names when left out.
        hand: how the kit is set; as its recipe names it when left out.
    """
    if not page.pattern.meters.whole:
        yield "the last bar is not whole, so the page does not loop"
    named, usual = who_plays(page)
    hand = hand or usual
    pace = page.tempo.goal * float(page.tempo.unit)
    yield from _of_rules(page, named)
    yield from _of_tour(page)
    yield from _worst(playability(page.pattern, by or named, pace, hand=hand), page.tempo)


def _worst(found: Sequence[Finding], tempo: Tempo) -> Iterator[str]:
    """The finding that passes a limit furthest, at the goal it was looked for at, and how many there are besides."""
    if not found:
        return
    worst = min(found, key=lambda finding: finding.share)
    others = len(found) - 1
    more = f"; {others} more limit{'s are' if others > 1 else ' is'} passed" if others else ""
    yield f"at its goal, {tempo.goal:g} {unit_names(tempo.unit)} a minute: {worst}{more}"


def _of_tour(page: Page) -> Iterator[str]:
    """What is missing from a page whose recipe is of a tour."""
    if command_of(page.recipe) == "tour":
        from kitgen.make.tour_checks import tour_findings  # only tours are proved

        yield from tour_findings(page)


def _of_rules(page: Page, named: Player) -> Iterator[str]:
    """Where a page breaks the rules of the application its recipe names; of any page, crashes and open hats.

    A page re-voiced for a player of a file's own keeps what it can, and says on itself what it could not. A row of one
    sound by itself, as it is first met, is no groove.
    """
    played = page.pattern
    rules: tuple[str, ...] = ("crash-carried", "hat-closed")
    terms = Terms(player=named, clave=page.clave)
    recipe = recipe_of(page)
    if recipe is not None:
        if recipe.player not in PLAYERS or recipe.kit not in KITS:
            return
        rules = APPLICATIONS[recipe.as_].rules if recipe.as_ in APPLICATIONS else rules
        terms = replace(terms, half_time=recipe.half_time, kind=recipe.clave)
    else:
        played = page.pattern.with_hits(_of_several_sounds(page))
    told_elsewhere = ("foot-limit",)
    for fault in faults(played, [rule for rule in rules if rule not in told_elsewhere], terms):
        yield fault.words


def _of_several_sounds(page: Page) -> Iterator[Hit]:
    """The strokes of the rows of a page that have more than one sound, where they are on the page."""
    start = Fraction(0)
    for row in page.rows:
        end = start + row.played.span
        if len({hit.surface for hit in row.pattern.hits}) > 1:
            yield from (hit for hit in page.pattern.hits if start <= hit.onset < end)
        start = end


def who_plays(page: Page) -> tuple[Player, str]:
    """The player and the hand setting a page's recipe names; else a school player, set up as the feet show."""
    recipe = recipe_in(page.recipe)
    if recipe is not None:
        named, hand = getattr(recipe, "player", "school"), getattr(recipe, "hand", "right")
        return player(named if named in PLAYERS else "school"), hand or "right"
    feet = {(hit.limb, hit.surface) for hit in page.pattern.hits}
    mirrored = feet & {(Limb.LF, "bass"), (Limb.RF, "hat-foot")}
    return player("school"), "left" if mirrored else "right"


def check_midi(
    midi: "mido.MidiFile", path: Path, by: Player | None = None, *, judged: bool = True, hand: str | None = None
) -> Iterator[str]:
    """Findings about any drum MIDI file: its end, its note-offs, its limbs, and who can play it if that is judged."""
    ticks = midi.ticks_per_beat
    meters = _meters(midi, ticks)
    ends = {sum(message.time for message in track) for track in midi.tracks}
    end = max(ends, default=0)
    if len(ends) > 1:
        yield f"tracks end at different ticks ({min(ends)} to {end}), so it does not loop"
    if not end or not meters.whole:
        bars = meters.bars
        over = float(bars[-1].length) if bars else 0
        yield f"it ends {over:.3g} quarters into bar {len(bars)}, so it does not loop"
    yield from _notes(midi, end, meters, ticks)
    yield from _limbs(midi, meters, ticks)
    if judged and is_ours(midi) and not any(track.name == "click" for track in midi.tracks):
        page = page_of_midi(midi, path)
        yield from _of_tour(page)
        named, usual = who_plays(page)
        hand = hand or usual
        yield from _worst(playability(page.pattern, by or named, page.tempo.quarters, hand=hand), page.tempo)


def _meters(midi: "mido.MidiFile", ticks: int) -> Meters:
    changes: dict[int, Meter] = {0: Meter(4, 4)}
    for track in midi.tracks:
        now = 0
        for message in track:
            now += message.time
            if message.type == "time_signature":
                changes[now] = Meter(message.numerator, message.denominator)
    end = max((sum(message.time for message in track) for track in midi.tracks), default=0)
    starts = sorted(at for at in changes if at < end)
    ends = [*starts[1:], end]
    return Meters(tuple((changes[at], Fraction(to - at, ticks)) for at, to in zip(starts, ends, strict=True)))


def _notes(midi: "mido.MidiFile", end: int, meters: Meters, ticks: int) -> Iterator[str]:
    """Notes that never end, end at the loop's end, or overlap on one key of one track."""
    for number, track in enumerate(midi.tracks, start=1):
        name, now = track.name or f"track {number}", 0
        sounding: dict[tuple[int, int], int] = {}
        for message in track:
            now += message.time
            if message.type not in ("note_on", "note_off"):
                continue
            key = (message.channel, message.note)
            if message.type == "note_on" and message.velocity:
                if key in sounding:
                    yield f"{name}: key {message.note} is struck at {_where(meters, now, ticks)} while it still sounds"
                sounding[key] = now
            else:
                sounding.pop(key, None)
                if now >= end:
                    yield f"{name}: key {message.note} is let go only at the very end, so a loop may cut its first note"
        for (_, note), at in sounding.items():
            yield f"{name}: key {note} struck at {_where(meters, at, ticks)} never ends"


def _limbs(midi: "mido.MidiFile", meters: Meters, ticks: int) -> Iterator[str]:
    """More strokes at an instant than hands and feet, a limb in two places, a limb on what it cannot play."""
    struck = {"hand": defaultdict[int, list[int]](list), "foot": defaultdict[int, list[int]](list)}
    for track in midi.tracks:
        if track.name in _NOT_PLAYED:
            continue
        limb, own = _TRACKS.get(track.name), defaultdict[int, set[int]](set)
        for tick, key in _strokes(track):
            own[tick].add(key)
        for tick, keys in sorted(own.items()):
            for place in filter(None, map(surface_of_key, sorted(keys))):
                struck[place.struck_by][tick].append(place.key)
                if limb is not None and (place.struck_by == "hand") is not limb.is_hand:
                    where = _where(meters, tick, ticks)
                    yield f"{where}: the {limb.words} is given {place.label}, which is played by a {place.struck_by}"
            if limb is not None and len(keys) > 1:
                where, named = _where(meters, tick, ticks), ", ".join(map(str, sorted(keys)))
                yield f"{where}: the {limb.words} strikes keys {named} at once"
    for kind, found in struck.items():
        yield from _too_many(kind, found, meters, ticks)


def _too_many(kind: str, found: Mapping[int, Sequence[int]], meters: Meters, ticks: int) -> Iterator[str]:
    for tick, together in sorted(found.items()):
        if len(together) > 2:
            where, named = _where(meters, tick, ticks), ", ".join(map(str, sorted(together)))
            yield f"{where}: {len(together)} {kind} strokes at once (keys {named}); a player has two"


def _strokes(track: "mido.MidiTrack") -> Iterator[tuple[int, int]]:
    now = 0
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity:
            yield now, message.note


def _where(meters: Meters, tick: int, ticks: int) -> str:
    onset = Fraction(tick, ticks)
    return count_name(meters, onset) if onset < meters.span else f"tick {tick}"


def check_folder(folder: Path, by: Player | None = None, *, one_new: bool = False) -> Iterator[str]:
    """Findings about a folder of pages: every file there and as the manifest says, elements as the notes say."""
    manifest = manifest_of(folder)
    for entry in manifest["pages"]:
        title = f"page {entry['number']} ({entry['title']})"
        for kind, name in entry["files"].items():
            path = folder / name
            if not path.is_file():
                yield f"{title}: {name} is missing"
                continue
            if hashlib.sha256(bytes_of(path)).hexdigest() != entry["sha256"].get(kind):
                yield f"{title}: {name} was changed after the manifest was written"
            try:
                yield from (f"{title}, {name}: {finding}" for finding in _of_file(path, kind, entry, by))
            except KitgenError as error:
                yield f"{title}: {error}"
    if one_new or manifest.get("one_new"):
        yield from check_series(folder, manifest)


def _of_file(path: Path, kind: str, entry: Mapping[str, Any], by: Player | None) -> Iterator[str]:
    """Findings about one file of a folder; who can play it is said of the text, which has the goal, if there is one."""
    said_by, on = set_up_in(entry)
    by, hand = by or said_by, on.hand if on else None
    if kind == "txt":
        page = page_of_text(text_of(bytes_of(path), path), path.name)
        yield from check_page(page, by, hand=hand)
        yield from _elements_agree(page, entry, on)
    elif kind in ("musicxml", "mxl"):
        yield from _of_score(path, entry["files"].get("txt"))
    else:
        yield from check_midi(load(path), path, by, judged="txt" not in entry["files"], hand=hand)


def _of_score(path: Path, text: str | None) -> Iterator[str]:
    """Findings about a score: that it can be read, and has the strokes of the page's text if there is one."""
    from kitgen.read.scores import pattern_from_score  # only folders with scores need it

    score = pattern_from_score(path)
    if score is None:
        yield "it has no drum part"
        return
    if text is None or not (path.parent / text).is_file():
        return
    page = page_of_text(text_of(bytes_of(path.parent / text), path), text)
    written, played = ({(hit.onset, hit.surface) for hit in found.hits} for found in (score, page.pattern))
    if written != played:
        first = min(onset for onset, _ in written ^ played)
        where = count_name(page.pattern.meters, first) if first < page.pattern.span else "its end"
        yield f"it has other strokes than the text, first at {where}"


def _elements_agree(page: Page, entry: Mapping[str, Any], on: Kit | None) -> Iterator[str]:
    found, said = set(elements_in(page, on)), set(entry["elements"])
    if found != said:
        parts = [f"listed but not there: {', '.join(sorted(said - found))}"] if said - found else []
        parts += [f"there but not listed: {', '.join(sorted(found - said))}"] if found - said else []
        yield f"its elements are not what its notes hold; {'; '.join(parts)}"


def manifest_of(folder: Path) -> dict[str, Any]:
    """What a folder's manifest says, once it is seen to be one.

    Raises:
        ReadError: there is none, or it is not one that kitgen wrote.
    """
    path = folder / "manifest.json"
    if not path.is_file():
        raise ReadError(f"{folder}: no manifest.json in it; check reads folders that kitgen wrote")
    text = text_of(bytes_of(path), path)
    try:
        manifest = json.loads(text)
        for entry in manifest["pages"]:
            entry["number"], entry["title"], entry["sha256"].get, set(entry["elements"])
            if not all(isinstance(name, str) for name in entry["files"].values()):
                raise TypeError("a file's name is no text")
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise ReadError(f"{path}: not a manifest kitgen wrote ({type(error).__name__}: {error})") from error
    return dict(manifest)
