"""A chart as one stand-alone SVG picture: its title, and its systems one under the other.

No references outside the file, no date: same chart, same bytes.
"""

import re
from collections.abc import Sequence

from kitgen.styles.chart import Chart
from kitgen.time import unit_names
from kitgen.write.chart_pictures import EngravedSystem
from kitgen.write.engraving_svg import FONTS
from kitgen.write.musicxml_text import xml_words

_MARGIN, _TITLE, _WORDS = 18.0, 20.0, 11.0
_INSIDE, _BETWEEN = 10.0, 17.0
_ROOT = re.compile(r"<svg [^>]*?(viewBox=\"[^\"]*\")[^>]*>")


def chart_svg(chart: Chart, systems: Sequence[EngravedSystem]) -> bytes:
    """The picture of a chart, as bytes of an SVG file.

    Args:
        chart: the chart.
        systems: its systems.
    """
    width = max(one.picture.width_pt for one in systems)
    y = _MARGIN + _TITLE
    parts = [
        f'<text x="{_MARGIN:g}" y="{y:g}" font-size="{_TITLE:g}" font-weight="bold">{xml_words(chart.title)}</text>\n',
    ]
    first = chart.form.sections[0]
    unit = first.meter.tempo_unit
    tempo = f"{first.style.title}, {first.tempo / float(unit):g} {unit_names(unit)} a minute"
    words = ", ".join(filter(None, (chart.band, "drum set", tempo)))
    y += _WORDS * 1.5
    parts.append(f'<text x="{_MARGIN:g}" y="{y:g}" font-size="{_WORDS:g}">{xml_words(words)}</text>\n')
    y += _INSIDE
    for one in systems:
        y += _BETWEEN if one.mark else _INSIDE
        parts.append(_placed(one, y))
        y += one.picture.height_pt
    across, down = round(width + 2 * _MARGIN, 2), round(y + _MARGIN, 2)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{across:g}pt" height="{down:g}pt" '
        f'viewBox="0 0 {across:g} {down:g}" font-family="{FONTS}">\n<title>{xml_words(chart.title)}</title>\n'
        f'<rect width="100%" height="100%" fill="white"/>\n{"".join(parts)}</svg>\n'
    ).encode()


def _placed(one: EngravedSystem, y: float) -> str:
    """A system's picture inside the whole."""
    size = f'width="{one.picture.width_pt:g}" height="{one.picture.height_pt:g}"'
    return _ROOT.sub(rf'<svg x="{_MARGIN:g}" y="{round(y, 3):g}" {size} \1>', one.picture.svg, count=1)
