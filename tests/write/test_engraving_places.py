"""Where the engraver's signs stand on a printed page: what it would leave crooked, touching or astray is put right."""

import re
from itertools import pairwise
from xml.etree.ElementTree import Element

import pytest

from kitgen.pattern import parse_rows
from kitgen.spell import Choices
from tests.write.engraving_reading import SVG, engraved, groups, heads, places, row, said, tree, trees
from tests.write.musicxml_reading import page_of

SPACE = 180
DENSE = "RH clap xxx x.. xxx xx. x.x xx. xxx x.. xxx x.. xxx xx. x.. ... ... ...; RF floor " + "x.. " * 16
SAMBA = "RF bass x..x X..x x..x X..x; LF hat-foot ..x. ..x. ..x. ..x."


def top_lines(root: Element) -> set[int]:
    """Where the top line of the staff is drawn, in every bar."""
    paths = (next(group.iter(f"{SVG}path")).get("d", "") for group in groups(root, "staff"))
    return {int(path.split()[1]) for path in paths}


def brackets(root: Element) -> list[list[tuple[int, int]]]:
    """The corners of each half of a tuplet's bracket: the tip of its hook, then its line."""
    return [
        [(int(x), int(y)) for x, y in re.findall(r"(-?\d+),(-?\d+)", line.get("points", ""))]
        for group in groups(root, "tupletBracket")
        for line in group.iter(f"{SVG}polyline")
    ]


def test_a_full_system_is_one_system() -> None:
    """Four bars that are denser than the engraver likes stay side by side."""
    (root,) = trees(row(DENSE, "12/8"))
    assert len(groups(root, "measure")) == 4
    assert len(top_lines(root)) == 1


@pytest.mark.parametrize(
    "rows",
    ["RH ride x.x x.x x.. xx.; LH snare x.. ..x .x. x..", "RF bass x.x x.x .x. xx.; LF hat-foot x.. ..x .x. x.."],
)
def test_brackets_are_level(rows: str) -> None:
    """Both halves of a bracket are at one height, with its number between them and inside the picture."""
    (root,) = trees(row(rows))
    halves = brackets(root)
    assert len(halves) >= 6
    numbers = [y for _, y in places(root, "tupletNum")]
    bracketed = {left[1][1] for left in halves}
    for left, right in zip(halves[::2], halves[1::2], strict=True):
        assert len({y for _, y in (*left[1:], *right[1:])}) == 1
        assert left[0][1] - left[1][1] == right[0][1] - right[1][1] != 0
    _, top, _, height = map(float, root.get("viewBox", "").split())
    assert all(top + 130 <= y <= top + height - 130 for y in bracketed)
    assert all(min(abs(y - number + 136) for number in numbers) <= 5 for y in bracketed)


@pytest.mark.parametrize("rests", [".xx.", "..x.", "...x"])
def test_rests_of_the_hands_are_clear_of_the_bass(rests: str) -> None:
    """A rest of sixteenths, whose hooks reach down two spaces, stands higher than one of eighths."""
    (root,) = trees(row(f"RH ride {rests} x... x... x...; RF bass x... x... x... x...", "4/4"))
    (_, rest), *_ = places(root, "rest")
    bass = max(y for _, y in heads(root))
    reaches = 2 * SPACE if rests == ".xx." else SPACE
    assert bass - SPACE // 2 - (rest + reaches) >= SPACE // 2


@pytest.mark.parametrize(
    "rows", ["RH ride x... .xx. ..x. x...; RF bass .x.. ..x. x... x...", "RH floor-tom x... x...; RF bass .x.. ..x."]
)
def test_rests_stand_on_lines(rows: str) -> None:
    """Where their hooks are in spaces, below the staff too."""
    beats = len(rows.split(";")[0].split()) - 2
    (root,) = trees(row(rows, f"{beats}/4", Choices(layout="hands-feet")))
    (top,) = top_lines(root)
    assert {(y - top) % SPACE for _, y in places(root, "rest")} == {0}


def test_small_letters_stand_before_the_head() -> None:
    """Under a flam the letter of the stroke itself is under its head, the small one before."""
    flams = row("RH snare x. .. x. ..; LH snare .. x. .. x.; flam RH x. .. .. ..", how=Choices(stickings="all"))
    (root,) = trees(flams)
    ((small, first), (plain, second), *_) = said(root)[0]
    at = [x for x, _ in heads(root)]
    assert (first, second) == ("lR", "L")
    assert 30 <= plain - at[1] - (small - at[0]) <= 80


@pytest.mark.parametrize("bars", [2, 4])
@pytest.mark.parametrize("counts", ["", "numbers"])
def test_words_before_a_repeat_sign_stay_under_their_heads(counts: str, bars: int) -> None:
    """The last word of a system stands as far from its head as all others, though the next bar has none."""
    hat = "" if counts else "RH closed-hat x.x. x.x. x.x. x.x.; "
    page = page_of(parse_rows(hat + "LH snare x..x .xx. x... x.xx; " + SAMBA) * bars)
    how = Choices(stickings="none" if counts else "all", counts=counts)
    (root,) = trees(engraved(page, how, bar_repeats=True).rows[0])
    at = {x for x, _ in heads(root)}
    off = [min(abs(x - head - 115) for head in at) for line in said(root) for x, _ in line]
    assert len(groups(root, "mRpt")) == bars - 1
    assert off
    assert max(off) <= 10


def test_words_of_rests_before_a_repeat_sign_are_not_moved() -> None:
    """What is said on a beat of rest stands where it does without the sign, as far from the beat before."""
    page = page_of(parse_rows("LH snare x... x... x... ....") * 2)
    how = Choices(counts="numbers")
    (plain,), (signed,) = (trees(engraved(page, how, bar_repeats=repeats).rows[0]) for repeats in (False, True))
    for root in (plain, signed):
        line = said(root)[0][:4]
        steps = [after - before for (before, _), (after, _) in pairwise(line)]
        assert [word for _, word in line] == ["1", "2", "3", "4"]
        assert max(steps) - min(steps) <= 0.1 * max(steps)


def test_every_eighth_bar_has_its_number_in_a_box() -> None:
    """Rehearsal marks stand at bars 9 and 17, other systems have plain numbers, and a short row has no mark."""
    bar = parse_rows("RH closed-hat xx xx xx xx; RF bass x. .. x. ..")
    found = engraved(page_of(bar * 20)).rows[0]
    boxed = [[rect.get("width") is not None for rect in tree(one).iter(f"{SVG}rect")] for one in found.systems]
    assert [bool(rects) for rects in boxed] == [False, False, True, False, True]
    numbers = ["".join(text.text or "" for text in tree(one).iter(f"{SVG}text")) for one in found.systems]
    assert numbers == ["", "5", "9", "13", "17"]
    for picture in found.systems:
        root = tree(picture)
        top = float(root.get("viewBox", "").split()[1])
        assert all(float(rect.get("y", "")) > top for rect in root.iter(f"{SVG}rect"))
