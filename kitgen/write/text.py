"""A page as text: headed lines, then box rows; read back equal by :mod:`kitgen.read.text`.

``word: value`` lines head the page (title, do, meter, tempo, feel, counting, clave, note, recipe); each ``row:``
line starts a labelled pattern in box rows, broken at barlines to 80 columns.
"""

from collections.abc import Mapping

from kitgen.kit import SURFACES
from kitgen.page import Page, Tempo
from kitgen.pattern import render_rows
from kitgen.time import unit_name

CAUTION = (
    "A drum kit is loud: wear hearing protection. Warm up; stop at pain, numbness or tingling and see "
    "someone qualified. Follow your school's and local rules."
)


LETTERS = "X accent, x stroke, t tap, g ghost, f feather, - held, . silent; 1tl is 1 trip let, 1li is 1 la li"


def page_text(page: Page, *, keys: Mapping[str, int] | None = None) -> str:
    """The page as text, ending in a newline; ``keys`` are MIDI keys by surface, where not General MIDI's."""
    first = page.bars[0].meter
    head = [
        ("title", page.title),
        ("do", page.instruction),
        ("meter", str(first)),
        ("tempo", tempo_words(page.tempo)),
        ("feel", feel_words(page)),
        ("counting", counting_words(page)),
        ("line", page.line),
    ]
    if page.clave:
        head.append(("clave", page.clave))
    head += [("note", note) for note in page.notes]
    head += [("letters", LETTERS), ("midi keys", key_words(page, keys)), ("recipe", page.recipe)]
    lines = [f"{word}: {value}".rstrip() for word, value in head if value or word == "title"]
    blocks = ["\n".join(lines)]
    meter = first
    for row in page.rows:
        rows = render_rows(row.pattern, count_quarters=page.count_quarters, meter=meter)
        blocks.append(f"row: {row.label}\n{rows}")
        meter = row.pattern.meters.bars[-1].meter
    return "\n\n".join(blocks) + "\n"


def tempo_words(tempo: Tempo) -> str:
    """A page's tempi, as they are read back: ``60 to 90 quarters a minute, range 40 to 120``, or one for all."""
    unit = unit_name(tempo.unit)
    units = unit.removesuffix("half") + "halves" if unit.endswith("half") else unit + "s"
    if tempo.low == tempo.high == tempo.start:
        return f"{tempo.start} {units} a minute"
    span = f"{tempo.start} to {tempo.goal} {units} a minute"
    same = (tempo.low, tempo.high) == (tempo.start, tempo.goal)
    return span if same else f"{span}, range {tempo.low} to {tempo.high}"


def counting_words(page: Page) -> str:
    """What the numbers of the count row count."""
    meter = page.bars[0].meter
    if page.count_quarters:
        return "the quarters"
    if len(set(meter.beats)) > 1:
        return f"the groups, {'+'.join(map(str, meter.groups))}"
    return f"the beats ({unit_name(meter.beats[0])})"


def key_words(page: Page, keys: Mapping[str, int] | None = None) -> str:
    """The MIDI key of every surface on the page."""
    played = {hit.surface for hit in page.pattern.hits}
    known = {label: row.key for label, row in SURFACES.items()} | dict(keys or {})
    return ", ".join(f"{label} {known[label]}" for label in SURFACES if label in played)


def feel_words(page: Page) -> str:
    """The feel for people, and exact: ``even``, ``swing eighths 2:1``."""
    feel = page.feel
    if not feel.unit:
        return "even"
    return f"swing {'eighths' if feel.unit == 8 else 'sixteenths'} {feel.ratio_text}"
