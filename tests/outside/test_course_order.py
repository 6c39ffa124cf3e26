"""The order of the built-in courses, held against common practice.

Order of note values for a beginner: common practice in percussion teaching: quarter, then half and whole and 3/4,
eighth, eighth rest, dotted notes and ties, sixteenth and then its permutations one at a time, eighth triplets, 6/8, 3/8
and 12/8, sixteenth triplets, changes of division inside a bar, two against three, three against four. Teachers differ
on where compound meters come; here they come after triplets.

Order at the kit, common practice: each sound alone before sounds in pairs, a limb at a time before limbs together, feet
before what goes over them, a beat before its fill, grids before the beats in sixteenths that stand on them. Teachers
differ on how early a first beat comes; here it comes before grids.
"""

import pytest

from kitgen.read.plans import plan_named

VALUES = [
    ("sound RH clap",),
    ("value half", "value whole", "meter 3/4"),
    ("cell RH xx",),
    ("rest eighth",),
    ("value dotted-quarter", "tie"),
    ("cell RH xxxx",),
    ("cell RH x.xx", "cell RH xxx.", "cell RH xx.x", "cell RH x..x"),
    ("cell RH xxx",),
    ("meter 6/8", "meter 3/8", "meter 12/8"),
    ("cell RH xxxxxx",),
    ("change 3-4",),
    ("change 4-5",),
    ("against 3:2",),
    ("against 4:3",),
]
SIXTEENTHS = [f"{number:04b}".replace("0", ".").replace("1", "x") for number in range(1, 16)]
TRIPLETS = [f"{number:03b}".replace("0", ".").replace("1", "x") for number in range(1, 8)]


def goals(course: str) -> list[str]:
    """The goals of a course in order, in words."""
    return [goal.words for chapter in plan_named(course).plan.chapters for goal in chapter.goals]


def test_note_values_come_in_the_usual_order() -> None:
    """Each step of common practice comes after the whole of the one before it."""
    order = goals("rhythm")
    last = -1
    for step in VALUES:
        places = [order.index(element) for element in step]
        assert min(places) > last, step
        last = max(places)


@pytest.mark.parametrize(("cells", "after"), [(SIXTEENTHS, "cell RH xxxx"), (TRIPLETS, "cell RH xxx")])
def test_permutations_come_one_at_a_time_after_the_whole(cells: list[str], after: str) -> None:
    """All cells of a beat are taught, each by a page of its own, the full beat first."""
    order = goals("rhythm")
    finer = {"xx": "x.x.", ".x": "..x.", "x": "x..."} if len(cells) == 15 else {"x": "x.."}
    plain = {boxes: cell for cell, boxes in finer.items()}
    own = [f"cell RH {boxes}" for boxes in cells if boxes not in plain]
    assert all(order.count(element) == 1 for element in own)
    assert min(own, key=order.index) == after


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("sound LH snare", "cell LH xx"),
        ("sound RF bass", "ostinato quarters"),
        ("ostinato quarters-hat-2-4", "cell hands x over quarters-hat-2-4"),
        ("cell hands x", "cell hands xxxx"),
        ("sound RF bass", "parts RH+LH+RF"),
        ("parts RH+LH", "parts RH+LH+RF"),
        ("parts RH+LH+RF", "application groove"),
        ("application groove", "the grid of LH over quarters"),
        ("the grid of RF over ride-rock", "cell RF ...x over ride-rock"),
        ("contrast ghost", "cell RF ...x over ride-rock"),
        ("application groove", "the grid of LH over samba"),
        ("the grid of LH over samba", "application over"),
        ("feel swing eighths", "the grid of LH over samba"),
        ("the grid of LH over samba", "application linear"),
        ("turns RH+LH+RF", "application linear"),
        ("application linear", "application latin"),
        ("application latin", "application hip-hop"),
        ("application hip-hop", "application solo"),
        ("application groove", "application fill"),
        ("feel swing eighths", "application swing"),
    ],
)
def test_the_kit_course_goes_from_the_sound_to_the_style(first: str, then: str) -> None:
    """What is built on comes first."""
    order = goals("kit")
    assert order.index(first) < order.index(then)


def test_each_sound_is_met_alone_before_two_hands_play() -> None:
    """The chapter of sounds has nothing but sounds in it."""
    sounds = plan_named("kit").plan.chapters[0]
    assert {goal.element.partition(" ")[0] for goal in sounds.goals} == {"sound"}
