"""Pages with pictures that are quickly made: an empty frame a system, with its name as searchable text."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

from kitgen.kit import Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, Hit, Level, Pattern
from kitgen.time import Meter, Meters
from kitgen.write.engraving import EngravedRow, Engraving
from kitgen.write.engraving_svg import Picture
from kitgen.write.paper import Paper
from kitgen.write.pdf import Sheet, sheets_pdf

TEMPO = Tempo(60, 90, 50, 120)


def bars(count: int, feel: Feel | None = None, meter: Meter = Meter(4, 4)) -> Pattern:  # noqa: B008  frozen
    """So many bars with a stroke on each first beat."""
    hits = tuple(Hit(start * meter.span, Limb.RH, "snare", Level.NORMAL) for start in map(Fraction, range(count)))
    return Pattern(hits, Meters.of(meter, count), feel or Feel())


def page(*rows: Row, **other: Any) -> Page:
    """A page of rows, of one row of four bars where there are none."""
    usual: dict[str, Any] = {"title": "On one", "instruction": "Play the first beat.", "tempo": TEMPO}
    return Page(rows=rows or (Row("first beats", bars(4)),), **(usual | other))


def frame(name: str, width: float, height: float) -> Picture:
    """A frame with a name in it."""
    return Picture(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}pt" height="{height}pt" viewBox="0 0 {width} {height}">'
        f'<rect x="1" y="1" width="{width - 2}" height="{height - 2}" fill="none" stroke="#000"/>'
        f'<text x="5" y="20" font-family="Libertinus Serif" font-size="10">{name}</text></svg>',
        width,
        height,
    )


def sheet(
    given: Page, number: int = 1, new: tuple[str, ...] | None = None, *, height: float = 60, width: float = 400
) -> Sheet:
    """A page with a frame for every four bars, named by row and place."""

    def framed(rows: tuple[Row, ...], letter: str) -> tuple[EngravedRow, ...]:
        return tuple(
            EngravedRow(
                row.label,
                row.times,
                tuple(
                    frame(f"{letter}{place}of{index}.", width, height)
                    for place in range(-(-len(row.pattern.meters.bars) // 4))
                ),
            )
            for index, row in enumerate(rows)
        )

    engraving = Engraving(framed(given.rows, "system"), framed(given.kernels, "loop"), (frame("heads", 200, 50),))
    return Sheet(given, engraving, number, new)


def texts(data: bytes) -> list[str]:
    """What stands on each page of a PDF, without white space."""
    from io import BytesIO

    from pypdf import PdfReader

    return ["".join(one.extract_text().split()) for one in PdfReader(BytesIO(data)).pages]


def text_of(given: Page, paper: Paper | None = None, **other: Any) -> str:
    """The whole text of one page's sheets, without white space."""
    made = sheets_pdf([sheet(replace(given), **other)], paper or Paper())
    return "".join(texts(made))
