"""How pages look: options of every command that makes pages, in recipes, in files, and what is wrong with others."""

import json
import shlex
from collections.abc import Sequence
from pathlib import Path

import pypdf
import pytest
from defusedxml.ElementTree import parse

from kitgen.make.again import made_again, recipe_in
from kitgen.make.recipe import PageRecipe
from kitgen.spell.beams import EIGHTHS
from kitgen.spell.choices import RESTS, STICKINGS, SWINGS
from kitgen.spell.voices import LAYOUTS
from kitgen.time import SYSTEMS
from kitgen.write.chosen import FLAGS, WORDS, chosen
from kitgen.write.paper import PRINTS, SIZES
from tests.cli.running import contents, run
from tests.make.plan_texts import plan_file

LINE = "x.x. xxxx x... x.x."
COMMANDS = {
    "apply": (LINE, "--as", "groove"),
    "grid": ("--moving", "LH", "--under", "samba", "--pages", "2"),
    "tour": ("--limbs", "RH,LH", "--pages", "2"),
    "series": ("rhythm", "--pages", "3"),
}
UNUSUAL = (
    "--layout", "one", "--beams", "beats", "--write-swing", "triplets", "--rests", "counted", "--stickings", "all",
    "--counts", "numbers", "--bar-repeats", "--paper", "a4", "--print-size", "large",
)  # fmt: skip


def test_the_words_are_those_of_the_library() -> None:
    """What options may say is what spelling and paper know, and a recipe's usual words come first."""
    assert {
        "layout": LAYOUTS,
        "beams": EIGHTHS,
        "write_swing": SWINGS,
        "rests": RESTS,
        "stickings": STICKINGS,
        "counts": ("none", *SYSTEMS),
        "paper": tuple(SIZES),
        "print_size": tuple(PRINTS),
    } == WORDS
    usual = {name: words[0] for name, words in WORDS.items()} | dict.fromkeys(FLAGS, False)
    assert usual == {name: getattr(PageRecipe, name) for name in usual}
    assert chosen(usual) == chosen({}) == (None, False, None)


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("option", WORDS)
def test_other_words_are_refused(tmp_path: Path, command: str, option: str) -> None:
    """A word that is none of an option's is named with those there are, and nothing is made."""
    said = run(
        command, *COMMANDS[command], f"--{option.replace('_', '-')}", "upside-down", "--out", tmp_path / "out"
    ).error
    assert said == f"--{option.replace('_', '-')} upside-down: it is one of {', '.join(WORDS[option])}"
    assert not (tmp_path / "out").exists()


def test_other_words_are_refused_before_anything_is_read(tmp_path: Path) -> None:
    """How pages look, kinds of file and jobs are checked before a line, a plan or a kit is looked for."""
    for options, said in (
        (("--paper", "a5"), "--paper a5: it is one of letter, a4"),
        (("--to", "wall"), "--to wall: no file of kind 'wall' is written"),
        (("--jobs", "0"), "--jobs 0: pages are written 1 to 61 at a time"),
    ):
        assert run("series", tmp_path / "none.toml", *options).error.startswith(said)
        assert run("apply", tmp_path / "none.mid", "--as", "groove", *options).error.startswith(said)
        assert run("grid", "--moving", "LH", "--kit", "none.toml", *options).error.startswith(said)
        assert run("tour", "--kit", "none.toml", *options).error.startswith(said)


@pytest.mark.parametrize("command", ["apply", "grid", "tour", pytest.param("series", marks=pytest.mark.sweep)])
def test_recipes_say_how_pages_look(tmp_path: Path, command: str) -> None:
    """Recipes hold what is unusual and nothing else of it; their notes are the same; they make the same bytes again."""
    usual = page_recipe(tmp_path / "usual", command, ())
    unusual = page_recipe(tmp_path / "one", command, (*UNUSUAL, "--to", "txt,musicxml"))
    assert not any(word in shlex.split(usual, comments=True) for word in UNUSUAL if word.startswith("--"))
    recipe = recipe_in(unusual)
    assert isinstance(recipe, PageRecipe)
    assert chosen(vars(recipe)) == chosen(
        {"layout": "one", "beams": "beats", "write_swing": "triplets", "rests": "counted", "stickings": "all"}
        | {"counts": "numbers", "bar_repeats": True, "paper": "a4", "print_size": "large"}
    )
    assert made_again(unusual).rows == made_again(usual).rows
    words = shlex.split(unusual, comments=True)[1:]
    assert run(*words, "--to", "txt,musicxml", "--out", tmp_path / "two").code == 0
    one, two = contents(tmp_path / "one"), contents(tmp_path / "two")
    for name in (name for name in one if name.endswith((".txt", ".musicxml"))):
        assert one[name] == two[name]


def page_recipe(out: Path, command: str, options: Sequence[str]) -> str:
    """The recipe of the first page a command writes."""
    assert run(command, *COMMANDS[command], *options, "--out", out).code == 0
    recipe: str = json.loads((out / "manifest.json").read_text())["pages"][0]["recipe"]
    return recipe


def test_scores_are_written_as_asked(tmp_path: Path) -> None:
    """Stickings, counts and triplets stand in the score; what is checked against the text still agrees."""
    options = ("--swing", "2:1", "--write-swing", "triplets", "--stickings", "all", "--counts", "numbers")
    assert (
        run("apply", "x.x. x.x. x.x. x.x.", "--as", "hands", *options, "--to", "txt,musicxml", "--out", tmp_path).code
        == 0
    )
    (score,) = tmp_path.glob("*.musicxml")
    text = score.read_text()
    assert "<normal-notes>2</normal-notes>" in text
    assert "<text>R</text>" in text
    assert "<text>let</text>" in text
    assert run("check", tmp_path).out.endswith("ok, nothing found\n")


def test_a_heading_of_any_words(tmp_path: Path) -> None:
    """Titles and headings of any script or markup stand in every file as they were given, and are never obeyed."""
    words = 'Été <b>&"#$_*\\ \N{DRUM WITH DRUMSTICKS} עברית 漢字'
    told = ("--title", words, "--heading", words, "--to", "txt,musicxml,svg,pdf,book")
    assert run("apply", LINE, "--as", "groove", *told, "--out", tmp_path).code == 0
    (text,), (score,), (picture,) = (tmp_path.glob(f"*.{kind}") for kind in ("txt", "musicxml", "svg"))
    assert f"title: {words}\nheading: {words}\n" in text.read_text("utf-8")
    titles = [element.text for element in parse(score).iter("work-title")]
    assert titles == [words]
    assert any(element.text and "Été <b>&" in element.text for element in parse(picture).iter())
    for sheet in tmp_path.glob("*.pdf"):
        assert 'Été <b>&"#$_*\\' in pypdf.PdfReader(sheet).pages[-1].extract_text()
    index = (tmp_path / "index.html").read_text("utf-8")
    assert "<b>&" not in index
    assert "漢字" in index
    assert run("check", tmp_path).code == 0


def test_a_plan_in_chapters(tmp_path: Path) -> None:
    """The manifest and the index of a series name its chapters, each with the first of its pages that is there."""
    plan = plan_file(tmp_path)
    assert run("series", plan, "--out", tmp_path / "all").code == 0
    chapters = json.loads((tmp_path / "all/manifest.json").read_text())["chapters"]
    assert chapters == [{"title": "Samba feet", "page": 1}]
    assert run("series", plan, "--pages", "2-3", "--out", tmp_path / "some").code == 0
    assert json.loads((tmp_path / "some/manifest.json").read_text())["chapters"] == [{"title": "Samba feet", "page": 2}]
    assert "<h2>Samba feet</h2>" in (tmp_path / "some/index.html").read_text()


def test_the_demonstration_looks_as_asked(tmp_path: Path) -> None:
    """Its pages are on the paper asked for, with what is said under the notes, and every recipe says so."""
    assert run("demo", "--to", "txt", "--paper", "a4", "--counts", "numbers", "--out", tmp_path).code == 0
    manifest = json.loads((tmp_path / "manifest.json").read_text())
    assert manifest["recipe"].startswith("kitgen demo --counts numbers --paper a4  # kitgen ")
    assert all("--counts numbers --paper a4" in page["recipe"] for page in manifest["pages"])
    assert run("check", tmp_path).code == 0
