"""What a style has to keep, each rule a function of the style that yields what it finds.

An error is something a drummer would not do or could not play; a warning is something that is usually a slip, and that
an author who means it accepts in the pattern (``accepts``). Every pattern is held to the slowest, the middle and the
fastest tempo it is for, since a swing widens as the tempo falls and other patterns keep time there, and to an advanced
player unless another is named; fills and endings are looked at where they stand, after time and before what they land
on.
"""

from collections.abc import Callable, Iterator
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from kitgen.kit import HATS, PLAYERS, Limb, Player
from kitgen.pattern import Level, Pattern
from kitgen.pattern.clave import clave_cycle
from kitgen.pattern.playability import playability
from kitgen.pattern.quality import Terms, faults
from kitgen.styles.parts import Role, StylePattern
from kitgen.styles.phrases import entered, landed, phrase, room_for, time_for
from kitgen.styles.value import Style
from kitgen.time import count_name, unit_names

ERROR, WARNING = "error", "warning"
_CRASHES = frozenset(("crash", "crash-2", "splash", "china"))
_SNARES = frozenset(("snare", "rim-shot", "cross-stick"))
_OF_THE_HAT = frozenset(("hat-held", "hat-soon", "hat-left"))
LEAST_VARIATIONS = 2
_MOST_BARS = 8


class StyleFinding(NamedTuple):
    """Something found in a style.

    Args:
        rule: name of the rule.
        pattern: name of the pattern; empty for the style as a whole.
        words: a sentence: what, where, what to do.
        weight: ``error`` or ``warning``.
    """

    rule: str
    pattern: str
    words: str
    weight: str = ERROR

    def __str__(self) -> str:
        warning = f"warning ({self.rule}): " if self.weight == WARNING else ""
        return f"{self.pattern}: {warning}{self.words}" if self.pattern else f"{warning}{self.words}"


def complete(style: Style) -> Iterator[StyleFinding]:
    """A basic groove, two variations, a simpler and a fuller version, fills of a beat, two and a bar, an ending."""
    if len(style.of_role(Role.VARIATION)) < LEAST_VARIATIONS:
        yield StyleFinding("complete", "", f"it wants {LEAST_VARIATIONS} variations or more")
    for role in (Role.SIMPLER, Role.FULLER, Role.ENDING):
        if not style.of_role(role):
            yield StyleFinding("complete", "", f'no pattern has the role "{role.value}"; add one')
    bar = len(style.meter.beats)
    there = {item.beats for item in style.fills}
    for beats, words in ((1, "1 beat"), (2, "2 beats"), (bar, "1 bar")):
        if beats not in there and beats <= bar:
            yield StyleFinding("complete", "", f"no fill lasts {words} of {style.meter}; add one")


def lengths(style: Style) -> Iterator[StyleFinding]:
    """Time fits its phrases, with a clave it lasts one bar or whole claves; nothing is longer than 8 bars."""
    for item in style.patterns:
        if item.bars > _MOST_BARS:
            yield StyleFinding("lengths", item.name, f"it lasts {item.bars} bars; {_MOST_BARS} at most")
        if not item.role.keeps_time:
            continue
        odd = next((bars for bars in style.phrase_bars if bars % item.bars), 0)
        if odd:
            yield StyleFinding("lengths", item.name, f"{item.bars} bars of time do not fill a phrase of {odd}")
        if style.clave and item.bars > 1 and clave_cycle(item.pattern.meters) is None:
            yield StyleFinding("lengths", item.name, f"{item.bars} bars are no whole number of claves")


def playable(style: Style, player: Player = PLAYERS["advanced"]) -> Iterator[StyleFinding]:
    """A player can play every pattern at the fastest tempo it is for, at the slowest and half way.

    What is found at one tempo is not said again of a slower one.
    """
    for item in style.patterns:
        told: set[tuple[str, Limb]] = set()
        for bpm in dict.fromkeys((item.tempo.high, (item.tempo.low + item.tempo.high) / 2, item.tempo.low)):
            where, pattern, loops = _in_place(style, item, player, bpm)
            for found in playability(pattern, player, bpm * float(style.tempo.unit), loops=loops):
                if (found.rule, found.limb) in told:
                    continue
                told.add((found.rule, found.limb))
                weight = WARNING if found.rule in _OF_THE_HAT else ERROR
                words = f"{where}at {bpm:g} {unit_names(style.tempo.unit)} a minute: {found}"
                yield StyleFinding("hat-foot" if weight == WARNING else "playable", item.name, words, weight)


def tempi(style: Style) -> Iterator[StyleFinding]:
    """Something keeps time at the slowest and at the fastest tempo the style lives in."""
    for bpm in (style.tempo.low, style.tempo.high):
        if not style.time_at(bpm).tempo.holds(bpm):
            yield StyleFinding("tempi", "", f"nothing keeps time at {bpm:g}; give a groove or variation for it")


def hat_foot(style: Style) -> Iterator[StyleFinding]:
    """Where a hand keeps time on the hat, the foot holds it: no hat foot but to close an open hat."""
    for item in style.patterns:
        if not item.role.keeps_time:
            continue
        played = [hit for hit in item.pattern.hits if hit.surface in HATS]
        for hit in item.pattern.hits if played else ():
            before = [one for one in played if one.onset < hit.onset] or played
            if hit.surface == "hat-foot" and before[-1].surface != "open-hat":
                words = "the hat foot while a hand is on the hat, which it has to hold; move the hand or leave it out"
                yield StyleFinding("hat-foot", item.name, _at(item.pattern, hit.onset, words), WARNING)
                break


def clave_side(style: Style) -> Iterator[StyleFinding]:
    """What keeps time does not go against the clave: a warning where two strokes more lie on the other side."""
    if style.clave is None:
        return
    terms = Terms(clave=style.clave.side, kind=style.clave.kind)
    for item in style.patterns:
        if item.role.keeps_time:
            for fault in faults(item.pattern, ("clave-side",), terms):
                yield StyleFinding("clave-side", item.name, fault.words, WARNING)


def cymbals(style: Style) -> Iterator[StyleFinding]:
    """A crash has bass or snare under it; an open hat is closed."""
    for item in style.patterns:
        rules = ("crash-carried", "hat-closed") if item.role.keeps_time else ("crash-carried",)
        for fault in faults(item.pattern, rules):
            yield StyleFinding(fault.rule, item.name, fault.words)


def no_crash(style: Style) -> Iterator[StyleFinding]:
    """Where the style has no crash in its fills, none is struck and none is landed on."""
    for item in () if style.crash_in_fills else style.fills:
        if item.lands == "crash" or any(hit.surface in _CRASHES for hit in item.pattern.hits):
            yield StyleFinding("no-crash", item.name, "a crash, where crash-in-fills is false")


def feet(style: Style) -> Iterator[StyleFinding]:
    """The feet of what keeps time are the style's; a hat foot may rest under a hand on the hat."""
    if style.feet is None:
        return
    for item in style.patterns:
        if not item.role.keeps_time or item.own_feet:
            continue
        bars = max(item.bars, len(style.feet.meters.bars))
        own, expected = _feet_of(time_for(item.pattern, bars)), _feet_of(time_for(style.feet, bars))
        on_hat = any(hit.surface in HATS for hit in item.pattern.hits)
        for limb in (Limb.RF, Limb.LF):
            differing = own[limb] ^ expected[limb]
            if differing and not (limb is Limb.LF and on_hat and not own[limb]):
                words = f"the {limb.words} differs from the style's feet; say own-feet = true if it is meant"
                yield StyleFinding("feet", item.name, _at(time_for(item.pattern, bars), min(differing), words))


def leads(style: Style) -> Iterator[StyleFinding]:
    """Every row that leads the balance is in a pattern that keeps time."""
    heads = {f"{hit.limb.name} {hit.surface}" for item in style.patterns for hit in item.pattern.hits}
    for head in style.leads:
        if head not in heads:
            words = f"{head!r} leads the balance and is in no pattern; there are {', '.join(sorted(heads))}"
            yield StyleFinding("leads", "", words)


def endings(style: Style) -> Iterator[StyleFinding]:
    """An ending ends: its last stroke is no ghost, and bass or snare is in it."""
    for item in style.of_role(Role.ENDING):
        last = item.pattern.hits[-1].onset
        struck = [hit for hit in item.pattern.hits if hit.onset == last]
        if max(hit.level for hit in struck) < Level.TAP:
            yield StyleFinding("endings", item.name, "its last stroke cannot be heard; play the end")
        if not any(hit.surface == "bass" or hit.surface in _SNARES for hit in struck):
            yield StyleFinding("endings", item.name, "no bass or snare in its last stroke; the band stops with one")


Rule = Callable[[Style], Iterator[StyleFinding]]
STYLE_RULES: MappingProxyType[str, Rule] = MappingProxyType(
    {
        "complete": complete,
        "lengths": lengths,
        "tempi": tempi,
        "hat-foot": hat_foot,
        "clave-side": clave_side,
        "cymbals": cymbals,
        "no-crash": no_crash,
        "feet": feet,
        "leads": leads,
        "endings": endings,
    }
)
ACCEPTABLE = ("clave-side", "hat-foot")
"""Rules whose findings are warnings, which a pattern can accept."""


def style_findings(style: Style, player: Player = PLAYERS["advanced"]) -> tuple[StyleFinding, ...]:
    """Everything found in a style, rule after rule, without the warnings its patterns accept.

    Args:
        style: the style.
        player: who has to be able to play it at its fastest.
    """
    accepted = {(item.name, rule) for item in style.patterns for rule in item.accepts}
    found = [finding for rule in STYLE_RULES.values() for finding in rule(style)]
    found += playable(style, player)
    return tuple(dict.fromkeys(one for one in found if (one.pattern, one.rule) not in accepted))


def _in_place(style: Style, item: StylePattern, player: Player, bpm: float) -> tuple[str, Pattern, bool]:
    """A pattern as it is played: time by itself, round and round; a fill or an ending after time, with its landing."""
    if item.role.keeps_time:
        return "", item.pattern, True
    time = style.time_at(bpm).pattern
    room = room_for(player, bpm * float(style.tempo.unit), style.feel)
    if item.role in (Role.INTRO, Role.PICKUP):
        return "", entered(item, time, 1, room=room), False
    played = phrase(time, item, item.bars + 1, room=room)
    if item.role is Role.FILL:
        played += landed(time_for(time, 1), item.lands, item.pattern)
    return "after a bar of time, ", played, False


def _feet_of(pattern: Pattern) -> dict[Limb, set[Fraction]]:
    return {limb: {hit.onset for hit in pattern.hits if hit.limb is limb} for limb in (Limb.RF, Limb.LF)}


def _at(pattern: Pattern, onset: Fraction, words: str) -> str:
    return f"{count_name(pattern.meters, onset)}: {words}"
