"""Evenly spread strokes and traditional timelines against published boxes, compared as lines and as necklaces.

Values, one character a unit of time: G. T. Toussaint, "The Euclidean Algorithm Generates Traditional Musical Rhythms",
Bridges 2005; E. D. Demaine, F. Gomez-Martin, H. Meijer, D. Rappaport, P. Taslakian, G. T. Toussaint, T. Winograd and
D. R. Wood, "The distance geometry of music", Computational Geometry 42 (2009); G. T. Toussaint, "A mathematical
analysis of African, Brazilian, and Cuban clave rhythms", Bridges 2002; F. Gomez, A. Melvin, D. Rappaport and G. T.
Toussaint, "Mathematical measures of syncopation", Bridges 2005. Onsets are counted from 0.
"""

import pytest

from kitgen.kit import Limb
from kitgen.line import Line, evenly
from kitgen.pattern import Hit, Pattern, parse_rows
from kitgen.time import Meter
from tests.outside.boxes_published import EUCLIDEAN

# Toussaint 2002: six timelines of five strokes in sixteen.
CLAVES = {
    "shiko": ("x...x.x...x.x...", [0, 4, 6, 10, 12]),
    "son": ("x..x..x...x.x...", [0, 3, 6, 10, 12]),
    "soukous": ("x..x..x...xx....", [0, 3, 6, 10, 11]),
    "rumba": ("x..x...x..x.x...", [0, 3, 7, 10, 12]),
    "bossa nova": ("x..x..x...x..x..", [0, 3, 6, 10, 13]),
    "gahu": ("x..x..x...x...x.", [0, 3, 6, 10, 14]),
}

# Gomez et al. 2005: ten bells of seven strokes in twelve.
BELLS = {
    "soli": ("x.x.x.x.xx.x", [0, 2, 4, 6, 8, 9, 11]),
    "tambu": ("x.x.x.xx.x.x", [0, 2, 4, 6, 7, 9, 11]),
    "bembe": ("x.x.xx.x.x.x", [0, 2, 4, 5, 7, 9, 11]),
    "bembe-2": ("xx.x.xx.x.x.", [0, 1, 3, 5, 6, 8, 10]),
    "yoruba": ("x.x.xx.x.xx.", [0, 2, 4, 5, 7, 9, 10]),
    "tonada": ("x.xx.xx.x.x.", [0, 2, 3, 5, 6, 8, 10]),
    "asaadua": ("x.x.x.xx.xx.", [0, 2, 4, 6, 7, 9, 10]),
    "sorsonet": ("xxx.x.x.x.x.", [0, 1, 2, 4, 6, 8, 10]),
    "bemba": ("x.xx.x.x.xx.", [0, 2, 3, 5, 7, 9, 10]),
    "ashanti": ("x.xx.x.xx.x.", [0, 2, 3, 5, 7, 8, 10]),
}


def boxes_of(line: Line, units: int) -> str:
    """The strokes of a line as published boxes: so many units, x where one starts."""
    struck = {onset * units / line.span for onset in line.onsets}
    return "".join("x" if unit in struck else "." for unit in range(units))


def turned(boxes: str) -> set[str]:
    """The necklace of some boxes: every rotation of them."""
    return {boxes[turn:] + boxes[:turn] for turn in range(len(boxes))}


def in_fours(boxes: str) -> Line:
    """Published boxes of sixteen typed as a bar of sixteenths."""
    return Line.parse(" ".join(boxes[start : start + 4] for start in range(0, len(boxes), 4)))


@pytest.mark.parametrize(("strokes", "boxes"), EUCLIDEAN.items(), ids=lambda value: str(value).replace(", ", " in "))
def test_evenly_spread_strokes_are_the_published_necklaces(strokes: tuple[int, int], boxes: str) -> None:
    """Strokes spread evenly are a rotation of the published rhythm, and a turn of the rule gives it exactly."""
    onsets, slots = strokes
    assert boxes_of(evenly(onsets, slots), slots) in turned(boxes)
    assert boxes in {boxes_of(evenly(onsets, slots, turn=turn), slots) for turn in range(slots)}


@pytest.mark.parametrize(
    ("onsets", "slots", "boxes"),
    [
        (3, 8, "x..x..x."),
        (5, 8, "x.x.xx.x"),
        (5, 16, "x...x..x..x..x.."),
        (7, 16, "x..x.x.x..x.x.x."),
        (3, 7, "x..x.x."),
    ],
)
def test_the_rule_as_it_stands(onsets: int, slots: int, boxes: str) -> None:
    """Unturned, slot i is struck when i times the strokes, modulo the slots, is below the strokes (worked by hand)."""
    assert boxes_of(evenly(onsets, slots), slots) == boxes


@pytest.mark.parametrize(("name", "boxes", "onsets"), [(name, *row) for name, row in CLAVES.items()])
def test_claves(name: str, boxes: str, onsets: list[int]) -> None:
    """Each timeline typed as a bar of sixteenths has the published onsets."""
    line = in_fours(boxes)
    assert [onset * 4 for onset in line.onsets] == onsets
    assert boxes_of(line, 16) == boxes


def test_the_bossa_clave_is_evenly_spread_from_its_third_stroke() -> None:
    """The bossa nova is the even spread of five in sixteen, started on another stroke (Toussaint 2005); son is not."""
    assert CLAVES["bossa nova"][0] in turned(EUCLIDEAN[5, 16])
    assert CLAVES["son"][0] not in turned(EUCLIDEAN[5, 16])


@pytest.mark.parametrize(("name", "two_three"), [("son", "..x.x...x..x..x."), ("rumba", "..x.x...x..x...x")])
def test_swapping_the_bars_swaps_the_side(name: str, two_three: str) -> None:
    """Displaced by half its length, a 3-2 clave is the 2-3 clave, and back."""
    line = in_fours(CLAVES[name][0])
    three_two = Pattern(tuple(Hit(onset, Limb.RH, "cross-stick") for onset in line.onsets), line.meters)
    swapped = three_two >> 2
    assert swapped == parse_rows("RH cross-stick " + str(in_fours(two_three)).replace("-", "."))
    assert swapped >> 2 == three_two


def test_son_and_rumba_differ_in_the_third_stroke() -> None:
    """Son and rumba clave differ only in the third stroke, a sixteenth later in rumba."""
    son, rumba = in_fours(CLAVES["son"][0]).onsets, in_fours(CLAVES["rumba"][0]).onsets
    assert [(b - a) * 4 for a, b in zip(son, rumba, strict=True)] == [0, 0, 1, 0, 0]


@pytest.mark.parametrize(("name", "boxes", "onsets"), [(name, *row) for name, row in BELLS.items()])
def test_bells(name: str, boxes: str, onsets: list[int]) -> None:
    """Each bell typed as a bar of 12/8 has the published onsets."""
    line = Line.parse(" ".join(boxes[start : start + 3] for start in range(0, 12, 3)), "12/8")
    assert [onset * 2 for onset in line.onsets] == onsets


def test_six_bells_are_one_necklace() -> None:
    """Six of the ten bells are the even spread of seven in twelve, each from another stroke; the other four are not."""
    even = {boxes_of(evenly(7, 12, meter=Meter(12, 8), turn=turn), 12) for turn in range(12)}
    assert even == turned(EUCLIDEAN[7, 12])
    assert {name for name, (boxes, _) in BELLS.items() if boxes in even} == {
        "tambu", "bembe", "bembe-2", "yoruba", "bemba", "ashanti",
    }  # fmt: skip


def test_the_cascara_holds_the_rumba_clave() -> None:
    """All strokes of the 3-2 rumba clave lie on the 3-2 cascara (common practice)."""
    cascara = in_fours("x.xx.x.xx.x.xx.x")
    assert [onset * 4 for onset in cascara.onsets] == [0, 2, 3, 5, 7, 8, 10, 12, 13, 15]
    assert set(in_fours(CLAVES["rumba"][0]).onsets) <= set(cascara.onsets)
