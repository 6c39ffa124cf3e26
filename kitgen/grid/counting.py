"""How many there are, in closed form: lines, necklaces, bracelets, and what two or more limbs can do in so many slots.

A slot is one place of a bar. A necklace is a line up to rotation, a bracelet up to rotation and reversal. Formulas:
Burnside's lemma over the rotations (and reflections) of n slots; the sequences are A000031 and A000029 of the On-Line
Encyclopedia of Integer Sequences.
"""

from math import comb, gcd

_MOST_SLOTS = 4096


def lines(slots: int, onsets: int | None = None) -> int:
    """Lines of so many slots, all of them or those with so many onsets.

    >>> lines(16), lines(16, 5)
    (65536, 4368)
    """
    return 1 << slots if onsets is None else comb(slots, onsets) if onsets >= 0 else 0


def necklaces(slots: int, onsets: int | None = None, *, symbols: int = 2) -> int:
    """Lines up to rotation.

    Args:
        slots: places of the bar, 1 or more.
        onsets: only those with so many onsets; for two symbols.
        symbols: what a slot may hold: 2 struck or not, 4 what two limbs do together, 3 two limbs never together.

    >>> necklaces(16), necklaces(16, 5), necklaces(8, symbols=4)
    (4116, 273, 8230)
    """
    _check(slots)
    if onsets is None:
        return sum(_phi(d) * int(symbols ** (slots // d)) for d in _divisors(slots)) // slots
    if not 0 <= onsets <= slots:
        return 0
    both = gcd(slots, onsets) if onsets else slots
    return sum(_phi(d) * comb(slots // d, onsets // d) for d in _divisors(both)) // slots


def bracelets(slots: int) -> int:
    """Lines up to rotation and reversal.

    >>> [bracelets(n) for n in (1, 6, 16)]
    [2, 13, 2250]
    """
    mirrored = 3 * (1 << slots // 2) // 2 if slots % 2 == 0 else 1 << (slots + 1) // 2
    return (necklaces(slots) + mirrored) // 2


def with_gaps(slots: int, least: int) -> int:
    """Cyclic lines in which onsets are at least so many slots apart, round the barline too; silence counts.

    >>> [with_gaps(n, 2) for n in range(2, 10)]
    [3, 4, 7, 11, 18, 29, 47, 76]
    """
    _check(slots)
    if least <= 1:
        return 1 << slots
    total = 1
    for onsets in range(1, slots // least + 1):
        total += slots * comb(slots - onsets * (least - 1), onsets) // (slots - onsets * (least - 1))
    return total


def _check(slots: int) -> None:
    if not 1 <= slots <= _MOST_SLOTS:
        raise ValueError(f"{slots} slots; 1 to {_MOST_SLOTS}")


def _divisors(number: int) -> list[int]:
    return [d for d in range(1, number + 1) if number % d == 0]


def _phi(number: int) -> int:
    """How many of 1 to n share no divisor with n."""
    return sum(1 for other in range(1, number + 1) if gcd(other, number) == 1)
