"""A page as text: headed lines, then box rows; read back equal by :mod:`kitgen.read.text`.

``word: value`` lines head the page (title, do, meter, tempo, feel, counting, clave, change, note, recipe); each
``row:`` line starts a labelled pattern in box rows, broken at barlines to 80 columns, with ``play: 4 times`` where
it is repeated. ``kernel:`` starts what is to be looped apart from the rows. What is new (``new:``), which the notes
say, and what is filled in by hand (``name:``, ``ready:``, ``grade:``) is read over.
"""

from collections.abc import Iterable, Iterator, Mapping

from kitgen.kit import SURFACES
from kitgen.page import Page, Row, Tempo
from kitgen.page.words import element_words
from kitgen.pattern import render_rows
from kitgen.time import unit_name, unit_names

CAUTION = (
    "A drum kit is loud: wear hearing protection. Warm up; stop at pain, numbness or tingling and see "
    "someone qualified. Follow your school's and local rules."
)


READY = (
    ("from memory", "cold start, all limbs at once", "soft and loud"),
    ("entered from plain time", "kept going after a slip"),
)
"""When a page is done, in lines of boxes to tick."""

_WIDEST_LABEL = 36

LENGTHS = "; lengths names what is let go of where its boxes end"
LETTERS = "X accent, x stroke, t tap, g ghost, f feather, - held, . silent; 1tl is 1 trip let, 1li is 1 la li"


def page_text(page: Page, *, keys: Mapping[str, int] | None = None, new: Iterable[str] | None = None) -> str:
    """The page as text, ending in a newline.

    Args:
        page: the page.
        keys: MIDI keys by surface, where not General MIDI's.
        new: elements met here for the first time, in a series; None to say nothing of it.
    """
    first = page.bars[0].meter
    head = [
        ("title", page.title),
        ("heading", page.heading),
        ("new", "" if new is None else ", ".join(map(element_words, new)) or "nothing"),
        ("do", page.instruction),
        ("meter", str(first)),
        ("tempo", tempo_words(page.tempo)),
        ("feel", feel_words(page)),
        ("counting", counting_words(page)),
        ("line", page.line),
        ("grading", "; ".join(f"{number} {words}" for number, words in enumerate(page.grading, start=1))),
    ]
    if page.clave:
        head.append(("clave", page.clave))
    head += [("change", change_words(page, *change)) for change in page.tempo_changes]
    head += [("note", note) for note in page.notes]
    rows = tuple(_rows(page))
    letters = LETTERS + (LENGTHS if any("\nlengths " in row for row in rows) else "")
    head += [("letters", letters), ("midi keys", key_words(page, keys)), ("recipe", page.recipe)]
    lines = [f"{word}: {value}".rstrip() for word, value in head if value or word == "title"]
    return "\n\n".join(("\n".join(lines), *rows, "\n".join(_by_hand(page)))) + "\n"


def _rows(page: Page) -> Iterator[str]:
    """Rows, then kernels, each under its label."""
    meter = page.bars[0].meter
    for word, row in (*(("row", row) for row in page.rows), *(("kernel", row) for row in page.kernels)):
        rows = render_rows(row.pattern, count_quarters=page.count_quarters, meter=meter)
        times = f"play: {row.times} times\n" if row.times > 1 else ""
        yield f"{word}: {row.label}\n{times}{rows}"
        meter = row.pattern.meters.bars[-1].meter


def _by_hand(page: Page) -> Iterator[str]:
    """What the student and the teacher fill in: who, when, how fast; ready or not; a grade for each row."""
    yield f"name: {'_' * 28}  date: {'_' * 12}  bpm: {'_' * 8}"
    if not page.grading:
        for words in READY:
            yield "ready: " + "   ".join(f"[ ] {word}" for word in words)
        return
    for row in page.rows:
        marks = "  ".join(f"{number} ___" for number in range(1, len(page.grading) + 1))
        yield f"grade: {_short(row):<{_WIDEST_LABEL}}  {marks}"


def _short(row: Row) -> str:
    if len(row.label) <= _WIDEST_LABEL:
        return row.label
    whole_words = row.label[: _WIDEST_LABEL - 3].rpartition(" ")[0] or row.label[: _WIDEST_LABEL - 4]
    return whole_words.rstrip(",;:") + " ..."


def tempo_words(tempo: Tempo) -> str:
    """A page's tempi, as they are read back: ``60 to 90 quarters a minute, range 40 to 120``, or one for all."""
    units = unit_names(tempo.unit)
    climb = f" to {tempo.goal}" if tempo.goal != tempo.start else ""
    span = f"{tempo.start}{climb} {units} a minute"
    same = (tempo.low, tempo.high) == (tempo.start, tempo.goal)
    return span if same else f"{span}, range {tempo.low} to {tempo.high}"


def change_words(page: Page, bar: int, bpm: float) -> str:
    """A change of tempo: ``112 quarters a minute from bar 33``."""
    return f"{bpm} {unit_names(page.tempo.unit)} a minute from bar {bar}"


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
