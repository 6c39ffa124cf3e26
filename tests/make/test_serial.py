"""Plans into series: one new element a page, bridges where it takes some, and what cannot be reached."""

from itertools import permutations
from pathlib import Path
from textwrap import dedent

import pytest

from kitgen.course import plan as plan_values
from kitgen.course.naming import KINDS
from kitgen.course.planner import bridges_of
from kitgen.errors import KitgenError
from kitgen.make.goals import candidate
from kitgen.make.serial import Series, series_of
from kitgen.make.series_recipe import SeriesRecipe
from kitgen.page import learned, new_in
from kitgen.pattern.playability import playability
from kitgen.read.plan_examples import EXAMPLES
from kitgen.read.plans import plan_named
from tests.make.plan_texts import SAMBA, plan_file

HEAD = 'known = ["meter 4/4", "sound LH snare", "sound RH snare"]\n[[chapter]]\n'


def series(folder: Path, text: str, **options: str | int) -> Series:
    """The series of a plan's text."""
    source = plan_named(str(plan_file(folder, text)))
    return series_of(SeriesRecipe(plan=source.words, sums=source.sums, **options), source)  # type: ignore[arg-type]


def goals(*words: str, order: str = "written", head: str = HEAD) -> str:
    """A plan of one chapter of goals."""
    return f'{head}order = "{order}"\ngoals = [{", ".join(words)}]\n'


def brought(made: Series) -> list[tuple[str, ...]]:
    """What is new on each page."""
    known, found = learned(made.known), []
    for one in made.pages:
        found.append(new_in(one.elements, known))
        known |= learned(one.elements)
    return found


def test_every_page_brings_one_new_element(tmp_path: Path) -> None:
    """Goals and bridges one each, a page of long rests the rest, a review nothing."""
    made = series(tmp_path, SAMBA)
    new = brought(made)
    by_kind = {kind: [new[i] for i, one in enumerate(made.pages) if one.kind == kind] for kind in ("goal", "bridge")}
    assert [len(elements) for elements in by_kind["goal"]] == [1, 1, 1, 1]
    assert all(len(elements) == 1 for elements in by_kind["bridge"])
    rests = [one.kind for one in made.pages].index("rests")
    assert {one.kind for one in made.pages[rests + 1 :]} == {"review"}
    assert new[rests] == ("rest 4 bars",)
    assert not any(new[rests + 1 :])
    assert by_kind["goal"][:3] == [("value half",), ("ostinato samba",), ("cell LH x.xx over samba",)]
    assert by_kind["goal"][3] == ("application limb",)


def test_bridges_say_what_they_are_for(tmp_path: Path) -> None:
    """On the page, and in the remarks with its number; pages that are none do not."""
    made = series(tmp_path, SAMBA)
    bridges = [number for number, one in enumerate(made.pages, start=1) if one.kind == "bridge"]
    assert bridges
    assert [int(words.split()[1]) for words in made.remarks] == bridges
    for number, one in enumerate(made.pages, start=1):
        assert any(note.startswith("a bridge: it brings ") for note in one.page.notes) == (number in bridges)


def test_pages_can_be_played_and_carry_heading_and_recipe(tmp_path: Path) -> None:
    """Each by the plan's player at its goal; the heading on every page, the recipe with the page's number."""
    made = series(tmp_path, SAMBA)
    for number, one in enumerate(made.pages, start=1):
        page = one.page
        assert not playability(page.pattern, one.setup.by, page.tempo.goal * float(page.tempo.unit))
        assert page.heading == "Alder Bay Middle School, percussion class"
        assert f"kitgen series samba.toml --pages {number}" in page.recipe
    assert {one.page.heading for one in series(tmp_path, SAMBA, heading="Room 7").pages} == {"Room 7"}


def test_only_some_pages(tmp_path: Path) -> None:
    """Pages asked for are those of the whole series; what came before them is known."""
    whole = series(tmp_path, SAMBA)
    part = series(tmp_path, SAMBA, pages="3-4")
    assert [one.page for one in part.pages] == [one.page for one in whole.pages[2:4]]
    assert (part.numbers, brought(part)) == ((3, 4), brought(whole)[2:4])
    (limb,) = series(tmp_path, SAMBA, as_="limb").pages
    assert "application limb" in limb.elements
    with pytest.raises(KitgenError, match=r"--pages 90: there are pages 1 to \d+"):
        series(tmp_path, SAMBA, pages="90")
    with pytest.raises(KitgenError, match="none of these pages is one; there are limb"):
        series(tmp_path, SAMBA, as_="linear")


def test_a_seed_changes_what_is_composed_and_nothing_else(tmp_path: Path) -> None:
    """The same seed gives the same pages; another gives the same elements in the same order."""
    text = goals('"cell RH xx"', '"cell RH x.xx"')
    first, again, other = series(tmp_path, text), series(tmp_path, text), series(tmp_path, text, seed=5)
    assert [one.page for one in first.pages] == [one.page for one in again.pages]
    assert [one.page.rows for one in first.pages] != [one.page.rows for one in other.pages]
    assert brought(first) == brought(other)


def test_a_free_order_saves_bridges(tmp_path: Path) -> None:
    """Goals written the hard way round: as written they take a bridge, in a free order none."""
    words = ('{ cell = "x", limb = "LH", over = "samba" }', '"ostinato samba"')
    with pytest.raises(
        KitgenError, match=r"goal 2: ostinato samba is brought before it, for chapter 1 \(Chapter 1\), goal 1"
    ):
        series(tmp_path, goals(*words))
    made = series(tmp_path, goals(*words, order="free"))
    assert brought(made) == [("ostinato samba",), ("cell LH x over samba",)]
    assert not made.remarks


def test_as_many_bridges_as_the_planner_reckoned(tmp_path: Path) -> None:
    """Goals in a free order take the fewest bridging pages that any order takes."""
    words = (
        '{ line = "xx x. xxxx x.", as = "hands" }', '"ostinato samba"',
        '{ line = "xx x. xx .x", as = "limb", limb = "LH" }',
        '{ line = "x.xx x x.xx x", as = "over", under = "samba" }',
    )  # fmt: skip
    text = goals(*words, order="free")
    source = plan_named(str(plan_file(tmp_path, text)))
    known = learned(["meter 4/4", "sound LH snare", "sound RH snare"])
    tasks = [candidate(goal, known, known=known).task for goal in source.plan.chapters[0].goals]
    costs = [bridges_of(order, known) for order in permutations(tasks)]
    fewest = min(cost for cost in costs if cost is not None)
    made = series(tmp_path, text)
    assert len(made.remarks) == fewest > 0
    assert all(len(new) == 1 for new in brought(made))


def test_a_line_in_a_new_meter(tmp_path: Path) -> None:
    """What else is new in it is bridged in a meter that is known, and the line's own page brings the meter."""
    made = series(tmp_path, goals('{ line = "xx .x xxx", as = "hands", meter = "7/8" }'))
    new = [element for (element,) in brought(made)]
    assert new[-1] == "meter 7/8"
    assert "application hands" in new
    assert {str(one.page.bars[0].meter) for one in made.pages[:-1]} == {"4/4"}


def test_a_grid_is_a_goal(tmp_path: Path) -> None:
    """Every page of the grid in its order, each with one new element."""
    made = series(tmp_path, goals('{ grid = { moving = "LH", under = "samba", cells = "8ths" } }'))
    assert next(elements for (elements,) in brought(made)) == "ostinato samba"
    assert len(made.pages) == 4


def test_a_left_handed_series(tmp_path: Path) -> None:
    """A plan for the left hand names its limbs; one for the right hand is turned round where the left is asked for."""
    text = goals('"ostinato samba"', '{ cell = "x.xx", limb = "LH", over = "samba" }')
    left = text.replace('"LH"', '"RH"')
    made = series(tmp_path, text, hand="left")
    assert brought(made) == [("ostinato samba",), ("cell RH x.xx over samba",)]
    assert all("--hand left" in one.page.recipe for one in made.pages)
    own = series(tmp_path, f'hand = "left"\n{left}')
    assert brought(own) == brought(made)
    assert [one.page.rows for one in own.pages] == [one.page.rows for one in made.pages]
    assert brought(series(tmp_path, f'hand = "left"\n{left}', hand="left")) == brought(made)
    right = series(tmp_path, f'hand = "left"\n{left}', hand="right")
    assert [one.page.rows for one in right.pages] == [one.page.rows for one in series(tmp_path, text).pages]


@pytest.mark.slow
def test_the_plan_in_the_documentation_becomes_a_series(tmp_path: Path) -> None:
    """Goals of every kind in a free order, a grid among them, with bridges, rests and a review: one new a page."""
    made = series(tmp_path, dedent((plan_values.__doc__ or "").split("TOML::")[1].split("Of a plan:")[0]))
    assert {one.kind for one in made.pages} == {"goal", "bridge", "rests", "review"}
    assert [len(new) for new in brought(made)] == [1] * (len(made.pages) - 2) + [0, 0]  # the course had long rests
    assert sum("over samba" in new[0] for new in brought(made)[:-2]) == 15


def test_what_courses_teach_is_known(tmp_path: Path) -> None:
    """After a plan, or a part of it, its goals are known."""
    plan_file(tmp_path, goals('"cell RH xx"', '"value half"'), "first.toml")
    made = series(tmp_path, 'known = [{ plan = "first.toml" }]\n[[chapter]]\ngoals = ["cell RH .x"]\n')
    assert {"cell RH xx", "value half", "sound RH snare"} <= set(made.known)
    assert brought(made) == [("cell RH .x",)]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (('"cell RH x"',), "chapter 1 (Chapter 1), goal 1: cell RH x is already in known; take it out of one"),
        (('"cell RH xx"', '{ cell = "x.x.", limb = "RH" }'), "goal 2: cell RH xx is a goal twice, first in chapter 1"),
        (('"ostinato samba"',), "ostinato samba needs the left foot, and player 'no-left-foot' plays without it"),
        (
            ('{ sound = "ride", limb = "RH", kit = "small" }', '{ sound = "mid-tom", limb = "RH", kit = "small" }'),
            "goal 1: the small kit has no ride, mid-tom; it has crash",
        ),
        (
            ('{ cell = "x", limb = "RF", over = "samba" }',),
            "the right foot (RF) is busy, samba holds it; free over it: right hand (RH), left hand (LH)",
        ),
        (('{ cell = "x", over = "ride-waltz" }',), 'goal 1: ride-waltz does not fit 4/4; give the goal meter = "3/4"'),
        (('"ostinato ride-waltz"',), 'goal 1: ride-waltz does not fit 4/4; give the goal meter = "3/4"'),
        (('"against 7:5"',), "goal 1: against 7:5 cannot be reached: no page brings against 7:5 (known by then: cell"),
        (('{ line = "x x x x", as = "limb", limb = "LH", under = "sambo" }',), "goal 1: no ostinato is called 'sambo'"),
        (('{ grid = { under = "samba" } }',), 'goal 1: a grid says which limb moves, such as moving = "LH"'),
        (('{ grid = { moving = "LH", unter = "samba" } }',), "no option of a grid is called 'unter'; did you mean"),
        (('{ grid = { moving = "LF", under = "samba" } }',), "goal 1: the left foot (LF) cannot move"),
        (
            ('{ line = "x. xx xx x.", as = "hands" }', '{ line = "xx x. xx x.", as = "hands" }'),
            "goal 2: the line xx x. xx x. as hands holds nothing that is not known after chapter 1",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_reached(tmp_path: Path, words: tuple[str, ...], message: str) -> None:
    """The error names the plan, the goal, and what is in the way."""
    (tmp_path / "no-left-foot.toml").write_text("[limbs.LF]\nabsent = true\n")
    head = f'player = "no-left-foot.toml"\n{HEAD}' if words[0] in ('"sound LF hat-foot"', '"ostinato samba"') else HEAD
    with pytest.raises(KitgenError) as caught:
        series(tmp_path, goals(*words, head=head))
    assert message in str(caught.value)
    assert str(caught.value).startswith("samba.toml, ")


def test_goals_that_contradict_are_named(tmp_path: Path) -> None:
    """Of three goals in a free order the two that leave each other nothing, and not the third."""
    words = ('{ line = "x. xx xx x.", as = "hands" }', '"tie"', '{ line = "xx x. xx x.", as = "hands" }')
    with pytest.raises(KitgenError, match="these goals contradict each other") as caught:
        series(tmp_path, goals(*words, order="free"))
    assert "goal 1" in str(caught.value)
    assert "goal 3" in str(caught.value)
    assert "goal 2" not in str(caught.value)


def test_bridges_come_in_their_usual_order(tmp_path: Path) -> None:
    """A beat from nothing: hat, backbeat with it, bass with both, the bass's figures, ghost notes, the open hat."""
    made = series(tmp_path, goals('{ line = "1 & 2 e & a 3 4 &", as = "groove" }'))
    assert [element for (element,) in brought(made)] == [
        "sound RH closed-hat", "cell RH xx", "parts RH+LH", "sound RF bass", "parts RH+LH+RF", "cell RF xx",
        "cell RF .x", "cell RF .xxx", "cell LH x..x", "cell LH .x..", "contrast ghost", "sound RH open-hat",
        "application groove",
    ]  # fmt: skip


@pytest.mark.parametrize("order", ["written", "free"])
def test_easier_cells_come_before_harder_ones(tmp_path: Path, order: str) -> None:
    """What a later goal needs anyway, and is easier than a cell, comes before it; what a later goal is for does not."""
    words = (
        '"ostinato samba"', '{ cell = "x.xx", limb = "LH", over = "samba" }',
        '{ line = "1 & 2 e & a 3 4 &", as = "limb", limb = "LH", under = "samba" }',
    )  # fmt: skip
    made = series(tmp_path, goals(*words, order=order))
    cells = [element.split()[2] for (element,) in brought(made) if element.startswith("cell ")]
    assert cells == ["x", "xx", "xxxx", "x.xx"]
    assert len(made.remarks) == 3
    later = series(tmp_path, goals(words[0], words[1], '"cell LH x over samba"', order="written"))
    assert [element for (element,) in brought(later)][1:] == ["cell LH x.xx over samba", "cell LH x over samba"]


def test_cells_in_a_free_order_come_as_they_are_usually_taught(tmp_path: Path) -> None:
    """Where any order would do, the beat first, then eighths, then sixteenths."""
    words = [f'{{ cell = "{cell}", limb = "LH", over = "samba" }}' for cell in ("x..x", ".x", "xxxx", "x", "xx")]
    made = series(tmp_path, goals('"ostinato samba"', *words, order="free"))
    assert [element.split()[2] for (element,) in brought(made)[1:]] == ["x", "xx", ".x", "xxxx", "x..x"]


def test_a_bridge_quotes_the_line_as_it_was_typed(tmp_path: Path) -> None:
    """In the remark and in the page's note."""
    made = series(tmp_path, goals('{ line = "1 & 2 e & a 3 4 &", as = "limb", limb = "LH", under = "samba" }'))
    assert made.remarks[0].endswith("goal 1, the line 1 & 2 e & a 3 4 & as limb")
    assert made.pages[0].page.notes[-1] == "a bridge: it brings ostinato samba, for the line 1 & 2 e & a 3 4 & as limb"


def test_a_limb_plays_on_what_its_goal_says(tmp_path: Path) -> None:
    """A surface the limb has not met is brought first."""
    made = series(tmp_path, goals('{ cell = "x", limb = "LH", over = "samba", surface = "ride" }'))
    assert brought(made) == [("ostinato samba",), ("sound LH ride",), ("cell LH x over samba",)]


@pytest.mark.parametrize(("name", "example"), [(name, example) for name, (_, example) in EXAMPLES.items()])
def test_every_kind_of_goal_has_an_example_that_reads(tmp_path: Path, name: str, example: str) -> None:
    """As it is listed it is a goal of that kind."""
    for one in example.split(" or "):
        (goal,) = plan_named(str(plan_file(tmp_path, goals(one)))).plan.chapters[0].goals
        assert goal.element.startswith(f"{name} ".rstrip()) or bool(goal.line) == (name == "line")
        assert goal.grid == (name == "grid")


def test_every_kind_of_element_has_an_example() -> None:
    """All kinds, a line and a grid."""
    assert set(EXAMPLES) == {*KINDS, "line", "grid"}


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ('"style samba"', "there is no library of styles yet; give a line of the style"),
        ('{ grid = "LH", over = "samba" }', "grid = 'LH'; a grid says in a table of its own which limb moves"),
        ('{ grid = { moving = "LH", under = "x..x" } }', 'under = "x..x": a row starts with its limb and surface'),
        ('{ line = "x x x x", as = "limb", under = "x..x" }', 'under = "RF bass x..x x..x; LF hat-foot ..x. ..x."'),
    ],
)
def test_what_is_no_goal(tmp_path: Path, words: str, message: str) -> None:
    """The error names the line of the file, and says how it is written."""
    with pytest.raises(KitgenError) as caught:
        series(tmp_path, goals(words))
    assert message in str(caught.value)
    assert "samba.toml, line 4, chapter 1 (Chapter 1), goal 1: " in str(caught.value)
