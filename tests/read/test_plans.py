"""Plans from TOML files: what they hold, what they inherit, and what is refused, with file, line and way out."""

from pathlib import Path
from textwrap import dedent

import pytest

from kitgen.course import plan as plan_values
from kitgen.course.plan import KnownCourse, KnownLine, Plan, Setup
from kitgen.errors import KitgenError
from kitgen.kit import Limb
from kitgen.line import Line
from kitgen.read.plans import course_names, plan_named

HEAD = 'known = ["meter 4/4", "sound LH snare"]\n'
TIE = '\n[[chapter]]\ngoals = ["tie"]'
GOALS = HEAD + "[[chapter]]\ngoals = "


def plan_of(folder: Path, text: str, name: str = "plan.toml") -> Plan:
    """The plan of a text."""
    (folder / name).write_text(text)
    return plan_named(str(folder / name)).plan


def test_a_whole_plan(tmp_path: Path) -> None:
    """Every key of a plan, a chapter and the kinds of goals."""
    plan = plan_of(
        tmp_path,
        """
        title = "Samba feet"
        heading = "Alder Bay Middle School, percussion class"
        known = ["meter 4/4", { line = "1 & 2", limb = "LH", meter = "2/4" }]
        seed = 7
        meter = "3/4"
        tempo = "60..90"

        [[chapter]]
        title = "Feet"
        order = "free"
        rests = true
        review = true
        goals = [
            "cell lh x.x.",
            { cell = "x.xx", limb = "LH", over = "samba" },
            { cell = "x" },
            { sound = "ride", limb = "RH" },
            { ostinato = "samba" },
            { rest = 8 },
            { tie = true },
            { against = "3:2", meter = "3/4" },
        ]

        [[chapter]]
        hand = "left"
        meter = "4/4"
        goals = [
            { line = "1 & 2 e & a 3 4 &", as = "linear", order = "RH,LH,RF", half-time = true, bars = 4, tempo = "72" },
            { grid = { moving = "LH", under = "samba", row-bars = 2 }, player = "beginner" },
        ]
        """,
    )
    assert (plan.title, plan.seed, plan.heading) == ("Samba feet", 7, "Alder Bay Middle School, percussion class")
    assert plan.known == ("meter 4/4", KnownLine(Line.parse("1 & 2", "2/4"), "LH"))
    feet, hands = plan.chapters
    assert (feet.title, feet.order, feet.rests, feet.review) == ("Feet", "free", True, True)
    assert (hands.title, hands.order, hands.rests, hands.review) == ("Chapter 2", "written", False, False)
    assert [goal.element for goal in feet.goals] == [
        "cell LH xx", "cell LH x.xx over samba", "cell hands x", "sound RH ride", "ostinato samba", "rest 8 bars",
        "tie", "against 3:2",
    ]  # fmt: skip
    assert {goal.setup for goal in feet.goals} == {Setup(meter="3/4", tempo="60..90")}
    line, grid = hands.goals
    assert line.line == (Line.parse("1 & 2 e & a 3 4 &"), "xx xxxx x- xx")
    assert dict(line.options) == {"as_": "linear", "order": "RH,LH,RF", "half_time": True, "bars": 4}
    assert line.setup == Setup(hand="left", tempo="72")
    assert line.setup.on.lead is Limb.LH
    assert grid.grid
    assert dict(grid.options) == {"moving": "LH", "under": "samba", "row_bars": 2}
    assert (grid.setup.by.name, grid.where) == ("beginner", "chapter 2 (Chapter 2), goal 2")


def test_the_plan_in_the_documentation(tmp_path: Path) -> None:
    """The plan that shows the format is one."""
    words = dedent((plan_values.__doc__ or "").split("TOML::")[1].split("Of a plan:")[0])
    plan = plan_of(tmp_path, words)
    assert [goal.words for goal in plan.chapters[0].goals] == [
        "ostinato samba", "cell LH x.xx over samba",
        "the line 1 & 2 e & a 3 4 & as linear", "the grid of LH over samba",
    ]  # fmt: skip


def test_a_kit_and_a_player_of_ones_own(tmp_path: Path) -> None:
    """Files a plan names are looked for beside it, whatever the working folder, and named with their hashes."""
    (tmp_path / "room.toml").write_text('surfaces = ["snare", "bass"]\nhand = "left"\n')
    (tmp_path / "one.toml").write_text('name = "one hand"\n[limbs.LH]\nabsent = true\n')
    plan = plan_of(tmp_path, HEAD + 'kit = "room.toml"\nplayer = "one.toml"\n[[chapter]]\ngoals = ["tie"]\n')
    assert (plan.setup.on.surfaces, plan.setup.hand) == (("snare", "bass"), "left")
    assert not plan.chapters[0].goals[0].setup.by.plays(Limb.LH)
    sums = plan_named(str(tmp_path / "plan.toml")).sums
    assert [words.split()[0] for words in sums] == ["plan.toml", "room.toml", "one.toml"]


def test_a_line_in_a_file_beside_the_plan(tmp_path: Path) -> None:
    """A line's file is looked for beside the plan and named with its hash."""
    (tmp_path / "tune.txt").write_text("x x xx x\n")
    plan = plan_of(tmp_path, GOALS + '[{ line = "tune.txt", as = "hands" }]')
    line = plan.chapters[0].goals[0].line
    assert line is not None
    assert line[0] == Line.parse("x x xx x")


def test_what_is_known_from_other_plans(tmp_path: Path) -> None:
    """A course, or a plan beside this one, whole or up to a chapter."""
    plan_of(tmp_path, HEAD + '[[chapter]]\ntitle = "Ties"\ngoals = ["tie"]\n', "first.toml")
    plan = plan_of(
        tmp_path,
        'known = [{ plan = "first.toml" }, { course = "rhythm", to = "Eighth notes" }]\n[[chapter]]\ngoals = ["tie"]\n',
    )
    first, course = plan.known
    assert isinstance(first, KnownCourse)
    assert (first.plan.chapters[0].title, first.to) == ("Ties", None)
    assert isinstance(course, KnownCourse)
    assert course.to == "Eighth notes"


def test_the_built_in_courses() -> None:
    """Rhythm, and the kit on top of it; both can be read, and no chapter is without goals."""
    assert course_names() == ("rhythm", "kit")
    for name in course_names():
        assert all(chapter.goals for chapter in plan_named(name).plan.chapters)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('[[chapter]]\ngoals = ["tie"]', 'known is empty, and a first page can bring one new thing only; name'),
        ('known = []' + TIE, "line 1: known is empty"),
        ('known = "tie"' + TIE, "known = 'tie'; it is a list of"),
        ('known = [{ lime = "x" }]' + TIE, "known has {'lime': 'x'}; it is a list of"),
        ('known = ["tie", { line = "1 &", limb = "left" }]' + TIE, "no voice is called 'left'"),
        ('known = [{ line = "1 & q" }]' + TIE, "'q'"),
        ('known = [{ course = "rhytm" }]' + TIE, "no course is called 'rhytm'; did you mean rhythm"),
        ('known = [{ course = "rhythm", to = "Eights" }]' + TIE, "no chapter of rhythm is called"),
        ('known = [{ plan = "plan.toml" }]' + TIE, "known goes in a circle: plan.toml takes for"),
        ('known = [{ plan = "gone.toml" }]' + TIE, "gone.toml: No such file"),
        ("known = [", "a plan is a TOML file"),
        (HEAD, "no [[chapter]]; a plan has one or more"),
        (HEAD + "chapter = 3", "no [[chapter]]; a plan has one or more"),
        (HEAD + 'goal = ["tie"]', "line 2: no key of a plan is called 'goal'"),
        (HEAD + "[[chapter]]", "line 2, chapter 1 (Chapter 1): goals = []; a chapter has one goal or more"),
        (HEAD + '[[chapter]]\ngoels = []', "line 3, chapter 1: no key of a chapter is called 'goels'"),
        (
            HEAD + '[[chapter]]\ngoals = ["tie"]\n[[chapter]]\ntitle = "b"\ngoels = ["tie"]',
            "line 6, chapter 2: no key of a chapter is called 'goels'",
        ),
        (HEAD + '[[chapter]]\ntitle = "a"\ngoals = ["tie"]\n[[chapter]]\ntitle = "a"\ngoals = ["tie"]', "called 'a'"),
        (HEAD + '[[chapter]]\norder = "random"\ngoals = ["tie"]', "line 3, chapter 1 (Chapter 1): no order is called"),
        (HEAD + '[[chapter]]\nrests = "yes"\ngoals = ["tie"]', "rests = 'yes'; it is true or false, without quotes"),
        (HEAD + '[[chapter]]\ntitle = 3\ngoals = ["tie"]', "title = 3; it is one line of text in quotes"),
        (HEAD + 'seed = "3"' + TIE, "seed = '3'; it is a whole number, without quotes"),
        (HEAD + 'meter = "4"' + TIE, "line 2: cannot read '4' as a meter"),
        (HEAD + 'tempo = "90..60"' + TIE, 'tempo = "90..60" goes down'),
        (HEAD + 'tempo = "fast"' + TIE, "a tempo of fast cannot be played to"),
        (HEAD + 'swing = "3"' + TIE, "line 2"),
        (HEAD + 'swing-unit = 4' + TIE, "swing-unit = 4; eighths swing (8)"),
        (HEAD + 'player = "novice"' + TIE, "no player is called 'novice'"),
        (HEAD + 'kit = "big"' + TIE, "no kit is called 'big'"),
        (HEAD + 'hand = "both"' + TIE, "no hand setting is called 'both'"),
        (HEAD + 'way = "linar"' + TIE, "no application is called 'linar'; did you mean linear"),
        (HEAD + 'surface = "bell"' + TIE, "no surface is called 'bell'"),
        (GOALS + "[3]", "goal 1: 3 is no goal; a goal is an element in quotes, or a table"),
        (GOALS + "[{}]", "a goal of nothing; it names an element, a line or a grid"),
        (GOALS + '["tie", "cel LH x"]', "goal 2: no kind of element is called"),
        (GOALS + '[{ cel = "x" }]', "no key of a goal is called 'cel'; did you mean cell"),
        (GOALS + '[{ cell = "x", lim = "LH" }]', "no key of a goal of cell is called 'lim'"),
        (GOALS + '[{ cell = "x.y" }]', "cell 'x.y'; a cell is one beat"),
        (GOALS + '[{ sound = "ride" }]', "say who plays it, such as limb"),
        (GOALS + "[{ tie = false }]", "tie = false; write tie = true"),
        (GOALS + "[{ rest = 2 }]", "a long rest has 4 to 64 bars"),
        (GOALS + '[{ style = "bossa" }]', "there is no library of styles yet"),
        (GOALS + '[{ line = "" }]', "line = ''; a line is typed, or the name of a file with one"),
        (GOALS + '[{ line = "-" }]', "line = '-'; a line is typed, or the name of a file with one"),
        (GOALS + '[{ line = "gone.mid" }]', "gone.mid: No such file or directory"),
        (GOALS + '[{ line = "xx x", as = "linear" }]', "line 3, chapter 1 (Chapter 1), goal 1"),
        (GOALS + '[{ line = "1 2 3 4", as = "lines" }]', "no application is called 'lines'"),
        (GOALS + '[{ line = "1 2 3 4", bars = "4" }]', "bars = '4'; it is a whole number"),
        (GOALS + '[{ line = "1 2 3 4", limp = "LH" }]', "no key of a goal of a line is called 'limp'"),
        (GOALS + '[{ grid = "LH" }]', 'grid = { moving = "LH", under = "samba", cells = "16ths" }'),
        (GOALS + "[{ grid = { moving = [1] } }]", "grid: moving = [1]; it is a text, a number"),
    ],
)  # fmt: skip
def test_what_is_refused(tmp_path: Path, text: str, message: str) -> None:
    """Every error names the file and says what was given and what is allowed."""
    with pytest.raises(KitgenError) as caught:
        plan_of(tmp_path, text)
    assert message in str(caught.value)
    assert "plan.toml" in str(caught.value) or "gone." in str(caught.value)
