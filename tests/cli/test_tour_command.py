"""``kitgen tour``: folders that check proves, recipes that make a page again, refusals in words."""

import json
import shlex
from pathlib import Path

import pytest

from kitgen.make.again import made_again
from kitgen.make.tour_recipe import TourRecipe
from kitgen.make.toured import surfaces_named, toured
from kitgen.pattern import mirror
from kitgen.pattern.load import load_of
from tests.cli.running import contents, run
from tests.test_imports import HEAVY, loaded_by

WAYS = [
    (),
    ("--limbs", "RH,LH"),
    ("--limbs", "RF,LF", "--subdivision", "8ths"),
    ("--limbs", "LH", "--under", "samba"),
    ("--under", "bossa", "--meter", "2/2"),
    ("--under", "ride-swing"),
    ("--under", "ride-swing", "--subdivision", "triplets", "--swing", "even"),
    ("--under", "RF bass x.x. x..x", "--limbs", "LH,RH", "--meter", "2/4"),
    ("--limbs", "RH,LH,RF", "--no-silence"),
    ("--limbs", "RH,LH,RF", "--no-triples", "--seed", "5"),
    ("--limbs", "RH,LH,RF", "--playable", "--tempo", "110"),
    ("--limbs", "RH,LH", "--meter", "7/8", "--hand", "left", "--tracks", "one"),
    ("--limbs", "RH,LH", "--meter", "6/8", "--surface", "RH=floor-tom,LH=high-tom"),
    ("--limbs", "RH,LH", "--swing", "2:1", "--subdivision", "8ths", "--tempo", "60..80:10", "--repeats", "2"),
    ("--kit", "small", "--player", "beginner"),
]
SHORT = [way for way in WAYS if way not in ((), ("--kit", "small", "--player", "beginner"))]


@pytest.mark.parametrize("options", WAYS, ids=" ".join)
def test_what_is_written_is_proved(tmp_path: Path, options: tuple[str, ...]) -> None:
    """Whatever is asked for, check finds nothing in the folder."""
    assert run("tour", *options, "--out", tmp_path).code == 0
    ran = run("check", tmp_path)
    assert (ran.code, ran.out) == (0, f"{tmp_path}: ok, nothing found\n")


@pytest.mark.parametrize("options", SHORT, ids=" ".join)
def test_a_page_is_made_again_from_its_recipe(tmp_path: Path, options: tuple[str, ...]) -> None:
    """Typed as a command, the recipe of the last page writes that page's files again, and no other."""
    assert run("tour", *options, "--out", tmp_path / "all").code == 0
    entry = json.loads((tmp_path / "all" / "manifest.json").read_text())["pages"][-1]
    words = shlex.split(entry["recipe"], comments=True)
    assert run(*words[1:], "--out", tmp_path / "one").code == 0
    one, every = contents(tmp_path / "one"), contents(tmp_path / "all")
    assert [name for name in one if name.endswith((".mid", ".txt"))] == sorted(entry["files"].values())
    loops = [name for name in entry["files"].values() if ".play." not in name]
    assert all(one[name] == every[name] for name in loops)
    assert str(TourRecipe.parse(entry["recipe"])) == entry["recipe"]
    assert made_again(entry["recipe"]).title == entry["title"]


def test_the_four_limb_tour() -> None:
    """Asked for nothing else, the pages lead from the sets to all changes of four limbs, 16 bars started at 50."""
    page = toured(TourRecipe()).pages[-1]
    assert page.title == "Every change of four limbs"
    assert (len(page.bars), page.tempo.start) == (16, 50)
    assert page.pattern.limbs == (0, 1, 2, 3)
    assert {hit.surface for hit in page.pattern.hits} == {"ride", "snare", "bass", "hat-foot"}


def test_without_a_ride_the_foot_keeps_the_hat() -> None:
    """On a kit without a ride the hand is not on the hat that the foot plays; where no foot does, it is."""
    hands = TourRecipe(kit="small", pages="2")
    assert {hit.surface for hit in toured(hands).pages[0].pattern.hits} == {"snare"}
    alone = TourRecipe(kit="small", limbs="RH,LH", pages="2")
    assert {hit.surface for hit in toured(alone).pages[0].pattern.hits} == {"closed-hat", "snare"}


def test_headings_and_titles(tmp_path: Path) -> None:
    """A heading stands on every page, a title over the index."""
    words = ("--limbs", "RH,LH", "--heading", "Alder Bay Middle School, period 3", "--title", "Hands and nothing else")
    assert run("tour", *words, "--out", tmp_path).code == 0
    texts = [path.read_text() for path in tmp_path.glob("*.txt")]
    assert len(texts) == 2
    assert all("heading: Alder Bay Middle School, period 3" in text for text in texts)
    assert "Hands and nothing else" in (tmp_path / "index.html").read_text()


def test_unplayable_pages_say_so() -> None:
    """Kept against the player's limits, a page says what is too fast."""
    ran = run("tour", "--limbs", "RH,RF", "--tempo", "200", "--allow-unplayable", "--print")
    assert ran.code == 0
    assert "not for the school player" in ran.out


def test_a_tempo_nobody_named_is_lowered() -> None:
    """For a beginner the goal comes down and the page says why; the start stays in reach."""
    page = toured(TourRecipe(player="beginner")).pages[-1]
    assert page.tempo.goal < 70
    assert any("for the beginner player" in note for note in page.notes)


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ("--limbs RH", "one limb changes only between a stroke and a rest"),
        ("--limbs ,", "names no limb"),
        ("--limbs RH,LH,RH", "each once"),
        ("--limbs RH,XX", "no limb is called 'XX'"),
        ("--limbs RF,LH --under samba", "right foot (RF) cannot move, it is busy"),
        ("--under sambaa", "did you mean samba"),
        ("--subdivision 16 --limbs RH,LH", "did you mean 16ths"),
        ("--subdivision triplets --under samba", "use --subdivision 16ths"),
        ("--limbs RH,LH --surface snare", "say which limb, such as RH=snare"),
        ("--limbs RH,LH --surface RF=bass", "RF does not tour"),
        ("--limbs LH --under samba --surface RH=snare", "only LH does"),
        ("--limbs RH,LH --surface LH=bass", "cannot play bass"),
        ("--no-triples --no-silence", "leave out --under and --no-silence"),
        ("--limbs RH,LH,RF --tempo 120", "leave such changes out with --playable"),
        ("--limbs RH,LH,RF --tempo 220 --playable", "cannot even play every second one"),
        ("--pages 7", "there are pages 1 to 4"),
        ("--swing 2:1 --meter 6/8", "cannot swing"),
        ("--tracks two", "two"),
        ("--to pdff", "pdff"),
    ],
)
def test_refusals(options: str, message: str) -> None:
    """What cannot be is refused in one line that says what would work."""
    assert message in run("tour", *options.split(), "--print").error


def test_surfaces_by_limb() -> None:
    """A surface is named with its limb, or alone for the only one."""
    from kitgen.kit import Limb

    assert surfaces_named("LH=snare, RH=ride", (Limb.RH, Limb.LH)) == {Limb.LH: "snare", Limb.RH: "ride"}
    assert surfaces_named("floor-tom", (Limb.LH,)) == {Limb.LH: "floor-tom"}
    assert surfaces_named(None, (Limb.LH,)) == {}


def test_a_tour_loads_nothing_heavy() -> None:
    """A tour without rules that need a flow is made with this package and the standard library."""
    assert not loaded_by("tour", "--limbs", "RH,LH", "--print") & (HEAVY | {"networkx"})
    assert not loaded_by("tour", "--help") & HEAVY


@pytest.mark.parametrize("seed", range(4))
def test_the_coordination_load_goes_up(seed: int) -> None:
    """By the measure of coordination load, which the tour's own preference does not use, later rows ask more."""
    rows = [load_of(row.pattern).total for row in toured(TourRecipe(pages="4", seed=seed)).pages[0].rows]
    assert rows[0] == min(rows)
    assert sum(rows[:2]) < sum(rows[2:])


def test_left_handed_pages_are_mirrored() -> None:
    """For a left-handed kit every page is the right-handed one with left and right swapped."""
    for plain, swapped in zip(toured(TourRecipe()).pages, toured(TourRecipe(hand="left")).pages, strict=True):
        assert mirror(plain.pattern) == swapped.pattern
