"""Signs of a chart that lead from one section to another: whether each has what it needs."""

from collections.abc import Sequence

from kitgen.errors import PatternError, UnknownNameError
from kitgen.styles.chart_section import ChartSection


def jump_of(sections: Sequence[ChartSection]) -> int | None:
    """The index of the section that jumps back."""
    return next((index for index, one in enumerate(sections) if one.back), None)


def segno_of(sections: Sequence[ChartSection]) -> int | None:
    """The index of the section with the sign, up to the jump."""
    jump = jump_of(sections)
    until = len(sections) if jump is None else jump + 1
    return next((index for index, one in enumerate(sections[:until]) if one.segno), None)


def check_signs(sections: Sequence[ChartSection], index: int) -> None:
    """Raise where a section's signs do not go with those of the others.

    Args:
        sections: all of them.
        index: which to look at.

    Raises:
        PatternError: says which sign is missing; UnknownNameError: a repeat from a section that is not there.
    """
    section = sections[index]
    if section.repeat_from:
        _check_repeat(sections, index)
    if section.back:
        _check_jump(sections, index)
    jump = jump_of(sections)
    back = "" if jump is None else sections[jump].back
    if section.to_coda and not (back.endswith("coda") and index <= (jump or 0)):
        raise PatternError(
            f"section {section.mark} is left for the coda, and neither it nor a later one jumps back; "
            'say back = "D.S. al coda" in one of them'
        )
    if section.coda and not any(other.to_coda for other in sections):
        raise PatternError(
            f"section {section.mark} is a coda without a sign; say to-coda = BAR where it is left for it"
        )
    if section.fine and not back.endswith("fine"):
        raise PatternError(
            f'section {section.mark} ends at Fine, and no section has back = "D.C. al fine" or "D.S. al fine"'
        )


def _check_repeat(sections: Sequence[ChartSection], index: int) -> None:
    section = sections[index]
    marks = [one.mark for one in sections[: index + 1]]
    if section.repeat_from not in marks:
        raise UnknownNameError("section up to this one", section.repeat_from, marks)
    if section.times < 2:
        raise PatternError(
            f"section {section.mark} repeats from {section.repeat_from}; say how often, such as times = 2"
        )
    start = marks.index(section.repeat_from)
    if inside := next((one for one in sections[start:index] if one.times > 1), None):
        raise PatternError(f"section {inside.mark} is repeated inside the repeat of {section.mark}; leave one away")


def _check_jump(sections: Sequence[ChartSection], index: int) -> None:
    section = sections[index]
    where = f"section {section.mark} goes {section.back}"
    if index != jump_of(sections):
        raise PatternError(f"{where}, and an earlier one jumps back already; a chart jumps back once")
    if section.back.startswith("D.S.") and segno_of(sections) is None:
        raise PatternError(f"{where}, and no section up to it has the sign; say segno = true where it goes back to")
    if section.back.endswith("coda"):
        if not any(one.to_coda for one in sections[: index + 1]):
            raise PatternError(f"{where} without a sign for the coda; say to-coda = BAR where it is left for it")
        if not any(one.coda for one in sections[index + 1 :]):
            raise PatternError(f"{where}, and no section after it is the coda; say coda = true in it")
    elif section.back.endswith("fine") and not any(one.fine for one in sections[: index + 1]):
        raise PatternError(f"{where}, and no section up to it has fine = true")
