"""A page in other note values: the same sound at the same speed, written twice as long or half as long."""

from dataclasses import replace
from fractions import Fraction

from kitgen.apply.value import sounds_like
from kitgen.errors import KitgenError, OptionError, RefusedError
from kitgen.page import Page, Row, Tempo

AS_PLAYED = "as-played"
_FACTORS = {"twice": Fraction(2), "half": Fraction(1, 2)}


def check_values(words: str) -> None:
    """Raise where pages cannot be in such values.

    Raises:
        OptionError: says which there are.
    """
    if words != AS_PLAYED and words not in _FACTORS:
        raise OptionError(f"--write-values {words}: it is one of {AS_PLAYED}, {', '.join(_FACTORS)}")


def in_page_values(page: Page, words: str) -> Page:
    """A page in the values asked for: rows, loops and tempi, with a note of which tempo is which.

    The line as it was typed is left out, since it stands in the old values.

    Args:
        page: the page as it is usually written.
        words: ``as-played``, ``twice`` or ``half``.

    Raises:
        OptionError: other words; RefusedError: a meter nobody would write it in, or a tempo out of range; FeelError: a
            swing of quarters or of thirty-seconds.
    """
    check_values(words)
    if words == AS_PLAYED:
        return page
    from kitgen.spell import in_values  # few pages are in other values

    by = _FACTORS[words]
    try:
        rows, kernels = (
            tuple(Row(row.label, in_values(row.pattern, by), row.times) for row in part)
            for part in (page.rows, page.kernels)
        )
    except RefusedError as error:  # it names the option of the application that does this to a line
        raise RefusedError(f"--write-values {words}: {error}".replace("--value ", "--write-values ")) from error
    old, new = page.pattern.meters, rows[0].pattern.meters
    note = sounds_like(old, new, by, page.tempo.quarters)
    cut_time = page.count_quarters and new.bars[0].meter.denominator == 2
    return replace(
        page,
        rows=rows,
        kernels=kernels,
        tempo=_counted(page.tempo, by, new.bars[0].meter.tempo_unit, words),
        notes=(*page.notes, note),
        count_quarters=cut_time,
        line="",
    )


def _counted(tempo: Tempo, by: Fraction, unit: Fraction, words: str) -> Tempo:
    times = tempo.unit * by / unit
    start, goal, low, high = (float(bpm * times) for bpm in (tempo.start, tempo.goal, tempo.low, tempo.high))
    try:
        return Tempo(start, goal, low, high, unit)
    except KitgenError as error:
        raise RefusedError(
            f"--write-values {words} counts from {start:g} to {goal:g}: {error}; choose another --tempo"
        ) from error
