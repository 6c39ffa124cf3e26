"""The recipe of a page: one line of text that reads back equal and makes the page again, byte for byte."""

import shlex
from dataclasses import fields, replace
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen import __version__
from kitgen.errors import ReadError
from kitgen.line import parse, render
from kitgen.make.applied import page_of, remade
from kitgen.make.grid_recipe import GridRecipe
from kitgen.make.recipe import ApplyRecipe, PageRecipe, PlayRecipe, option_of
from kitgen.make.series_recipe import SeriesRecipe
from kitgen.make.tour_recipe import TourRecipe
from tests.cli.running import contents, run
from tests.strategies import said_lines

LINE = "x.x. xx.x x... x-x-"
WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=12)


@st.composite
def recipes(draw: st.DrawFn) -> ApplyRecipe:
    """Recipes with any words in any options."""
    values: dict[str, Any] = {"line": draw(WORDS), "as_": draw(WORDS)}
    for item in fields(ApplyRecipe):
        if item.name == "sums" or draw(st.booleans()):
            continue
        if isinstance(item.default, bool):
            values[item.name] = draw(st.booleans())
        elif "int" in str(item.type):
            values[item.name] = draw(st.integers(-99, 99))
        else:
            values[item.name] = draw(WORDS)
    return ApplyRecipe(**values)


@given(recipes())
def test_a_recipe_reads_back(recipe: ApplyRecipe) -> None:
    """Whatever stands in a recipe, it is one line that reads back equal and names the version."""
    text = str(recipe)
    assert len(text.splitlines()) == 1
    assert __version__ in text
    assert ApplyRecipe.parse(text) == recipe
    assert str(ApplyRecipe.parse(text)) == text


@given(recipes(), st.lists(st.one_of(WORDS, st.just("a, b.mid")), max_size=2))
def test_files_are_named_with_their_hashes(recipe: ApplyRecipe, names: list[str]) -> None:
    """A recipe whose line or kit is in a file says the file's hash, and says that it is from a file."""
    sums = tuple(f"{name} sha256:{'0123456789abcdef' * 4}" for name in names)
    named = replace(recipe, sums=sums)
    assert ApplyRecipe.parse(str(named)) == named
    assert named.from_file is bool(names)


def test_only_what_is_not_usual_is_said() -> None:
    """Options at their usual values are left out, in one fixed order otherwise."""
    plain = ApplyRecipe(line=LINE, as_="linear")
    assert [word for word in str(plain).split() if word.startswith("--")] == ["--as"]
    more = ApplyRecipe(line=LINE, as_="linear", seed=3, half_time=True, tempo="90", meter="3/4")
    options = [word for word in shlex.split(str(more), comments=True) if word.startswith("--")]
    assert options == ["--as", "--meter", "--tempo", "--half-time", "--seed"]


@pytest.mark.parametrize("kind", [ApplyRecipe, GridRecipe, TourRecipe, SeriesRecipe])
def test_options_are_named_as_on_the_command_line(kind: type[PageRecipe]) -> None:
    """Every field of a recipe is an option of the command it belongs to, with the same value where nobody says."""
    command = import_module(f"kitgen.cli.{kind.command}_command").command
    known = {name: parameter for parameter in command.params for name in parameter.opts}
    told = [item for item in fields(kind) if item.name not in (kind.argument, "sums")]
    assert {option_of(item.name) for item in told} <= set(known)
    for item in (item for item in told if item.name in {one.name for one in fields(PlayRecipe)}):
        parameter = known[option_of(item.name)]
        assert parameter.is_flag is isinstance(item.default, bool)
        usual = parameter.default if isinstance(parameter.default, str | int) else None
        assert parameter.is_flag or usual == item.default


@pytest.mark.parametrize("kind", [GridRecipe, TourRecipe])
def test_a_recipe_is_read_in_any_order(kind: type[PageRecipe]) -> None:
    """What commands share stands after what is a command's own, how pages look last; read back in any order."""
    values: dict[str, Any] = {"under": "samba", "tempo": "90", "paper": "a4", "stickings": "all", "pages": "3"}
    values |= {"moving": "LH"} if kind is GridRecipe else {}
    recipe = kind(**values)
    options = [word for word in shlex.split(str(recipe), comments=True) if word.startswith("--")]
    assert options[-5:] == ["--under", "--tempo", "--pages", "--stickings", "--paper"]
    words, comment = str(recipe).split("  # ")
    _, own, *rest = words.split(" --")
    turned = " --".join((words.split(" --")[0], *reversed((own, *rest))))
    assert turned != words
    assert kind.parse(f"{turned}  # {comment}") == recipe


@given(said_lines(), st.sampled_from(("alone", "limb", "hands", "linear")))
def test_a_page_is_made_again_from_its_recipe(line: object, name: str) -> None:
    """A page made of a typed line is made again, equal, from the recipe that stands on it."""
    from kitgen.line import Line

    assert isinstance(line, Line)
    if not line.notes and name != "alone":
        return
    recipe = ApplyRecipe(line=render(line), as_=name, meter=str(line.meters.only))
    page = page_of(recipe, line)
    assert remade(page.recipe) == page


@pytest.mark.parametrize(
    "options",
    [
        ("--as", "linear", "--order", "RH,LH,RF,LF", "--gaps", "filled"),
        ("--as", "linear", "--carry", "--seed", "7", "--tracks", "one"),
        ("--as", "limb", "--limb", "RF", "--tempo", "60..80:5", "--repeats", "2"),
        ("--as", "limb", "--under", "ride-swing", "--tempo", "140", "--player", "advanced", "--allow-unplayable"),
        ("--as", "limb", "--under", "RF bass x..x X..x; LF hat-foot ..x. ..x.", "--swing", "3:2", "--swing-unit", "16"),
        ("--as", "hands", "--sticking", "paradiddle", "--bars", "3"),
        ("--as", "groove", "--half-time", "--hand", "open", "--surface", "ride"),
        ("--as", "long-short", "--kit", "small", "--hand", "left"),
        ("--as", "all", "--meter", "4/4"),
    ],
    ids=" ".join,
)
def test_the_recipe_is_a_command(tmp_path: Path, options: tuple[str, ...]) -> None:
    """The recipe in the manifest, typed as a command, writes the same folder again."""
    import json

    assert run("apply", "1 & 2 e & a 3 4", *options, "--out", tmp_path / "one").code == 0
    manifest = json.loads((tmp_path / "one" / "manifest.json").read_text())
    words = shlex.split(manifest["recipe"], comments=True)
    assert words[:2] == ["kitgen", "apply"]
    assert run(*words[1:], "--out", tmp_path / "two").code == 0
    assert contents(tmp_path / "one") == contents(tmp_path / "two")
    for page in manifest["pages"]:
        assert str(ApplyRecipe.parse(page["recipe"])) == page["recipe"]
        assert remade(page["recipe"]).title == page["title"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no recipe of 'kitgen apply'"),
        ("kitgen demo", "no recipe of 'kitgen apply'"),
        ("something else", "no recipe of 'kitgen apply'"),
        ("kitgen apply 'x  # kitgen 0", "cannot read the recipe"),
    ],
)
def test_what_is_no_recipe(text: str, message: str) -> None:
    """Text that is no recipe is refused with what it is not."""
    with pytest.raises(ReadError, match=message):
        ApplyRecipe.parse(text)


def test_another_versions_recipe_is_refused() -> None:
    """Notes may differ between versions, so a recipe is made by its own."""
    text = str(ApplyRecipe(line=LINE, as_="linear")).replace(__version__, "99.0")
    with pytest.raises(ReadError, match=f"this recipe is of version 99.0, this is {__version__}"):
        ApplyRecipe.parse(text)


def test_a_recipe_with_a_stray_option_is_refused() -> None:
    """A word that is no option of the command, or no application, is an error."""
    text = str(ApplyRecipe(line=LINE, as_="linear"))
    with pytest.raises(ReadError, match="unknown option '--volume'"):
        ApplyRecipe.parse(text.replace("--as linear", "--as linear --volume 3"))
    with pytest.raises(ReadError, match="lacks --as"):
        ApplyRecipe.parse(text.replace(" --as linear", ""))


@pytest.mark.parametrize("value", ["three", "", "1.5"])
def test_a_number_that_is_none_is_refused(value: str) -> None:
    """A recipe changed by hand so that a number is none is no recipe."""
    text = str(ApplyRecipe(line=LINE, as_="linear", seed=3))
    with pytest.raises(ReadError):
        ApplyRecipe.parse(text.replace("--seed 3", f"--seed '{value}'"))


def test_a_line_from_a_file_is_not_made_again_from_text() -> None:
    """A recipe that names a file cannot be made without it."""
    recipe = ApplyRecipe(line="tune.mid", as_="linear", sums=("tune.mid sha256:0",))
    assert recipe.from_file
    with pytest.raises(ReadError, match="is in a file"):
        remade(str(page_of(recipe, parse(LINE)).recipe))
