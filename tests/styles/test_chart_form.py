"""Forms of charts: the order they are played in, and signs that lead nowhere."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitgenError, OptionError, PatternError, UnknownNameError
from tests.styles.charting import form, played, section


def test_as_written() -> None:
    """Without signs the sections come as they stand."""
    assert played(form(section("A", 8), section("B", 4))) == "A1-8 B1-4"


def test_a_repeat_with_endings() -> None:
    """Each time through has its ending, the last bars of the section."""
    assert played(form(section("A", 10, times=2, endings=(2, 2)))) == "A1-8 A1-6,9-10"
    assert played(form(section("A", 7, times=3, endings=(1, 1, 1)))) == "A1-5 A1-4,6 A1-4,7"


def test_a_repeat_over_sections() -> None:
    """A repeat may begin at an earlier mark."""
    assert played(form(section("A", 4), section("B", 4, times=2, repeat_from="A"), section("C", 2))) == (
        "A1-4 B1-4 A1-4 B1-4 C1-2"
    )


def test_dal_segno_al_coda() -> None:
    """Back to the sign without the repeats, the last ending, then from the sign for the coda to the coda."""
    of = form(
        section("Intro", 4),
        section("A", 10, times=2, endings=(2, 2), segno=True),
        section("B", 8, to_coda=6),
        section("C", 4, times=2, back="D.S. al coda"),
        section("Coda", 3, coda=True),
    )
    assert played(of) == "Intro1-4 A1-8 A1-6,9-10 B1-8 C1-4 C1-4 A1-6,9-10 B1-6 Coda1-3"


def test_da_capo_al_fine() -> None:
    """From the top to Fine; what stands after the jump is never reached."""
    of = form(section("A", 4), section("B", 4, fine=True), section("C", 4, back="D.C. al fine"), section("D", 4))
    assert played(of) == "A1-4 B1-4 C1-4 A1-4 B1-4"


def test_da_capo_and_on() -> None:
    """A bare D.C. plays up to itself again and ends there."""
    assert played(form(section("A", 4), section("B", 4, back="D.C."))) == "A1-4 B1-4 A1-4 B1-4"


@given(st.lists(st.tuples(st.integers(1, 12), st.integers(1, 4)), min_size=1, max_size=6))
def test_bars_add_up(shapes: list[tuple[int, int]]) -> None:
    """Where only sections repeat, bars times turns is what is played, and a passage is a time through."""
    of = form(*(section(f"S{n}", bars, times=times) for n, (bars, times) in enumerate(shapes)))
    assert sum(len(one.bars) for one in of.passages) == sum(bars * times for bars, times in shapes)
    assert len(of.passages) == sum(times for _, times in shapes)
    assert len(of.meters.bars) == sum(bars for bars, _ in shapes)


@pytest.mark.parametrize(
    ("make", "kind", "words"),
    [
        (lambda: form(section("A", 4, coda=True)), PatternError, "a coda without a sign; say to-coda"),
        (lambda: form(section("A", 4, to_coda=2)), PatternError, 'jumps back; say back = "D.S. al coda"'),
        (lambda: form(section("A", 4, back="D.S.")), PatternError, "no section up to it has the sign"),
        (
            lambda: form(section("A", 4, segno=True, back="D.S. al coda")),
            PatternError,
            "without a sign for the coda",
        ),
        (
            lambda: form(section("A", 4, to_coda=2, back="D.C. al coda")),
            PatternError,
            "no section after it is the coda",
        ),
        (lambda: form(section("A", 4, back="D.C. al fine")), PatternError, "no section up to it has fine"),
        (lambda: form(section("A", 4, fine=True)), PatternError, "ends at Fine, and no section has back"),
        (lambda: form(section("A", 4, back="D.C."), section("B", 4, back="D.C.")), PatternError, "jumps back once"),
        (lambda: form(section("A", 4), section("A", 4)), PatternError, "marked A; give each"),
        (lambda: form(section("A", 4, times=2, repeat_from="Q")), UnknownNameError, "no section up to this one"),
        (
            lambda: form(section("A", 4, times=2), section("B", 4, times=2, repeat_from="A")),
            PatternError,
            "repeated inside the repeat",
        ),
        (form, PatternError, "no sections"),
        (lambda: section("A", 0), OptionError, "a section has 1 to 128"),
        (lambda: section("A", 4, times=2, endings=(2, 2)), OptionError, "something comes before them"),
        (lambda: section("A", 8, times=3, endings=(2, 2)), OptionError, "an ending for each time"),
        (lambda: section("A", 8, stops=(9,)), OptionError, "stops names bar 9, and section A has bars 1 to 8"),
        (lambda: section("A", 8, stops=(3,), rests=(3,)), OptionError, "bar 3 of section A is a stop and a rest"),
        (lambda: section("A", 8, role="brigde"), UnknownNameError, "bridge"),
        (lambda: section("A", 8, fill="2-bars"), UnknownNameError, "no fill"),
        (lambda: section("A", 8, dynamics=((1, "mff"),)), UnknownNameError, "mf"),
    ],
)  # fmt: skip
def test_what_cannot_be(make: object, kind: type[KitgenError], words: str) -> None:
    """Each fault is said in words that name what to do."""
    with pytest.raises(kind, match=re.escape(words)):
        make()  # type: ignore[operator]
