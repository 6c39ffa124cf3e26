"""In which order elements are brought where any order would do.

Common practice: a meter, feet; then limb by limb the sound and the plain beat, together with what runs already; finer
figures after that, the bass before the hands; cells in their usual order: 1, 1 &, &, 1 e & a, 1 & a and so on. Ghost
notes, a second sound of a limb (an open hat, a crash) and applications come late.
"""

from kitgen.course.naming import KINDS
from kitgen.kit import Kit, Limb
from kitgen.page.progress import OVER, WITH

_CELLS = (
    "x", "xx", ".x", "xxxx", "x.xx", "xxx.", "xx.x", "x..x", "xx..", ".xxx", "..xx", ".xx.", ".x.x", ".x..", "...x",
    "xxx", "x.x", "xx.", ".xx", "..x", ".x.",
)  # fmt: skip
_PLAIN = ("x", "xx", ".x")
_FIRST_SOUNDS = ("closed-hat", "ride", "snare", "bass", "hat-foot", "clap", "lap", "floor")
_METER, _OSTINATO, _PLAIN_PLAY, _FEEL, _TURNS, _FINER, _OVER, _REST, _CONTRAST, _SOUND, _APPLICATION = range(11)

Place = tuple[int | str, ...]


def teaching_order(element: str, kit: Kit) -> Place:
    """Where an element comes among others, to be sorted by.

    >>> from kitgen.kit import kit
    >>> groove = ["cell RF .x", "parts RH+LH+RF", "sound RH open-hat", "sound LH snare", "cell RH xx", "sound RF bass"]
    >>> sorted(groove, key=lambda element: teaching_order(element, kit("standard")))[:5]
    ['cell RH xx', 'sound LH snare', 'sound RF bass', 'parts RH+LH+RF', 'cell RF .x']
    """
    kind, _, rest = element.partition(" ")
    if kind == "cell":
        return _of_cell(rest, kit)
    if kind == "sound":
        limb, _, label = rest.partition(" ")
        return (_PLAIN_PLAY, _layer(limb, kit), 0, label) if label in _FIRST_SOUNDS else (_SOUND, label, limb)
    if kind == "parts":
        return (_PLAIN_PLAY, _layer(rest, kit), 1, rest)
    if kind in ("ostinato", "turns"):
        return (_OSTINATO if kind == "ostinato" else _TURNS, rest.count(WITH), len(rest), rest)
    first = {"meter": _METER, "feel": _FEEL, "contrast": _CONTRAST, "application": _APPLICATION}.get(kind, _REST)
    return (first, KINDS.index(kind) if kind in KINDS else len(KINDS), len(rest), rest)


def cell_order(boxes: str) -> Place:
    """Where a cell comes among the cells of a limb.

    >>> sorted(["x.xx", ".x", "xx", "x"], key=cell_order)
    ['x', 'xx', '.x', 'x.xx']
    """
    if boxes in _CELLS:
        return (0, _CELLS.index(boxes))
    return (1, len(boxes), boxes[0] != "x", -boxes.count("x"), boxes)


def own_cell(element: str) -> tuple[str, str]:
    """The boxes of a cell, and whose it is over what: ``x.xx``, ``LH ? over samba``; both empty for no cell."""
    kind, _, rest = element.partition(" ")
    if kind != "cell":
        return "", ""
    own, over, names = rest.partition(OVER)
    voice, _, boxes = own.partition(" ")
    return boxes, f"{voice} ?{over}{names}"


def steps_to(element: str, kit: Kit) -> tuple[str, ...]:
    """What comes before an element though it teaches it: of many parts those without the feet.

    >>> from kitgen.kit import kit
    >>> steps_to("parts RH+LH+RF+LF", kit("standard")), steps_to("cell LH x.xx", kit("standard"))
    (('parts RH+LH', 'parts RH+LH+RF'), ())
    """
    kind, _, rest = element.partition(" ")
    names = rest.split("+")
    if kind != "parts" or len(names) < 3:
        return ()
    last = max(names, key=lambda name: _layer(name, kit))
    fewer = f"parts {'+'.join(name for name in names if name != last)}"
    return (*steps_to(fewer, kit), fewer)


def _of_cell(rest: str, kit: Kit) -> Place:
    own, over, names = rest.partition(OVER)
    voice, _, boxes = own.partition(" ")
    layer = _layer(voice, kit)
    if over:
        return (_OVER, names, layer, *cell_order(boxes))
    return (_PLAIN_PLAY, layer, 2, *cell_order(boxes)) if boxes in _PLAIN else (_FINER, -layer, *cell_order(boxes))


def _layer(voices: str, kit: Kit) -> int:
    """How late the last of some voices is put to the others: time, the other hand, bass, hat foot."""
    roles = (kit.lead, kit.weak, kit.bass_foot, kit.hat_foot)
    return max(roles.index(Limb[name]) if name in Limb.__members__ else 1 for name in voices.split("+"))
