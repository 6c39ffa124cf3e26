"""Players by name and from TOML files."""

import hashlib
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import ReadError, UnknownNameError
from kitgen.kit import PLAYERS, Limb, LimbProfile, Player, Rates
from kitgen.read.players import player_named, player_words, read_player
from tests.cli.running import run
from tests.strategies import fewer

SCHOOL = PLAYERS["school"]

GOOD = """
name = "the new student"
level = "beginner"

[hand]
sustained = 240
rebound = 120.5

[foot]
two = 260

[travel]
across = 320

[limbs.LF]
absent = true

[limbs.LH]
slow = true
single-strokes = true

[limbs.rh]
slow = 2
travel = false
"""


def written(folder: Path, text: str) -> Path:
    """A player file with this text."""
    path = folder / "student.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", list(PLAYERS))
def test_players_by_name(name: str) -> None:
    """Built-in players are found by name and named so in recipes."""
    assert player_named(name) is PLAYERS[name]
    assert player_words(name) == (name, ())


def test_a_player_from_a_file(tmp_path: Path) -> None:
    """A file gives what it gives, the level the rest; recipes name it by its hash."""
    path = written(tmp_path, GOOD)
    assert player_named(str(path)) == Player(
        "the new student",
        Rates(240, 200, 150, 120.5),
        Rates(350, 300, 260),
        150,
        320,
        (
            (Limb.RH, LimbProfile(slow=2, travels=False)),
            (Limb.LH, LimbProfile(slow=1.5, single=True)),
            (Limb.LF, LimbProfile(absent=True)),
        ),
    )
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    assert player_words(str(path)) == ("student.toml", (f"student.toml sha256:{digest}",))


@pytest.mark.parametrize(
    "text", ["", 'level = "school"', "[hand]", "[limbs.LF]\nslow = false\ntravel = true", "\ufeff"]
)
def test_a_file_that_says_nothing_is_the_school_player(tmp_path: Path, text: str) -> None:
    """What a file leaves out is the school player's; without a name it is called after its file."""
    assert read_player(written(tmp_path, text)) == replace(SCHOOL, name="student")


@pytest.mark.parametrize("level", list(PLAYERS))
def test_the_level_is_what_everything_else_starts_from(tmp_path: Path, level: str) -> None:
    """A file of nothing but a level is that level's player; the bounce can be taken away."""
    assert read_player(written(tmp_path, f'level = "{level}"')) == replace(PLAYERS[level], name="student")
    without = read_player(written(tmp_path, f'level = "{level}"\n[hand]\nrebound = false'))
    assert without.hand == replace(PLAYERS[level].hand, rebound=None)


@fewer
@given(
    level=st.sampled_from(list(PLAYERS)),
    gaps=st.lists(st.integers(20, 4000), min_size=4, max_size=4),
    ways=st.lists(st.integers(20, 4000), min_size=2, max_size=2),
    slow=st.integers(10, 100),
)
def test_every_value_a_player_can_hold_is_read(
    tmp_path_factory: pytest.TempPathFactory, level: str, gaps: list[int], ways: list[int], slow: int
) -> None:
    """Gaps, ways and profiles written out are read back, in whatever numbers."""
    sustained, few, two, rebound = sorted(gaps, reverse=True)
    near, far = sorted(ways)
    text = (
        f'level = "{level}"\n[hand]\nsustained={sustained}\nfew={few}\ntwo={two}\nrebound={rebound}\n'
        f"[travel]\nnext-drum={near}\nacross={far}\n[limbs.LF]\nslow={slow / 10}\nsingle-strokes=true\n"
    )
    profile = LimbProfile(slow=slow / 10, single=True)
    found = read_player(written(tmp_path_factory.mktemp("players"), text))
    assert found.hand == Rates(sustained, few, two, rebound)
    assert (found.next_drum, found.across) == (near, far)
    assert found.limbs == ((Limb.LF, profile),)
    assert found.foot == PLAYERS[level].foot


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("level = ", "a player is a TOML file"),
        ("level = 2", "level = 2; it is one of beginner, school, advanced, in quotes"),
        ('level = "schol"', "no level is called 'schol'; did you mean school?"),
        ('level = "x"', "no level is called 'x'; there are: beginner, school, advanced"),
        ("name = 3", "name = 3; a name is one line of text in quotes"),
        ('name = "two\\nlines"', "a name is one line of text"),
        ('name = " "', "a name is one line of text"),
        ('kit = "small"', "no key of a player file is called 'kit'; there are: name, level, hand, foot, travel, limbs"),
        ("[hands]\nfew = 1", "no key of a player file is called 'hands'; did you mean hand?"),
        ("[feet]\nfew = 1", "no key of a player file is called 'feet'; did you mean foot?"),
        ("[limb.LF]\nslow = 2", "no key of a player file is called 'limb'; did you mean limbs?"),
        ('hand = "left"', "hand = 'left'; \\[hand\\] is a table: milliseconds between strokes; which hand leads is"),
        ("[hand]\nthree = 100", "no key of \\[hand\\] is called 'three'; there are: sustained, few, two, rebound"),
        ("[hand]\nsustain = 100", "no key of \\[hand\\] is called 'sustain'; did you mean sustained?"),
        ('[hand]\nfew = "100"', "\\[hand\\] few = '100'; it is a number: milliseconds, such as 150"),
        ("[hand]\nfew = true", "\\[hand\\] few = true; it is a number"),
        ("[hand]\nfew = nan", "\\[hand\\] few = nan; it is a number"),
        ("[hand]\nfew = -inf", "\\[hand\\] few = -inf; it is a number"),
        ("[hand]\nfew = 1e99", "\\[hand\\] few = 1e\\+99; it is a number"),
        (f"[hand]\nfew = 0x{'f' * 4000}", "\\[hand\\] few = .{,70}; it is a number"),
        (f"[hand]\nfew = {'9' * 5000}", "a player is a TOML file"),
        ("[hand]\nfew = []", "\\[hand\\] few = \\[\\]; it is a number"),
        ("[hand]\nfew = 0", "\\[hand\\]: few of 0 ms; gaps between strokes are 20 to 4000 milliseconds"),
        ("[hand]\nrebound = true", "rebound = true; it is a number: milliseconds, such as 150, or false for none"),
        ("[hand]\nsustained = 110", "\\[hand\\]: gaps of 110 ms sustained, 125 for three or four"),
        ("[hand]\nsustained = 110", "it does not give is the school player's \\(few = 125, two = 90, rebound = 75\\)"),
        ("[foot]\ntwo = 300", "\\[foot\\]: gaps of 220 ms sustained, 185 for three or four, 300 for two"),
        ("[foot]\nacross = 300", "no key of \\[foot\\] is called 'across'"),
        ("travel = false", "travel = false; \\[travel\\] is a table"),
        ("[travel]\nnext = 90", "no key of \\[travel\\] is called 'next'; did you mean next-drum?"),
        ("[travel]\nnext-drum = 300", "\\[travel\\]: travel of 300 ms to the next drum and 200 across the kit"),
        ('[travel]\nacross = "far"', "\\[travel\\] across = 'far'; it is a number"),
        ("limbs = 4", "limbs = 4; \\[limbs\\] is a table"),
        ("[limbs]\nLF = false", "LF = false; \\[limbs.LF\\] is a table"),
        ("[limbs.LG]\nslow = 2", "no limb is called 'LG'; there are: RH, LH, RF, LF"),
        ('[limbs."left foot"]\nslow = 2', "no limb is called 'left foot'; did you mean LF?"),
        ("[limbs.left-foot]\nslow = 2", "no limb is called 'left-foot'; did you mean LF?"),
        ("[limbs.LF]\nslow = 2\n[limbs.lf]\nslow = 3", "\\[limbs.lf\\]: the left foot stands there twice"),
        ("[limbs.LF]\nslow = 0.5", "\\[limbs.LF\\] slow = 0.5; it is true for 1.5 times as long, or a number from 1"),
        ("[limbs.LF]\nslow = 11", "\\[limbs.LF\\] slow = 11; it is true for 1.5 times as long"),
        ('[limbs.LF]\nslow = "yes"', "\\[limbs.LF\\] slow = 'yes'; it is a number: true for 1.5"),
        ("[limbs.LF]\nabsent = 1", "\\[limbs.LF\\] absent = 1; it is true or false, without quotes"),
        ('[limbs.LF]\nabsent = "true"', "\\[limbs.LF\\] absent = 'true'; it is true or false, without quotes"),
        ("[limbs.LF]\ntravel = 100", "\\[limbs.LF\\] travel = 100; it is true or false"),
        ("[limbs.LF]\nsingle-stroke = true", "no key of \\[limbs.LF\\] is called 'single-stroke'; did you mean single"),
        ("[limbs.LF]\nsingle = true", "did you mean single-strokes?"),
        ("[limbs.LF]\nabsence = true", "did you mean absent?"),
        ("[foot]\nsustained = 3000\n[limbs.LF]\nslow = 2", "\\[limbs.LF\\] slow = 2: sustained of 6000 ms"),
        ("[limbs.LH]\nabsent = true\n[limbs.RH]\nabsent = true", "are both absent, and every page needs a hand"),
        ("a = " + "[" * 20000, "tables in tables without end"),
    ],
)  # fmt: skip
def test_what_is_no_player(tmp_path: Path, text: str, message: str) -> None:
    """Each error names the file, the key, what is wrong, and what is allowed, in one line."""
    path = written(tmp_path, text)
    with pytest.raises(ReadError, match=message) as caught:
        read_player(path)
    assert str(caught.value).startswith(f"{path}: ")
    assert len(str(caught.value).splitlines()) == 1


def test_players_that_are_not_there(tmp_path: Path) -> None:
    """A name that is no player's brings the nearest; a file that is not there is missed by name; bytes are no TOML."""
    with pytest.raises(UnknownNameError, match="did you mean school"):
        player_named("schools")
    for read in (player_named, player_words):
        with pytest.raises(ReadError, match="No such file"):
            read(str(tmp_path / "none.toml"))
        with pytest.raises(ReadError, match="a player is a TOML file"):
            read("not\0there.toml")
    (tmp_path / "folder.toml").mkdir()
    with pytest.raises(ReadError, match="Is a directory"):
        player_named(str(tmp_path / "folder.toml"))
    (tmp_path / "raw.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(ReadError, match="a player is a TOML file"):
        player_named(str(tmp_path / "raw.toml"))


_VALUES = st.one_of(
    st.booleans(), st.integers(-5, 5000), st.floats(), st.text(max_size=4), st.lists(st.integers(), max_size=2)
)


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + "".join(f"\\U{ord(char):08x}" for char in value) + '"'
    return str(value)


@given(
    st.dictionaries(
        st.sampled_from(("", "hand", "foot", "travel", "limbs", "limbs.LF", "limbs.RH", "limbs.LH", "hands")),
        st.dictionaries(
            st.sampled_from(
                ("name", "level", "sustained", "few", "two", "rebound", "next-drum", "across", "absent", "slow",
                 "single-strokes", "travel", "LF")
            ),
            _VALUES,
            max_size=3,
        ),
    )
)  # fmt: skip
@fewer
def test_any_file_is_a_player_or_a_read_error(
    tmp_path_factory: pytest.TempPathFactory, tables: dict[str, dict[str, object]]
) -> None:
    """Whatever values stand under whatever keys, the answer is a player that works or one error."""
    text = "".join(
        (f"[{name}]\n" if name else "") + "".join(f"{key} = {_toml(value)}\n" for key, value in table.items())
        for name, table in sorted(tables.items())
    )
    path = written(tmp_path_factory.mktemp("any"), text)
    try:
        found = read_player(path)
    except ReadError as error:
        found, message = None, str(error)
    else:
        message = f"{path}: "
    assert message.startswith(f"{path}: ")
    assert found is None or all(found.rates(limb).two >= 20 for limb in Limb)


def test_players_are_listed_with_their_numbers() -> None:
    """``kitgen list players`` gives a line a player, every number of theirs in it."""
    lines = run("list", "players").out.splitlines()
    assert [line.split()[0] for line in lines] == list(PLAYERS)
    for line, who in zip(lines, PLAYERS.values(), strict=True):
        rates = [gap for one in (who.hand, who.foot) for gap in (one.sustained, one.few, one.two, one.rebound) if gap]
        assert [int(word) for word in re.findall(r"\d+", line)] == [*rates, who.next_drum, who.across]
    assert "no rebound yet" in lines[0]
