"""A band chart from a TOML file; its keys stand in :mod:`kitgen.read.chart_keys`."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from kitgen.errors import KitgenError, LineError, OptionError, PatternError, ReadError, UnknownNameError
from kitgen.line import Line
from kitgen.read.chart_keys import ALSO_CALLED, CHART_KEYS, FIGURE_KEYS, SECTION_KEYS
from kitgen.read.chart_text import ChartText
from kitgen.read.lines import read_line
from kitgen.read.styles import style_named
from kitgen.read.toml_files import check_keys, is_file, text_in, values_in, words_of
from kitgen.styles.chart import ARTICULATIONS, PARTIES, Chart, Figure
from kitgen.styles.chart_form import ChartForm
from kitgen.styles.chart_section import BACKS, CHART_FILLS, ChartSection
from kitgen.styles.chart_signs import check_signs
from kitgen.styles.forms import SECTIONS
from kitgen.styles.value import Style
from kitgen.time import Meter, bpm_value

_WHAT = "a chart"
_TOLD_BY = {
    "stops": "stop",
    "rests": "rest",
    "dynamics": "dynamic",
    "to-coda": "to-coda",
    "endings": "ending",
    "times": "times",
    "style": "the style",
}
"""Words in what is said of a section that does not add up, by the key they are about."""
_SIGNS = ("back", "to-coda", "coda", "fine", "repeat-from")


class ChartFile(NamedTuple):
    """A chart and where it came from.

    Args:
        chart: the chart.
        words: the name of its file, for recipes.
        sums: the names and hashes of its file and of those it names.
        remarks: what there is to say, a sentence each.
    """

    chart: Chart
    words: str
    sums: tuple[str, ...]
    remarks: tuple[str, ...] = ()


def read_chart(path: Path) -> ChartFile:
    """A chart from a file.

    Raises:
        ReadError: names the file, the line and the section or figure, what is wrong and what is allowed.
    """
    text = ChartText(path, text_in(path, _WHAT))
    if alone := text.single_head:
        number, kind = alone
        raise ReadError(f"{path}, line {number}: [{kind}] in one pair of brackets; each {kind} stands under [[{kind}]]")
    values = values_in("\n".join(text.lines), path, _WHAT)
    reading = _Reading(text, values)
    try:
        chart = reading.chart()
    except KitgenError as error:
        raise ReadError(f"{text.place(error)}: {error}") from error
    sums = tuple(dict.fromkeys((*words_of(str(path), _WHAT)[1], *reading.sums)))
    return ChartFile(chart, path.name, sums, tuple(reading.remarks))


class _Reading:
    """A chart's values while they are read."""

    def __init__(self, text: ChartText, values: Mapping[str, Any]) -> None:
        self.text, self.values = text, values
        self.sums: list[str] = []
        self.remarks: list[str] = []

    def chart(self) -> Chart:
        """The whole chart."""
        text, values = self.text, self.values
        if "pattern" in values:
            raise OptionError("this is a style, no chart; kitgen library --style makes it, and a chart may name it")
        check_keys(values, "key of a chart", tuple(CHART_KEYS), ALSO_CALLED)
        title, band = text.words(values, "title"), self._words(values, "band")
        words = self._words(values, "words")
        style = self._style(values)
        meter = self._meter(values, style)
        if meter != style.meter:
            raise PatternError(
                f"meter = {meter}, and the style {style.name} is in {style.meter}; choose a style in that meter, or "
                "leave the meter to the style"
            )
        tempo = self._tempo(values, meter)
        form = self._form(style, tempo)
        text.enter(0, "")
        self._check_total(form)
        chart = Chart(title, band, form, (), words)
        figures: list[Figure] = []
        for number, table in enumerate(self._tables("figure", least=0), start=1):
            text.enter_table("figure", number, f"figure {number}")
            figures.append(self._figure(table, form))
            text.sought = "bar"
            chart.check_figure(figures)
        text.enter(0, "")
        played = {passage.section for passage in form.passages}
        unplayed = [one.mark for index, one in enumerate(form.sections) if index not in played]
        self.remarks += [f"section {mark} is never played; the form goes past it" for mark in unplayed]
        return Chart(title, band, form, tuple(figures), words)

    def _words(self, table: Mapping[str, Any], key: str) -> str:
        return self.text.words(table, key) if key in table else ""

    def _tables(self, key: str, *, least: int) -> Sequence[Mapping[str, Any]]:
        tables = self.values.get(key, [])
        self.text.sought = key
        if not isinstance(tables, list) or len(tables) < least or not all(isinstance(one, dict) for one in tables):
            raise OptionError(
                f"no [[{key}]]; a chart has its sections each under [[section]], figures under [[figure]]"
            )
        return tables

    def _style(self, table: Mapping[str, Any]) -> Style:
        name = self.text.words(table, "style")
        beside = self.text.path.parent / name
        if is_file(name) and beside.is_file():
            self.sums += words_of(str(beside), "a style")[1]
            return style_named(str(beside))
        return style_named(name)

    def _meter(self, table: Mapping[str, Any], style: Style) -> Meter:
        return Meter.parse(self.text.words(table, "meter")) if "meter" in table else style.meter

    def _tempo(self, table: Mapping[str, Any], meter: Meter) -> float:
        return bpm_value(self.text.number(table, "tempo")) * float(meter.tempo_unit)

    # ---- sections ----------------------------------------------------------------------------------------------------

    def _form(self, style: Style, tempo: float) -> ChartForm:
        made: list[ChartSection] = []
        tables = self._tables("section", least=1)
        for number, table in enumerate(tables, start=1):
            self.text.enter_table("section", number, f"section {number}")
            check_keys(table, "key of a section", tuple(SECTION_KEYS), ALSO_CALLED)
            mark = self.text.words(table, "mark")
            self.text.where = f"section {mark}"
            if mark in {one.mark for one in made}:
                raise PatternError(f"two sections are marked {mark}; give each a mark of its own, such as {mark}2")
            own = self._style(table) if "style" in table else style
            meter = self._meter(table, own)
            tempo = self._tempo(table, meter) if "tempo" in table else tempo
            made.append(self._section(table, mark, own, meter, tempo))
        return self._joined(tuple(made))

    def _section(self, table: Mapping[str, Any], mark: str, style: Style, meter: Meter, tempo: float) -> ChartSection:
        text = self.text
        endings = text.whole_numbers(table, "endings")
        back = text.choice(table, "back", BACKS) if "back" in table else ""
        role = text.choice(table, "as", SECTIONS) if "as" in table else ""
        bars, times = self._whole(table, "bars", None), self._whole(table, "times", max(1, len(endings)))
        to_coda = self._whole(table, "to-coda", 0)
        words, repeat_from = self._words(table, "words"), self._words(table, "repeat-from")
        flags = [text.truth(table, key, usual=False) for key in ("segno", "coda", "fine")]
        dynamics, stops, rests = text.by_bar(table, "dynamics"), text.bars(table, "stops"), text.bars(table, "rests")
        fill = text.choice(table, "fill", CHART_FILLS, "auto")
        bpm = tempo / float(style.tempo.unit)
        if not style.tempo.holds(bpm):
            self.remarks.append(f"section {mark}: {style.title} at {bpm:g}; it lives at {style.tempo}")
        try:
            return ChartSection(
                mark,
                bars,
                style,
                meter,
                tempo,
                words=words,
                role=role,
                dynamics=dynamics,
                times=times,
                endings=endings,
                repeat_from=repeat_from,
                segno=flags[0],
                coda=flags[1],
                to_coda=to_coda,
                back=back,
                fine=flags[2],
                stops=stops,
                rests=rests,
                fill=fill,
            )
        except KitgenError as error:
            text.sought = next((key for key, words in _TOLD_BY.items() if words in str(error) and key in table), "bars")
            raise

    def _whole(self, table: Mapping[str, Any], key: str, usual: int | None) -> int:
        if usual is None and key not in table:
            self.text.number(table, key)
        return self.text.whole(table, key, usual or 0)

    def _joined(self, sections: tuple[ChartSection, ...]) -> ChartForm:
        """The form; what is wrong with its signs is told of the section that has them."""
        tables = self._tables("section", least=1)
        for index, section in enumerate(sections):
            self.text.enter_table("section", index + 1, f"section {section.mark}")
            self.text.sought = next((key for key in _SIGNS if key in tables[index]), "")
            check_signs(sections, index)
        return ChartForm(sections)

    def _check_total(self, form: ChartForm) -> None:
        if "bars" not in self.values:
            return
        total, written = self.text.whole(self.values, "bars", 0), len(form.meters.bars)
        if total != written:
            counted = " + ".join(f"{one.mark} {one.bars}" for one in form.sections)
            raise PatternError(f"bars = {total}, and the sections add up to {written}: {counted}")

    # ---- figures -----------------------------------------------------------------------------------------------------

    def _figure(self, table: Mapping[str, Any], form: ChartForm) -> Figure:
        text = self.text
        check_keys(table, "key of a figure", tuple(FIGURE_KEYS), ALSO_CALLED)
        bar = self._bar(table, form)
        who, how = (
            text.choice(table, "who", PARTIES, PARTIES[0]),
            text.choice(table, "how", ARTICULATIONS, ARTICULATIONS[0]),
        )
        line = self._line(table, form.meters.bars[bar - 1].meter)
        return Figure(bar, line, who, how)

    def _bar(self, table: Mapping[str, Any], form: ChartForm) -> int:
        """The written bar a figure begins in."""
        bar, text = self._whole(table, "bar", None), self.text
        total = len(form.meters.bars)
        if "section" in table:
            mark, marks = text.words(table, "section"), [one.mark for one in form.sections]
            if mark not in marks:
                raise UnknownNameError("section", mark, marks)
            index = marks.index(mark)
            text.sought = "bar"
            if not 1 <= bar <= form.sections[index].bars:
                raise OptionError(f"bar {bar}; section {mark} has bars 1 to {form.sections[index].bars}")
            return form.firsts[index] + bar - 1
        text.sought = "bar"
        if not 1 <= bar <= total:
            raise OptionError(f"bar {bar}; the chart has bars 1 to {total}")
        return bar

    def _line(self, table: Mapping[str, Any], meter: Meter) -> Line:
        text = self.text
        if ("line" in table) == ("file" in table):
            raise OptionError('a figure has its line, such as line = "(1) & (2) &", or a file with it, one of the two')
        if "line" in table:
            words = text.words(table, "line")
            try:
                return Line.parse(words, meter, pad=True)
            except LineError as error:  # a chart has no options
                raise LineError(str(error).replace("change --meter", "change the meter or style")) from error
        name = text.words(table, "file")
        part = str(table["part"]) if type(table.get("part")) is int else self._words(table, "part") or None
        measures = self._words(table, "measures") or None
        text.sought = "file"
        source = read_line(str(text.path.parent / name), part=part, measures=measures)
        self.sums += source.sums
        self.remarks += source.remarks
        return source.line
