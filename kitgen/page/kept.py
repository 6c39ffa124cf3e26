"""Which named ostinatos a page keeps, row by row, proved from the notes."""

from collections import Counter
from collections.abc import Mapping, Sequence

from kitgen.page.value import Page
from kitgen.pattern import Pattern, project


def ostinatos_in(pattern: Pattern, known: Mapping[str, Pattern]) -> tuple[str, ...]:
    """Names of the ostinatos a pattern keeps, those left out that are only part of another it keeps."""
    return _largest(_every(pattern, known), known)


def kept_in_rows(page: Page, known: Mapping[str, Pattern]) -> list[tuple[str, ...]]:
    """The ostinatos of each row; none that a moving limb happens to make in one row and not in another."""
    every = [_every(row.pattern, known) for row in page.rows]
    chance = {
        name
        for name in {name for names in every for name in names}
        if any(
            _moves_in(row.pattern, known[name], [known[other] for other in names])
            for row, names in zip(page.rows, every, strict=True)
        )
    }
    return [_largest([name for name in names if name not in chance], known) for names in every]


def _every(pattern: Pattern, known: Mapping[str, Pattern]) -> list[str]:
    """All that it keeps; how many strokes limbs have rules out most without a look at the strokes."""
    strokes = Counter(hit.limb for hit in pattern.hits)
    return [
        name
        for name, ostinato in known.items()
        if (own := sum(strokes[limb] for limb in ostinato.limbs))
        and not own % len(ostinato.hits)
        and keeps(pattern, ostinato)
    ]


def _moves_in(pattern: Pattern, ostinato: Pattern, kept: Sequence[Pattern]) -> bool:
    """True where some limbs of an ostinato play freely, on its surfaces, beside the rest of it or nothing of it."""
    held = {limb for other in kept for limb in other.limbs}
    free = set(ostinato.limbs) - held
    if (
        not free
        or not free <= set(pattern.limbs)
        or any(not keeps(pattern, project(ostinato, limb)) for limb in set(ostinato.limbs) - free)
    ):
        return False
    own = {(hit.limb, hit.surface) for hit in ostinato.hits}
    return all((hit.limb, hit.surface) in own for hit in pattern.hits if hit.limb in free)


def _largest(names: Sequence[str], known: Mapping[str, Pattern]) -> tuple[str, ...]:
    limbs = {name: set(known[name].limbs) for name in names}
    return tuple(name for name in names if not any(limbs[name] < limbs[other] for other in names))


def keeps(pattern: Pattern, ostinato: Pattern) -> bool:
    """True if an ostinato's limbs play it, and only it, from the first bar to the last."""
    if not ostinato.hits or not pattern.span or pattern.span % ostinato.span:
        return False
    limbs = set(ostinato.limbs)
    own = [hit for hit in pattern.hits if hit.limb in limbs]
    period = ostinato.span
    if len(own) != len(ostinato.hits) * (pattern.span / period):
        return False
    expected = {(hit.onset, hit.limb, hit.surface) for hit in ostinato.hits}
    return {(hit.onset % period, hit.limb, hit.surface) for hit in own} == expected
