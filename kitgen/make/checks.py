"""What ``kitgen check`` looks for: does a file loop, and can its player play it.

Each check gives findings, a sentence each that says where. An empty tuple means nothing was found.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from kitgen.apply import APPLICATIONS
from kitgen.errors import ReadError
from kitgen.kit import KITS, PLAYERS, Limb, Player, player, surface_of_key
from kitgen.make.again import recipe_in
from kitgen.make.applied import recipe_of
from kitgen.make.recipe import command_of
from kitgen.make.valued import AS_PLAYED
from kitgen.page import Page, Tempo
from kitgen.pattern import Hit, Pattern
from kitgen.pattern.findings import Finding
from kitgen.pattern.playability import playability
from kitgen.pattern.quality import Terms, faults
from kitgen.read.chart_files import is_chart
from kitgen.read.lines import SCORE_ENDINGS, bytes_of, text_of
from kitgen.read.midi import is_ours, page_of_midi
from kitgen.read.smf import load
from kitgen.read.style_files import holds_styles
from kitgen.read.text import page_of_text
from kitgen.time import Meter, Meters, count_name, unit_names

if TYPE_CHECKING:
    import mido

_TRACKS = {limb.words: limb for limb in Limb}
_NOT_PLAYED = ("click", "count-in")


def check_path(path: Path, by: Player | None = None, *, one_new: bool = False) -> tuple[str, ...]:
    """Findings about a MIDI or text file, a drum score, a style, a chart, or a folder with a manifest or with styles.

    Args:
        path: the file or folder.
        by: who has to be able to play it; the player each page's recipe names when left out.
        one_new: hold a folder to one new element a page, whether or not it says that it keeps to it.

    Raises:
        ReadError: it is none of these or cannot be read.
    """
    ending = path.suffix.lower()
    if ending == ".toml" and is_chart(path):
        from kitgen.make.chart_checks import check_chart  # only charts need it

        return tuple(check_chart(path, by))
    if ending == ".toml" or (path.is_dir() and holds_styles(path)):
        from kitgen.make.style_checks import check_styles  # only styles need it

        return check_styles(path, by)
    if path.is_dir():
        from kitgen.make.folder_checks import check_folder  # only folders need it

        return tuple(check_folder(path, by, one_new=one_new))
    if ending in (".mid", ".midi"):
        return tuple(check_midi(load(path), path, by))
    if ending == ".txt":
        return tuple(check_page(page_of_text(text_of(bytes_of(path), path), path.stem), by))
    if ending in SCORE_ENDINGS:
        from kitgen.make.score_checks import check_score  # only scores need it

        return tuple(check_score(path, by))
    what = (
        "check reads .mid and .txt files, drum scores, styles and charts (.toml) and folders that hold a manifest.json"
    )
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
    yield from _of_rules(page, named)
    yield from _of_tour(page)
    for part, tempo in _at_their_tempi(page):
        yield from _worst(playability(part, by or named, tempo.goal * float(tempo.unit), hand=hand), tempo)


def _at_their_tempi(page: Page) -> Iterator[tuple[Pattern, Tempo]]:
    """The page, or its parts where its tempo changes on the way, each with its tempo; what is left out is silent."""
    if not page.tempo_changes:
        yield page.pattern, page.tempo
        return
    whole, bars = page.pattern, page.bars
    ends = [*(bars[change.bar - 1].start for change in page.tempo_changes), whole.span]
    tempi = [page.tempo, *(Tempo.at(change.bpm, page.tempo.unit) for change in page.tempo_changes)]
    for start, end, tempo in zip([Fraction(0), *ends], ends, tempi, strict=False):
        yield whole.with_hits(hit for hit in whole.hits if start <= hit.onset < end), tempo


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

    A page re-voiced for a player of a file's own keeps what it can, and says on itself what it could not. One in other
    note values has its beats elsewhere than the rules look. A row of one sound by itself, as it is first met, is no
    groove.
    """
    played = page.pattern
    rules: tuple[str, ...] = ("crash-carried", "hat-closed")
    terms = Terms(player=named, clave=page.clave)
    recipe = recipe_of(page)
    if recipe is not None:
        if recipe.player not in PLAYERS or recipe.kit not in KITS or recipe.write_values != AS_PLAYED:
            return
        rules = APPLICATIONS[recipe.as_].rules if recipe.as_ in APPLICATIONS else rules
        terms = replace(terms, half_time=recipe.half_time, kind=recipe.clave)
    else:
        played = page.pattern.with_hits(_of_several_sounds(page))
        if getattr(recipe_in(page.recipe), "kit", "standard") != "standard":
            rules = ("hat-closed",)  # a crash may stand in for what the kit has not, and keep time
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
    if judged and is_ours(midi) and not _is_part(midi):
        page = page_of_midi(midi, path)
        yield from _of_tour(page)
        named, usual = who_plays(page)
        if command_of(page.recipe) == "library":  # a loop that has to stand alone
            yield from _of_rules(page, named)
        hand = hand or usual
        yield from _worst(playability(page.pattern, by or named, page.tempo.quarters, hand=hand), page.tempo)


def _is_part(midi: "mido.MidiFile") -> bool:
    """True for what is no page by itself: to play along with, or without the limb a student is to play."""
    texts = (message.text for message in midi.tracks[0] if message.type == "text")
    return any(track.name == "click" for track in midi.tracks) or any(text.startswith("without ") for text in texts)


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
