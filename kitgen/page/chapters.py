"""Chapters of a series, where only some of its pages are there."""

from collections.abc import Sequence


def begun(chapters: Sequence[tuple[str, int]], numbers: Sequence[int]) -> tuple[tuple[str, int], ...]:
    """The chapters of which there are pages, each with the number of the first of them.

    Args:
        chapters: title and number of the first page of each, in order.
        numbers: of the pages there are, in order.

    >>> begun([("Claps", 1), ("Rests", 4), ("Kit", 9)], (5, 6, 10))
    (('Rests', 5), ('Kit', 10))
    """
    if not numbers:
        return ()
    ends = [*(first for _, first in chapters[1:]), numbers[-1] + 1]
    found = []
    for (title, first), end in zip(chapters, ends, strict=False):  # without chapters there is still an end
        there = next((number for number in numbers if first <= number < end), None)
        if there is not None:
            found.append((title, there))
    return tuple(found)
