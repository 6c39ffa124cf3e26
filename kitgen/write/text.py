"""A page as text: headed lines, then box rows; read back equal by :mod:`kitgen.read.text`.

``word: value`` lines head the page (title, do, meter, tempo, feel, counting, clave, note, recipe); each ``row:``
line starts a labelled pattern in box rows, broken at barlines to 80 columns.
"""

from kitgen.page import Page
from kitgen.pattern import render_rows
from kitgen.time import unit_name

CAUTION = (
    "A drum kit is loud: wear hearing protection. Warm up; stop at pain, numbness or tingling and see "
    "someone qualified. Follow your school's and local rules."
)


def page_text(page: Page) -> str:
    """The page as text, ending in a newline."""
    first = page.bars[0].meter
    tempo, unit = page.tempo, unit_name(page.tempo.unit)
    span = f"{tempo.start} to {tempo.goal} {unit}s a minute, range {tempo.low} to {tempo.high}"
    head = [
        ("title", page.title),
        ("do", page.instruction),
        ("meter", str(first)),
        ("tempo", span),
        ("feel", feel_words(page)),
        ("counting", "the quarters" if page.count_quarters else f"the beats ({unit_name(first.beats[0])})"),
    ]
    if page.clave:
        head.append(("clave", page.clave))
    head += [("note", note) for note in page.notes]
    head.append(("recipe", page.recipe))
    lines = [f"{word}: {value}".rstrip() for word, value in head]
    blocks = ["\n".join(lines)]
    meter = first
    for row in page.rows:
        rows = render_rows(row.pattern, count_quarters=page.count_quarters, meter=meter)
        blocks.append(f"row: {row.label}\n{rows}")
        meter = row.pattern.meters.bars[-1].meter
    return "\n\n".join(blocks) + "\n"


def feel_words(page: Page) -> str:
    """The feel for people, and exact: ``even``, ``swing eighths 2:1``."""
    feel = page.feel
    if not feel.unit:
        return "even"
    return f"swing {'eighths' if feel.unit == 8 else 'sixteenths'} {feel.ratio_text}"
