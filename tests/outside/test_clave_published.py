"""The claves and the bell of :mod:`kitgen.pattern.clave` against published boxes, one character a unit of time.

Son and rumba in sixteen: G. T. Toussaint, "A mathematical analysis of African, Brazilian, and Cuban clave rhythms",
Bridges 2002, pp. 157-168. The bell in twelve: F. Gomez, A. Melvin, D. Rappaport and G. T. Toussaint, "Mathematical
measures of syncopation", Bridges 2005 (bembe). The sides, and the claves in twelve: the encyclopedia article "Clave
(rhythm)", Wikipedia, and the same structures in E. D. Demaine, F. Gomez-Martin, H. Meijer, D. Rappaport, P. Taslakian,
G. T. Toussaint, T. Winograd and D. R. Wood, "The distance geometry of music", Computational Geometry 42 (2009). The
bossa nova: Toussaint 2002. Onsets are counted from 0.
"""

from fractions import Fraction

import pytest

from kitgen.kit import Limb
from kitgen.pattern import Hit, Pattern
from kitgen.pattern.clave import Agreement, agreement, bell, clave, side_of
from kitgen.pattern.quality import Terms, faults
from kitgen.time import Meter, Meters

# 3-2: Toussaint 2002; 2-3, the halves swapped: the article named above.
SIXTEEN = {
    ("son", "3-2"): ("x..x..x...x.x...", [0, 3, 6, 10, 12]),
    ("son", "2-3"): ("..x.x...x..x..x.", [2, 4, 8, 11, 14]),
    ("rumba", "3-2"): ("x..x...x..x.x...", [0, 3, 7, 10, 12]),
    ("rumba", "2-3"): ("..x.x...x..x...x", [2, 4, 8, 11, 15]),
}
# The article named above; Demaine et al. 2009.
TWELVE = {"son": "x.x.x..x.x..", "rumba": "x.x..x.x.x.."}
# Gomez et al. 2005.
BEMBE = ("x.x.xx.x.x.x", [0, 2, 4, 5, 7, 9, 11])
# Toussaint 2002.
BOSSA = ("x..x..x...x..x..", [0, 3, 6, 10, 13])
# Common practice (dance bands): the shell pattern and the mambo bell.
CASCARA_3_2 = "x.xx.x.xx.x.xx.x"
MAMBO_2_3 = "x.x.xxxx.xxxx.xx"


def struck(boxes: str) -> list[int]:
    """The units at which something starts."""
    return [unit for unit, char in enumerate(boxes) if char == "x"]


def in_eighths(boxes: str) -> tuple[Fraction, ...]:
    """Boxes as eighths, in quarters."""
    return tuple(Fraction(unit, 2) for unit in struck(boxes))


@pytest.mark.parametrize(("meter", "a_unit"), [("2/2", 2), ("4/4", 2), ("2/4", 4)])
@pytest.mark.parametrize(("name", "published"), SIXTEEN.items(), ids=str)
def test_claves_in_sixteen(name: tuple[str, str], published: tuple[str, list[int]], meter: str, a_unit: int) -> None:
    """In eighths of cut time and of 4/4, and in sixteenths of 2/4, a clave has the published onsets."""
    boxes, onsets = published
    assert struck(boxes) == onsets
    assert [at * a_unit for at in clave(*name, Meter.parse(meter))] == onsets


@pytest.mark.parametrize("meter", ["6/8", "12/8"])
@pytest.mark.parametrize(("kind", "boxes"), TWELVE.items())
def test_claves_in_twelve(kind: str, boxes: str, meter: str) -> None:
    """In the eighths of 6/8 and 12/8 a clave has the published onsets."""
    assert [at * 2 for at in clave(kind, "3-2", Meter.parse(meter))] == struck(boxes)


def test_the_bell() -> None:
    """The bell has the published onsets; every stroke of the published rumba clave in twelve lies on it."""
    boxes, onsets = BEMBE
    assert struck(boxes) == onsets
    assert [at * 2 for at in bell()] == onsets
    assert set(struck(TWELVE["rumba"])) <= set(onsets)


def test_the_bossa_clave_is_a_3_2() -> None:
    """The bossa nova of the published list shares four strokes with 3-2 son clave: only the last is later."""
    boxes, onsets = BOSSA
    assert struck(boxes) == onsets
    two = Meters.of(Meter(4, 4), 2)
    assert agreement(in_eighths(boxes), two) == Agreement(4, 0)
    assert side_of(in_eighths(boxes), two) == "3-2"


def test_the_cascara_is_on_its_side() -> None:
    """All five strokes of the rumba clave lie on the cascara of its side, three of the other (common practice)."""
    two = Meters.of(Meter(2, 2), 2)
    assert set(clave("rumba", "3-2", Meter(2, 2))) <= set(in_eighths(CASCARA_3_2))
    counts = agreement(in_eighths(CASCARA_3_2), two, kind="rumba")
    assert counts is not None
    assert counts.three_two == 5
    assert side_of(in_eighths(CASCARA_3_2), two, kind="rumba") == "3-2"


def test_the_mambo_bell_is_no_fault_on_either_side() -> None:
    """The mambo bell agrees with both sides: declared either way nothing is told (common practice)."""
    two = Meters.of(Meter(2, 2), 2)
    pattern = Pattern(tuple(Hit(at, Limb.RH, "ride-bell") for at in in_eighths(MAMBO_2_3)), two)
    for side in ("3-2", "2-3"):
        assert faults(pattern, ["clave-side"], Terms(clave=side)) == ()
