"""Pages of tours: strokes that are the tour, an ostinato untouched, rows that add up, words that are true."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply.ostinatos import OSTINATOS
from kitgen.errors import KitgenError, OptionError, RefusedError, UnknownNameError
from kitgen.grid.ground import ground_of
from kitgen.grid.tour_pages import Sheet, sheets_of
from kitgen.grid.tour_plan import SUBDIVISIONS, TourPlan, pattern_of, set_words, sets_in, slot_of, tour_of
from kitgen.grid.tours import Run
from kitgen.kit import Limb, kit
from kitgen.pattern import project
from kitgen.time import Meter
from tests.strategies import USUAL_METERS, fewer

KIT = kit("standard")
SURFACES = {Limb.RH: "ride", Limb.LH: "snare", Limb.RF: "bass", Limb.LF: "hat-foot"}


def plan(limbs: str, under: str = "none", meter: Meter | None = None, **options: Any) -> TourPlan:
    """A plan for limbs on their usual surfaces."""
    own = tuple(Limb[name] for name in limbs.split())
    meter = meter or Meter(4, 4)
    return TourPlan(meter, own, tuple(SURFACES[limb] for limb in own), ground_of(under, meter, KIT), **options)


@st.composite
def plans(draw: st.DrawFn) -> TourPlan | None:
    """Plans over any ostinato and meter that go together, of one or two free limbs; None where they do not."""
    meter = draw(st.sampled_from(USUAL_METERS))
    under = draw(st.sampled_from(["none", *OSTINATOS, "RF bass x. .x x. .x", "LF hat-foot .x.x ...x"]))
    try:
        ground = ground_of(under, meter, KIT)
        free = [limb for limb in Limb if limb not in ground.pattern.limbs]
        limbs = tuple(draw(st.permutations(free))[: draw(st.integers(1, 2))])
        return TourPlan(
            meter,
            limbs,
            tuple(SURFACES[limb] for limb in limbs),
            ground,
            draw(st.sampled_from(SUBDIVISIONS)),
            silence=draw(st.booleans()),
            seed=draw(st.integers(0, 99)),
        )
    except KitgenError:
        return None


@fewer
@given(plans())
def test_an_ostinato_is_untouched(own: TourPlan | None) -> None:
    """Every row of every page gives the ostinato back, tiled, and the free limbs nothing but their sets."""
    if own is None:
        return
    ground = own.ground.pattern
    for sheet in sheets_of(own):
        for row in (*sheet.rows, *sheet.kernels):
            kept = project(row.pattern, *ground.limbs) if ground.hits else row.pattern.with_hits(())
            assert set(kept.limbs) == set(ground.limbs)
            again = -(-kept.span // ground.span)
            assert kept.hits == tuple(hit for hit in (ground * again).hits if hit.onset < kept.span)
            assert set(row.pattern.limbs) <= {*ground.limbs, *own.limbs}


@fewer
@given(plans())
def test_the_strokes_are_the_tour(own: TourPlan | None) -> None:
    """Strokes read back are the sets they were made of, slot by slot, and fill whole bars and turns."""
    if own is None:
        return
    tour = tour_of(own)
    pattern = pattern_of(own, tour.sets)
    assert sets_in(own, pattern) == tour.sets
    assert pattern.meters.whole
    assert len(tour.sets) % own.places == 0
    assert pattern.span == len(tour.sets) * own.slot


def pages(own: TourPlan) -> list[tuple[str, int]]:
    """Title and bars as played, of each page."""
    return [(sheet.title, bars_of(sheet)) for sheet in sheets_of(own)]


def bars_of(sheet: Sheet) -> int:
    """Bars of a sheet as played."""
    return sum(len(row.pattern.meters.bars) * row.times for row in sheet.rows)


def test_the_pages_of_four_limbs() -> None:
    """The sets, then two limbs in one bar played four times, three in 4 bars, four in 16, in rows of four bars."""
    assert pages(plan("RH LH RF LF")) == [
        ("Every combination of four limbs", 15),
        ("Every change of both hands", 4),
        ("Every change of three limbs (RH, LH, RF)", 4),
        ("Every change of four limbs", 16),
    ]
    last = sheets_of(plan("RH LH RF LF"))[-1]
    assert [row.label for row in last.rows] == [
        "bars 1 to 4: RF joins in bar 2",
        "bars 5 to 8: LF joins",
        "bars 9 to 12",
        "bars 13 to 16",
    ]
    assert last.notes[0] == "changes required 256, met 256, in 256 slots; no exercise holds them in fewer than 256"


def test_the_pages_over_an_ostinato() -> None:
    """Over samba: the sets after the feet alone, one hand in 4 turns, both in 16; the feet are there to start with."""
    sheets = sheets_of(plan("LH RH", "samba"))
    assert pages(plan("LH RH", "samba")) == [
        ("Every combination of both hands over samba feet", 5),
        ("Every change of the left hand over samba feet", 4),
        ("Every change of both hands over samba feet", 8),
    ]
    assert sheets[0].rows[0].label == "samba feet alone"
    assert [sheet.tour and len(sheet.tour.sets) // sheet.tour.places for sheet in sheets] == [None, 4, 16]
    assert all(sheet.kernels for sheet in sheets[1:])


@pytest.mark.parametrize(
    ("under", "subdivision", "places"),
    [("quarters", "16ths", 4), ("hat-2-4", "16ths", 8), ("samba", "16ths", 8), ("samba", "8ths", 4),
     ("songo", "8ths", 8), ("quarters", "triplets", 3), ("none", "16ths", 1)],
)  # fmt: skip
def test_places_of_an_ostinato(under: str, subdivision: str, places: int) -> None:
    """As many slots as the shortest turn in which it comes back: a beat of quarters, two of samba with its accents."""
    limbs = "RH LH" if under != "none" else "RH LH RF"
    assert plan(limbs, under, subdivision=subdivision).places == places


def test_every_set_is_shown_first() -> None:
    """The first page has each of the fifteen sets for a bar, and nothing else."""
    own = plan("RH LH RF LF")
    first = sheets_of(own)[0]
    shown = [mask for row in first.rows for mask in sets_in(own, row.pattern) if mask]
    assert sorted(set(shown)) == list(range(1, 16))
    assert len(shown) == 15 * 4
    assert [row.label.partition(":")[0] for row in first.rows] == [
        "one limb",
        "two together",
        "three together",
        "all four",
    ]


def test_what_a_page_says_is_so() -> None:
    """Which bars hold the changes of fewer limbs, what is gone over again, and in which meter nothing is."""
    last = sheets_of(plan("RH LH RF"))[-1]
    assert "bar 1 holds every change of both hands and can be looped by itself" in last.notes
    filled = sheets_of(plan("RH LH", meter=Meter(3, 4)))[-1]
    assert "the last 8 slots go over changes again, so that it ends with a bar; in 4/4 or 2/4 it does of itself" in (
        filled.notes
    )
    assert not any("again" in note for note in sheets_of(plan("RH LH"))[-1].notes)
    odd = sheets_of(plan("RH LH RF", meter=Meter.parse("7/16"), silence=False))[-1]
    assert odd.tour is not None
    assert len(odd.tour.sets) == odd.tour.bound == 49


def test_twos_then_ones_and_twos() -> None:
    """Without threes the pages are in twos, and a longer one beside them mixes ones and twos."""
    titles = [title for title, _ in pages(plan("RH LH RF", runs=(Run.TWICE,) * 3, varied=True))]
    assert titles[1:] == [
        "Every change of both hands, in twos",
        "Every change of three limbs (RH, LH, RF), in twos",
        "Every change of three limbs (RH, LH, RF), ones and twos",
    ]


@pytest.mark.parametrize(
    ("meter", "subdivision", "slot"),
    [("4/4", "16ths", "1/4"), ("6/8", "8ths", "1/2"), ("7/8", "16ths", "1/4"), ("2/2", "triplets", "2/3"),
     ("4/4", "quintuplets", "1/5")],
)  # fmt: skip
def test_slots(meter: str, subdivision: str, slot: str) -> None:
    """Slots are note values, or parts of the beat."""
    assert slot_of(subdivision, Meter.parse(meter)) == Fraction(slot)


def test_sets_in_words() -> None:
    """Limbs by their letters, silence by its name."""
    assert set_words(0b11, (Limb.LH, Limb.RF)) == "LH+RF"


@pytest.mark.parametrize(
    ("make", "error", "message"),
    [
        (lambda: plan("RH"), OptionError, "one limb changes only between a stroke and a rest"),
        (lambda: plan("RH", "samba", silence=False), OptionError, "never silent has no changes"),
        (lambda: plan("RH RH"), OptionError, "each once"),
        (lambda: plan("RH LH", varied=True, silence=False), OptionError, "--no-triples is for limbs by themselves"),
        (lambda: plan("RH LH", subdivision="16s"), UnknownNameError, "did you mean 16ths"),
        (lambda: plan("RH LH", meter=Meter(6, 8), subdivision="triplets"), OptionError, "hold no triplets"),
        (lambda: plan("RH LH", "samba", subdivision="triplets"), RefusedError, "use --subdivision 16ths"),
        (lambda: plan("RH LH RF LF", meter=Meter(3, 16)), RefusedError, "86 bars of 3/16 in 16ths, more than 64"),
    ],
)  # fmt: skip
def test_what_cannot_be(make: Any, error: type[KitgenError], message: str) -> None:
    """Plans that cannot be are refused in words that say what would work."""
    with pytest.raises(error, match=message):
        sheets_of(make())
