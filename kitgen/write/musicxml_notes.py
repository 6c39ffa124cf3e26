"""Notes and rests of one voice as MusicXML elements, a line each.

Conventions: a duration is a whole number of divisions. Stems, beams and staff places are explicit, so that no program
has to decide them. ``dynamics`` is a stroke's velocity in percent of 90, which tells taps and feathered strokes from
normal ones; accents are signs, one a chord, and ghosts parenthesised heads. A flam or drag is one or two grace notes;
a diddle a tremolo of one stroke, a buzz an unmeasured one. Stickings are lyrics, which every program prints in one
row under the notes. A note's id starts with its limb. Of heads that would cover each other one is written. Sources:
W3C Music Notation Community Group, MusicXML 4.0, 2021, elements ``note``, ``unpitched``, ``notehead``, ``open``,
``stopped``, ``tremolo``.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from kitgen.line import Mark
from kitgen.pattern import Level
from kitgen.spell import Event, Grace, Stroke, Tuplet, Voice, Written
from kitgen.write.musicxml_text import xml_words
from kitgen.write.sounding import VELOCITIES

FORTE = 90
"""The velocity that MusicXML's ``dynamics`` are percents of."""

_DYNAMICS = {level: f"{100 * velocity / FORTE:.2f}" for level, velocity in VELOCITIES.items()}
SLASHES = "slash"
"""The instrument of what names no surface: slashes and cues of charts."""
_HEADS = {"slash": "slashed", "rhythm": "slash"}
"""Heads that MusicXML calls by another name: its ``slash`` is the bar of a rhythmic slash."""
_MARKS = {Mark.SHORT: "staccato", Mark.LONG: "tenuto"}
_STEMLESS = ("whole", "breve", "long")

Said = Mapping[tuple[int, Fraction], str]
"""What is said at an event, by the number of its voice and its place in the bar."""


class Pen(NamedTuple):
    """How all notes of a score are written.

    Args:
        divisions: of a quarter.
        part: the part's id, which its instruments' ids start with.
    """

    divisions: int
    part: str


class Rests(NamedTuple):
    """Where the rests of a voice stand: a staff place (empty for the middle), but some in the middle all the same."""

    place: str
    in_the_middle: frozenset[Fraction]


def voice_notes(pen: Pen, voice: Voice, bar: int | str, rests: Rests, said: Said) -> Iterator[str]:
    """The elements of one voice of a bar.

    Args:
        pen: how notes are written.
        voice: the voice.
        bar: the number of the bar, for the ids of notes.
        rests: where its rests stand.
        said: what is said at its events.
    """
    for index, event in enumerate(voice.events):
        if event.strokes:
            yield from _chord(pen, voice, f"{bar}-{voice.number}-{index}", event, said)
        else:
            place = "" if event.written.start in rests.in_the_middle else rests.place
            yield _rest(pen, voice, event, place, said)


def _rest(pen: Pen, voice: Voice, event: Event, place: str, said: Said) -> str:
    written = event.written
    hidden = "" if event.shown else ' print-object="no"'
    whole = ' measure="yes"' if written.whole_bar else ""
    inside = f"<display-step>{place[0]}</display-step><display-octave>{place[1]}</display-octave>" if place else ""
    rest = f"<rest{whole}>{inside}</rest>" if inside else f"<rest{whole}/>"
    value = "" if written.whole_bar else _value(written)
    words = said.get((voice.number, written.start), "") if said else ""
    notations = _notations(_tuplet_ends(written))
    duration = f"{_duration(pen, written)}<voice>{voice.number}</voice>"
    cue, value = ("<cue/>", _small(value)) if voice.cue else ("", value)
    return f"<note{hidden}>{cue}{rest}{duration}{value}{notations}{_lyric(2, words)}</note>\n"


def _chord(pen: Pen, voice: Voice, name: str, event: Event, said: Said) -> Iterator[str]:
    """Its grace notes, then its heads; what belongs to the stem stands at one of them."""
    written = event.written
    shown = [stroke for stroke in event.strokes if stroke.shown]
    for stroke in event.strokes:
        for grace in stroke.graces:
            yield _grace(pen, voice, stroke, grace)
    stem = "" if written.type in _STEMLESS else f"<stem>{_stem(voice, shown)}</stem>"
    timing, cue = _duration(pen, written), "<cue/>" if voice.cue else ""
    type_ = _small(_value(written)) if cue else _value(written)
    value = f"<voice>{voice.number}</voice>{type_}{stem}"
    sticking = "+".join(stroke.sticking for stroke in event.strokes if stroke.sticking)
    once = _beams(written.beams), _tuplet_ends(written), _lyric(1, sticking)
    words = _lyric(2, said.get((voice.number, written.start), "")) if said else ""
    accented = next((stroke for stroke in shown if stroke.accent), None)
    for index, stroke in enumerate(shown):
        beams, tuplet, lyric = once if index == 0 else ("", "", "")
        accent = _articulations(voice.stem, stroke, accented=stroke is accented)
        notations = _notations(tuplet + _ties(stroke, "tied") + _signs(stroke, event.strokes) + accent)
        limb = stroke.limb.name if stroke.limb is not None else "note"
        yield (
            f'<note id="{limb}-{name}" dynamics="{_DYNAMICS[stroke.level]}">{cue}{"<chord/>" if index else ""}'
            f"{_place(stroke.place)}{timing}{'' if cue else _ties(stroke, 'tie')}"
            f'<instrument id="{pen.part}-{stroke.surface or SLASHES}"/>{value}'
            f"{_head(stroke.head, ghost=stroke.parentheses)}{beams}{notations}{lyric}{'' if index else words}</note>\n"
        )


def _grace(pen: Pen, voice: Voice, stroke: Stroke, grace: Grace) -> str:
    level = min(Level.GHOST, stroke.level)
    slash = ' slash="yes"' if grace.slash else ""
    return (
        f'<note dynamics="{_DYNAMICS[level]}"><grace{slash}/>{_place(grace.place)}'
        f'<instrument id="{pen.part}-{grace.surface}"/><voice>{voice.number}</voice><type>{grace.type}</type>'
        f"<stem>{voice.stem}</stem>{_head(grace.head)}{_beams(grace.beams)}</note>\n"
    )


def _duration(pen: Pen, written: Written) -> str:
    length = written.length
    return f"<duration>{length.numerator * (pen.divisions // length.denominator)}</duration>"


def _value(written: Written) -> str:
    dots, tuplet = "<dot/>" * written.dots, written.tuplet
    modification = "" if tuplet is None else _modification(tuplet, written.type)
    return f"<type>{written.type}</type>{dots}{modification}"


def _modification(tuplet: Tuplet, kind: str) -> str:
    normal = "" if tuplet.type == kind else f"<normal-type>{tuplet.type}</normal-type>"
    return (
        f"<time-modification><actual-notes>{tuplet.actual}</actual-notes>"
        f"<normal-notes>{tuplet.normal}</normal-notes>{normal}</time-modification>"
    )


def _place(place: str) -> str:
    return f"<unpitched><display-step>{place[0]}</display-step><display-octave>{place[1]}</display-octave></unpitched>"


def _head(head: str, *, ghost: bool = False) -> str:
    if head == "normal" and not ghost:
        return ""
    parentheses = ' parentheses="yes"' if ghost else ""
    return f"<notehead{parentheses}>{_HEADS.get(head, head)}</notehead>"


def _beams(beams: Sequence[str]) -> str:
    if not beams:
        return ""
    return "".join([f'<beam number="{number}">{beam}</beam>' for number, beam in enumerate(beams, start=1)])


def _tuplet_ends(written: Written) -> str:
    tuplet = written.tuplet
    if tuplet is None or not (written.starts or written.stops):
        return ""
    start = f'<tuplet type="start" bracket="{"yes" if tuplet.bracket else "no"}"/>' if written.starts else ""
    return start + ('<tuplet type="stop"/>' if written.stops else "")


def _ties(stroke: Stroke, element: str) -> str:
    if not stroke.tie:
        return ""
    ends = ("stop", "start") if stroke.tie == "both" else (stroke.tie,)
    return "".join(f'<{element} type="{end}"/>' for end in ends)


def _signs(stroke: Stroke, chord: Sequence[Stroke]) -> str:
    """Tremolo and hat; a tremolo also for another limb on the same surface, whose head this one covers."""
    covered = [other for other in chord if other.surface == stroke.surface]
    found = ""
    if any(other.buzz for other in covered):
        found = '<ornaments><tremolo type="unmeasured">0</tremolo></ornaments>'
    elif slashes := max(other.slashes for other in covered):
        found = f'<ornaments><tremolo type="single">{slashes}</tremolo></ornaments>'
    if stroke.hat:
        found += f'<technical><{"open" if stroke.hat == "open" else "stopped"} placement="above"/></technical>'
    return found


def _articulations(stem: str, stroke: Stroke, *, accented: bool) -> str:
    """The accent of a chord, and whether a note is meant short or long."""
    if not accented and stroke.mark is Mark.NONE:
        return ""
    place = f'placement="{"above" if stem == "up" else "below"}"'
    accent = f"<accent {place}/>" if accented else ""
    meant = stroke.mark is not Mark.NONE and stroke.tie not in ("stop", "both")
    mark = f"<{_MARKS[stroke.mark]} {place}/>" if meant else ""
    return f"<articulations>{accent}{mark}</articulations>" if accent or mark else ""


def _stem(voice: Voice, shown: Sequence[Stroke]) -> str:
    return "none" if all(stroke.stemless for stroke in shown) else voice.stem


def _small(value: str) -> str:
    """A note value in the size of cues."""
    return value.replace("<type>", '<type size="cue">')


def _notations(inside: str) -> str:
    return f"<notations>{inside}</notations>" if inside else ""


def _lyric(number: int, words: str) -> str:
    if not words:
        return ""
    name = "sticking" if number == 1 else "counts"
    return f'<lyric number="{number}" name="{name}"><text>{xml_words(words)}</text></lyric>'
