"""A sheet as the data its template sets: words made printable, pictures by number, systems in unbroken groups.

Conventions: lengths in points. A picture stands once in the list however often it is shown.
"""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from kitgen.page import Page, Row
from kitgen.page.words import element_words, sentence
from kitgen.pattern import render_rows
from kitgen.time import Meter, unit_names
from kitgen.write.paper import Paper
from kitgen.write.pdf_figures import Figure, note_figure, swing_figure
from kitgen.write.pdf_letters import Letters, literal
from kitgen.write.text import READY, counting_words, feel_words, key_words

if TYPE_CHECKING:
    from kitgen.write.engraving import EngravedRow, Engraving
    from kitgen.write.engraving_svg import Picture

Data = dict[str, Any]

_TOGETHER = 0.55  # of the height between the margins: a row no taller than this is never broken
_MOST_SAID_BARS = 1
_HEAD_LETTERS = 1.6  # to a size of the text, so that the number of the sheet has room beside them
_RECIPE_SIZE = 0.6  # of the text's size
_WIDE_EM = 0.602  # how wide a letter of the even-spaced font is
_MOST_FOOT_LINES = 4


class Sheet(NamedTuple):
    """A page and its pictures.

    Args:
        page: the page.
        engraving: its pictures, as wide as the paper's music.
        number: its number; 0 for none.
        new: elements met here for the first time, in a series; None to say nothing of it.
    """

    page: Page
    engraving: "Engraving"
    number: int = 1
    new: tuple[str, ...] | None = None


class SheetData:
    """Gathers sheets as data, and the pictures they share.

    Args:
        paper: what they are printed on.
        keys: MIDI keys by surface, where not General MIDI's.
        triplets: swing is written out in triplets.
    """

    def __init__(self, paper: Paper, keys: Mapping[str, int] | None, *, triplets: bool) -> None:
        self.paper, self.keys, self.triplets = paper, keys, triplets
        self.letters = Letters()
        self.pictures: dict[str, int] = {}

    def words(self, words: str) -> str:
        """Words as they can be printed."""
        return self.letters.printable(words)

    def sheet(self, sheet: Sheet) -> Data:
        """One sheet."""
        page, engraving = sheet.page, sheet.engraving
        return {
            "number": str(sheet.number),
            "title": self.words(page.title),
            "running": self.words(f"{_numbered(sheet.number)}{self._short(page.title)}, continued"),
            **self._heading(page.heading),
            "instruction": self.words(page.instruction),
            "ruler": _ruler(page.bars[0].meter),
            "new": None if sheet.new is None else self.words(", ".join(map(element_words, sheet.new)) or "nothing"),
            "facts": list(self._facts(page)),
            "notes": [self.words(sentence(note)) for note in page.notes],
            "line": self.words(page.line),
            "rows": [self._row(page, *both) for both in zip(page.rows, engraving.rows, strict=True)],
            "kernels": [self._row(page, *both) for both in zip(page.kernels, engraving.kernels, strict=True)],
            "key": [self._picture(one, "key to the heads") for one in engraving.key],
            "midi": self.words(key_words(page, self.keys)),
            "grading": [self.words(criterion) for criterion in page.grading],
            "graded": [self.words(row.label) for row in page.rows] if page.grading else [],
            "ready": [] if page.grading else [words for line in READY for words in line],
            **self._recipe(page.recipe),
        }

    def _heading(self, heading: str) -> Data:
        """The teacher's heading: in the margin above where it is a line, else at the top of the page."""
        words = self.words(heading)
        short = len(words) <= _HEAD_LETTERS * self.paper.music_width_pt / self.paper.text_pt
        return {"heading": words if short else "", "long_heading": "" if short else words}

    def _short(self, title: str) -> str:
        """A title as it runs on above later sheets, in a line."""
        most = int(_HEAD_LETTERS * self.paper.music_width_pt / self.paper.text_pt) - len("100. , continued")
        return title if len(title) <= most else _whole_words(title[: most - 4]) + " ..."

    def _facts(self, page: Page) -> Iterable[Data]:
        """What stands beside each other in the head: a heading, words, and a figure before or after them."""
        tempo = page.tempo
        note = note_figure(tempo.unit)
        units = "" if note else f" {unit_names(tempo.unit)} a minute"
        single = tempo.start == tempo.goal
        yield self._fact("Tempo" if single else "Start", f"{tempo.start}{units}", before=note)
        if not single:
            yield self._fact("Goal", f"{tempo.goal}")
        if (tempo.low, tempo.high) != (tempo.start, tempo.goal):
            yield self._fact("Range", f"{tempo.low} to {tempo.high}")
        if page.feel.unit:
            how = "written as it sounds" if self.triplets else "written even, played long and short"
            shown = None if self.triplets else swing_figure(page.feel)
            yield self._fact("Feel", feel_words(page), how, after=shown)
        else:
            yield self._fact("Feel", "even")
        yield self._fact("Count", counting_words(page))
        if page.clave:
            yield self._fact("Clave", page.clave)

    def _fact(
        self, head: str, words: str, more: str = "", *, before: Figure | None = None, after: Figure | None = None
    ) -> Data:
        return {
            "head": head,
            "words": words,
            "more": more,
            "before": self._figure(before),
            "after": self._figure(after),
        }

    def _figure(self, figure: Figure | None) -> Data | None:
        if figure is None:
            return None
        return {"picture": self._number(figure.svg), "height": figure.height_em, "alt": figure.alt}

    def _row(self, page: Page, row: Row, engraved: "EngravedRow") -> Data:
        boxes = _boxes(page, row) if len(row.pattern.meters.bars) <= _MOST_SAID_BARS else ""
        systems = [
            self._picture(picture, _alt(row, boxes, number, len(engraved.systems)))
            for number, picture in enumerate(engraved.systems, start=1)
        ]
        return {
            "label": self.words(row.label),
            "times": f"play {row.times} times" if row.times > 1 else "",
            "groups": self._groups(systems),
            "width": max((one["width"] for one in systems), default=0),
        }

    def _groups(self, systems: list[Data]) -> list[list[Data]]:
        """Systems in groups that are not broken: all, if that is about half a sheet; else none alone at an end."""
        room = self.paper.height_pt * _TOGETHER
        if sum(one["height"] for one in systems) <= room or len(systems) < 3:
            return [systems]
        ends = [systems[:2], systems[-2:]] if len(systems) > 3 else [systems[:1], systems[1:]]
        return [ends[0], *([one] for one in systems[2:-2]), ends[1]]

    def _picture(self, picture: "Picture", alt: str) -> Data:
        return {
            "picture": self._number(picture.svg),
            "width": round(picture.width_pt, 2),
            "height": round(picture.height_pt, 2),
            "alt": literal(alt),
        }

    def _number(self, svg: str) -> int:
        return self.pictures.setdefault(svg, len(self.pictures))

    def _recipe(self, recipe: str) -> Data:
        """The recipe in lines as wide as the foot; a very long one stands at the end of its page instead."""
        lines = _wrapped(self.words(recipe), self._foot_letters)
        if len(lines) > _MOST_FOOT_LINES:
            return {"recipe": [], "long_recipe": lines}
        return {"recipe": lines, "long_recipe": []}

    @property
    def _foot_letters(self) -> int:
        return int(self.paper.music_width_pt / (_WIDE_EM * _RECIPE_SIZE * self.paper.text_pt))


def _boxes(page: Page, row: Row) -> str:
    rows = render_rows(row.pattern, count_quarters=page.count_quarters, meter=page.bars[0].meter)
    return " ; ".join(" ".join(line.split()) for line in rows.splitlines())


def _numbered(number: int) -> str:
    return f"{number}. " if number else ""


def _alt(row: Row, boxes: str, number: int, of: int) -> str:
    """What a system shows to someone who cannot see it: the row's boxes with the first, if it is one bar."""
    bars = len(row.pattern.meters.bars)
    said = f"{row.label}, {bars} bar{'s' if bars > 1 else ''}"
    if of > 1:
        said += f", system {number} of {of}"
    return f"{said}: {boxes}" if boxes and number == 1 else said


@lru_cache(maxsize=64)
def _ruler(meter: Meter) -> list[list[float]]:
    """A bar as a rule with marks: where each stands, as a part of the bar, and 2 at its ends, 1 on beats, else 0."""
    marks, start = list[list[float]](), Fraction(0)
    for beat in meter.beats:
        parts = 3 if beat.numerator == 3 else 4 if beat >= 1 else 2
        parts = parts if len(meter.beats) <= 8 else 1
        for part in range(parts):
            marks.append([float((start + beat * part / parts) / meter.span), 0 if part else 1])
        start += beat
    marks[0][1] = 2
    return [*marks, [1.0, 2]]


def _wrapped(words: str, most: int) -> list[str]:
    """Words in lines of so many letters, broken at spaces where that fills most of a line."""
    lines = []
    while len(words) > most:
        cut = words.rfind(" ", most * 2 // 3, most + 1)
        cut = most if cut < 0 else cut
        lines.append(words[:cut].rstrip(" "))
        words = words[cut:].lstrip(" ")
    return [*lines, words] if words else lines


def _whole_words(cut: str) -> str:
    """Cut words without the last one, of which a part may be missing."""
    return (cut.rpartition(" ")[0] or cut).rstrip(" ,;:(")
