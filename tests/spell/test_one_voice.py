"""How one voice is written in a bar: values, rests, beams and tuplets, as a percussion engraver would sign them."""

import pytest

from tests.spell.reading import bars_of

SIMPLE = [
    ("a hit on every beat is a quarter", "x x x x", "4/4", "4 4 4 4"),
    ("eighths fill half a bar in fours", "xx xx xx xx", "4/4", "[8 8 8 8] [8 8 8 8]"),
    ("eighths that do not fill a half are beamed by the beat", "xx x. xx xx", "4/4", "[8 8] 4 [8 8 8 8]"),
    ("four eighths in the middle of the bar are two pairs", "x. xx xx x.", "4/4", "4 [8 8] [8 8] 4"),
    ("a hit lasts to the next", "x. .. x. ..", "4/4", "2 2"),
    ("alone on 1 it lasts the bar", "x . . .", "4/4", "1"),
    ("a dotted quarter and eighth", "x. .x x. ..", "4/4", "4. 8 2"),
    ("on 2 a hit does not last over the middle of the bar", ". x . x", "4/4", "4r 4 4r 4"),
    ("nor does one on 1 with a dot", "x . . x", "4/4", "2 4r 4"),
    ("nor a dotted quarter on 2", ".. x. .x x.", "4/4", "4r 4 8r 8 4"),
    ("the & of every beat is an eighth after an eighth rest", ".x .x .x .x", "4/4", "8r 8 8r 8 8r 8 8r 8"),
    ("the & of 2 held over is written eighth and rest", ".. .x .. x.", "4/4", "4r 8r 8 4r 4"),
    ("half the bar of rest is one rest", "x. .x .. ..", "4/4", "4. 8 2r"),
    ("but not the middle half", "x . . x", "4/4", "2 4r 4"),
    ("each sixteenth alone", "x... .x.. ..x. ...x", "4/4", "4 16r 8. 8r 8 8.r 16"),
    ("pairs of sixteenths", "xx.. x.x. x..x .xx.", "4/4", "[16 8.] [8 8] [8. 16] 16r [16 8]"),
    ("more of them", ".x.x ..xx .xxx xx.x", "4/4", "16r [8 16] 8r [16 16] 16r [16 16 16] [16 8 16]"),
    ("and the rest", "x.xx xxx. xxxx ....", "4/4", "[8 16 16] [16 16 8] [16 16 16 16] 4r"),
    ("thirty-seconds beside a dotted sixteenth", "xx...... x.xx....", "2/4", "[32 16.] 8r [16 32 32] 8r"),
    ("the last thirty-second", ".......x x......x", "2/4", "8r 16.r 32 8 16.r 32"),
    ("thirty-seconds show the eighth", ".x...x.. x..x...x", "2/4", "32r 16. 32r 16. [16. 32] 16.r 32"),
    ("no dotted value across it", "..x..x..", "1/4", "16r 16 32r 16."),
    ("three quarters", "x x x", "3/4", "4 4 4"),
    ("eighths in three are beamed by the beat", "xx xx xx", "3/4", "[8 8] [8 8] [8 8]"),
    ("a hit may last over any two beats of three", ". x .", "3/4", "4r 2"),
    ("no half rest in three", ". . x", "3/4", "4r 4r 4"),
    ("a dotted quarter on 2 of three", ".. x. .x", "3/4", "4r 4. 8"),
    ("four eighths fill a bar of two", "xx xx", "2/4", "[8 8 8 8]"),
    ("five is three and two", "x . . x .", "5/4", "2. 2"),
    ("and its rests show that", "x . . . .", "5/4", "2. 2r"),
    ("three beats of rest are three rests", ". . . x .", "5/4", "4r 4r 4r 2"),
    ("cut time is beamed by the half", "xxxx xxxx", "2/2", "[8 8 8 8] [8 8 8 8]"),
    ("the samba foot in cut time", "x..x x..x", "2/2", "4. 8 4. 8"),
    ("quarters in cut time", "x.x. x...", "2/2", "4 4 2"),
    ("sixteenths in cut time", "xxxxxxxx x.......", "2/2", "[16 16 16 16 16 16 16 16] 2"),
]  # fmt: skip

COMPOUND = [
    ("six eighths are two threes", "xxx xxx", "6/8", "[8 8 8] [8 8 8]"),
    ("quarter and eighth", "x.x x..", "6/8", "4 8 4."),
    ("a bar of one hit", "x.. ...", "6/8", "2."),
    ("the second eighth lasts to the beat's end", ".x. ..x", "6/8", "8r 4 4r 8"),
    ("the last two eighths of a beat rest apart", ".x.... x.....", "6/8", "16r 16 8r 8r 4."),
    ("dotted eighth and sixteenth", "x..xx. xxxxxx", "6/8", "[8. 16 8] [16 16 16 16 16 16]"),
    ("two in a dotted beat are dotted eighths", "xx xx", "6/8", "[8. 8.] [8. 8.]"),
    ("four in a dotted beat are dotted sixteenths", "xxxx x..", "6/8", "[16. 16. 16. 16.] 4."),
    ("five in the time of three", "xxxxx x..", "6/8", "5:3([8 8 8 8 8]) 4."),
    ("seven in the time of six", "xxxxxxx x..", "6/8", "7:6([16 16 16 16 16 16 16]) 4."),
    ("twelve in four threes", "xxx xxx xxx xxx", "12/8", "[8 8 8] [8 8 8] [8 8 8] [8 8 8]"),
    ("half of twelve rests as one", "... ... x.. x..", "12/8", "2.r 4. 4."),
    ("not over the middle of twelve", "... x.. ... x..", "12/8", "4.r 4. 4.r 4."),
    ("nine in three threes", "x.. ... xxx", "9/8", "2. [8 8 8]"),
    ("seven as two, two and three", "xx xx xxx", "7/8", "[8 8] [8 8] [8 8 8]"),
    ("seven with the three in front", "xxx xx xx", "3+2+2/8", "[8 8 8] [8 8] [8 8]"),
    ("one a group", "x. x. x..", "7/8", "4 4 4."),
    ("five as three and two", "xxx xx", "5/8", "[8 8 8] [8 8]"),
    ("three eighths that are beats", "x x x", "1+1+1/8", "[8 8 8]"),
]  # fmt: skip

TUPLETS = [
    ("eighth triplets", "xxx xxx x.. ...", "4/4", "3:2([8 8 8]) 3:2([8 8 8]) 2"),
    ("with a quarter in them, under a bracket", "x.x xx. x.. ...", "4/4", "3:2{4 8} 3:2{8 4} 2"),
    ("with a rest", ".xx ..x x.. ...", "4/4", "3:2{8r [8 8]} 3:2{4r 8} 2"),
    ("a sextuplet has one number", "xxxxxx x. .. ..", "4/4", "6:4([16 16 16 16 16 16]) 4 2r"),
    ("eighth and sixteenth triplet", "x..xxx x. .. ..", "4/4", "[8 3:2(16 16 16]) 4 2r"),
    ("sixteenth triplet and eighth", "xxxx.. x. .. ..", "4/4", "3:2([16 16 16) 8] 4 2r"),
    ("five in a beat", "xxxxx x. .. ..", "4/4", "5:4([16 16 16 16 16]) 4 2r"),
    ("five with three passed over", "x...x x. .. ..", "4/4", "5:4{4 16} 4 2r"),
    ("seven in a beat", "xxxxxxx x. .. ..", "4/4", "7:4([16 16 16 16 16 16 16]) 4 2r"),
    ("nine in a beat", "xxxxxxxxx x. .. ..", "4/4", "9:8([32 32 32 32 32 32 32 32 32]) 4 2r"),
    ("thirteen in a beat", "xxxxxxxxxxxxx x. .. ..", "4/4",
     "13:8([32 32 32 32 32 32 32 32 32 32 32 32 32]) 4 2r"),
    ("quarter triplets over two beats", "x.x .x. x.x .x.", "4/4", "3:2{4 4 4} 3:2{4 4 4}"),
    ("one of them missing", "x.. .x. x.. ...", "4/4", "3:2{2 4} 2"),
    ("not over the middle of the bar", "x.. x.x .x. x..", "4/4", "4 3:2{4 8} 3:2{8r 4} 4"),
    ("two of three in the first beat are that beat's", "x.x ... x.. ...", "4/4", "3:2{4 8} 4r 2"),
    ("three over the whole bar", "x.. .x. ..x ...", "4/4", "3:2{2 2 2}"),
    ("five over the whole bar", "x...x ...x. ..x.. .x...", "4/4", "5:4{4 4 4 4 4}"),
    ("triplets of a half in cut time", "xxx x..", "2/2", "3:2{4 4 4} 2"),
    ("triplets under one beam with eighths have a bracket", "x.x.x.x..x..", "1/2", "3:2{[8 8 8} 8 8]"),
    ("triplets of a quarter in cut time", "xxx...", "1/2", "3:2([8 8 8]) 4r"),
    ("triplet, sixteenths, quintuplet, sextuplet", "xxx xxxx xxxxx xxxxxx", "4/4",
     "3:2([8 8 8]) [16 16 16 16] 5:4([16 16 16 16 16]) 6:4([16 16 16 16 16 16])"),
    ("three against four in one hand", "x..xx.x.xx.. x. .. ..", "4/4", "[16 3:2(32 16) 3:2(16 32) 16] 4 2r"),
    ("a triplet in one eighth of six", "xxx...... x..", "6/8", "3:2([16 16 16]) 8r 8r 4."),
]  # fmt: skip


@pytest.mark.parametrize(("what", "boxes", "meter", "expected"), SIMPLE, ids=[case[0] for case in SIMPLE])
def test_simple_meters(what: str, boxes: str, meter: str, expected: str) -> None:
    """Beats of plain values."""
    assert bars_of(boxes, meter) == expected


@pytest.mark.parametrize(("what", "boxes", "meter", "expected"), COMPOUND, ids=[case[0] for case in COMPOUND])
def test_compound_and_odd_meters(what: str, boxes: str, meter: str, expected: str) -> None:
    """Beats of three units, and beats that differ."""
    assert bars_of(boxes, meter) == expected


@pytest.mark.parametrize(("what", "boxes", "meter", "expected"), TUPLETS, ids=[case[0] for case in TUPLETS])
def test_tuplets(what: str, boxes: str, meter: str, expected: str) -> None:
    """Tuplets of a part of a beat, of a beat, of several."""
    assert bars_of(boxes, meter) == expected
