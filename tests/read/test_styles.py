"""Styles from TOML: what is read, where an error is, the user's own files, the schema."""

import json
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from kitgen.errors import ReadError, UnknownNameError
from kitgen.pattern import Feel
from kitgen.read.style_files import grooves_folder, holds_styles, style_names
from kitgen.read.style_keys import PATTERN_KEYS, STYLE_KEYS, Key
from kitgen.read.styles import read_style, style_named, style_words, styles_in
from kitgen.styles import Clave, Role
from tests.styles.making import STYLE, style_file, style_of

ROWS = "LH snare     .. X. .. X."


def test_a_style_is_read(tmp_path: Path) -> None:
    """Every key comes to its place, and a pattern takes its source from the style."""
    style = style_of(
        tmp_path,
        ("leads", 'swing = "1.5:1"\nclave = { side = "3-2" }\ncount-in-bars = 2\nforms = ["aaba"]\nleads'),
        ('words = "ride and feet"', 'words = "ride and feet"\ntempo-high = 100\nsections = ["bridge"]'),
    )
    assert (style.name, style.title, str(style.meter), style.tempo.unit) == ("plain", "Plain time", "4/4", Fraction(1))
    assert (style.feel, style.clave, style.count_in_bars) == (Feel(8, Fraction(3, 2)), Clave("3-2", "son"), 2)
    assert [form.bars for form in style.form_values] == [32]
    groove = style.groove
    assert (groove.source, groove.tempo.high, groove.sections) == ("common practice", 100, ("bridge",))
    assert groove.pattern.feel == style.feel


def test_a_short_fill_lies_at_the_end_of_its_bar(tmp_path: Path) -> None:
    """A fill of one beat is a bar, silent until its beat, and begins there."""
    (fill,) = style_of(tmp_path).fills
    assert (fill.starts, fill.length, fill.beats) == (Fraction(3), Fraction(1), 1)
    assert [hit.onset for hit in fill.pattern.hits] == [3, Fraction(7, 2)]


@pytest.mark.parametrize(
    ("change", "line", "words"),
    [
        (("leads", "leeds"), 6, "key of a style is called 'leeds'; did you mean leads?"),
        (('role = "fill"', 'roll = "fill"'), 22, "key of a pattern is called 'roll'; did you mean role?"),
        (("low = 60", "lowest = 60"), 4, "key of a tempo is called 'lowest'"),
        (("low = 60", "low = 160"), 4, "slowest comes first"),
        (('meter = "4/4"', 'meter = "4/5"'), 3, "no meter 4/5"),
        (("boxes-a-beat = 2", "boxes-a-beat = [2, 2]"), 5, "one for each of the 4 of 4/4"),
        (('role = "fill"', 'role = "full"'), 22, "no role is called 'full'"),
        ((ROWS, "LH snare     .. X. .. X"), 15, "row 'LH snare', bar 1, beat 4: 'X' is 1 box; expected 2"),
        ((ROWS, "LH snare     .. X. .."), 15, "row 'LH snare', bar 1: 3 beats; a bar of 4/4 has 4"),
        ((ROWS, "LH snare     .. X. .. X. | .. X. .. X."), 15, "has 2 bars where 'RH ride' has 1"),
        ((ROWS, "LH snare     .. X. .. Q."), 15, "unknown character 'Q'"),
        ((ROWS, "LH snarr     .. X. .. X."), 15, "no surface is called 'snarr'; did you mean snare?"),
        ((ROWS, "RH snare     X. .. .. .."), 14, "one limb strikes once at an instant"),
        (('name = "fill"', 'name = "groove"'), 21, "two patterns are called 'groove'"),
        (('name = "fill"', 'name = "A fill"'), 21, "one lower-case-hyphenated word"),
        (('sources = ["common practice"]', "sources = []"), 7, "no sources"),
        (('sources = ["common practice"]', ""), 0, "no sources"),
        (('words = "ride and feet"', 'words = "ride"\ntempo-high = 180'), 13, "the style lives at 60 to 120"),
        (('words = "ride and feet"', 'words = "ride"\nlands = "time"'), 13, "only a fill lands"),
        (('words = "ride and feet"', 'words = "ride"\nsections = ["brigde"]'), 13, "did you mean bridge?"),
        (("leads", "crash-in-fills = 1\nleads"), 6, "true or false"),
        (("leads", 'forms = ["abba"]\nleads'), 6, "did you mean abac or aaba?"),
        (("leads", 'swing = "3:2:1"\nleads'), 6, "as a swing"),
        (("leads", 'micro-timing = "early"\nleads'), 6, "samba-pulse"),
    ],
)
def test_an_error_names_file_and_line(tmp_path: Path, change: tuple[str, str], line: int, words: str) -> None:
    """What is wrong is said with the file, the line where it stands, and what is allowed."""
    path = style_file(tmp_path, change)
    with pytest.raises(ReadError) as caught:
        read_style(path)
    message = str(caught.value)
    assert message.startswith(f"{path}, line {line}" if line else f"{path}: ")
    assert words in message


def test_a_pattern_is_named_in_its_error(tmp_path: Path) -> None:
    """Beside file and line the pattern's name is said."""
    with pytest.raises(ReadError, match="pattern 'groove'"):
        style_of(tmp_path, (ROWS, "LH snare     .. X. .. X"))


def test_tuplets_are_allowed_where_they_are_asked_for(tmp_path: Path) -> None:
    """A group of three in rows of two is an error unless the pattern says so."""
    triplet = ("LH snare     .. X. .. X.", "LH snare     .. X. .. X.x")
    with pytest.raises(ReadError, match=r"'X\.x' is 3 boxes; expected 2"):
        style_of(tmp_path, triplet)
    style = style_of(tmp_path, triplet, ('words = "ride and feet"', 'words = "ride and feet"\nalso-boxes = [3]'))
    assert style.groove.pattern.hits[-1].onset == 3 + Fraction(2, 3)


def test_unequal_beats_have_boxes_of_their_own(tmp_path: Path) -> None:
    """In 7/8 each beat has its boxes, and a fill of one beat is the last, the long one."""
    path = tmp_path / "seven.toml"
    path.write_text(
        """
title = "Seven"
words = "seven eighths"
meter = "7/8"
tempo = { low = 220, high = 400, unit = "eighth" }
boxes-a-beat = [2, 2, 3]
sources = ["common practice"]
[[pattern]]
name = "groove"
role = "groove"
words = "eighths"
rows = "RH ride xx xx xxx"
[[pattern]]
name = "fill"
role = "fill"
words = "the last group"
rows = "LH snare xxX"
""",
        "utf-8",
    )
    style = read_style(path)
    assert (style.fills[0].starts, style.fills[0].length) == (Fraction(2), Fraction(3, 2))


@pytest.mark.parametrize(
    "text", ["", "title", "[[pattern]]\n", "pattern = 3\n", 'title = 3\nwords = "x"', "\0", "\N{BYTE ORDER MARK}a = 1"]
)
def test_what_is_no_style_is_one_clear_error(tmp_path: Path, text: str) -> None:
    """A file of something else is an error that names the file."""
    path = tmp_path / "other.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(ReadError, match=r"other\.toml"):
        read_style(path)


def test_every_cut_of_a_style_is_read_or_refused(tmp_path: Path) -> None:
    """A file that breaks off anywhere gives a style or the error of a file that is none, nothing else."""
    path = tmp_path / "cut.toml"
    for end in range(0, len(STYLE), 7):
        path.write_text(STYLE[:end], "utf-8")
        with suppress(ReadError):
            read_style(path)


def test_an_unknown_style_names_the_nearest() -> None:
    """A slip in the name of a style is answered with the style that is meant."""
    with pytest.raises(UnknownNameError, match="did you mean samba"):
        style_named("smaba")


def test_a_style_of_ones_own_is_read_from_file_and_folder(tmp_path: Path) -> None:
    """A path is read like a name; a folder gives all its styles in order; recipes name the file with its hash."""
    path = style_file(tmp_path, name="zz-own")
    style_file(tmp_path, name="own")
    assert style_named(str(path)).name == "zz-own"
    assert [style.name for style in styles_in(tmp_path)] == ["own", "zz-own"]
    assert holds_styles(tmp_path)
    words, sums = style_words(str(path))
    assert words == "zz-own.toml"
    assert "sha256:" in sums[0]
    with pytest.raises(ReadError, match="no style in it"):
        styles_in(tmp_path / "nothing")


def test_a_file_is_named_like_a_style(tmp_path: Path) -> None:
    """A file whose name is no style's name is refused."""
    with pytest.raises(ReadError, match="named after its file"):
        style_of(tmp_path, name="My Style")


def test_the_library_is_found() -> None:
    """The styles of the library are beside the package, with the schema."""
    assert {"rock", "swing", "bossa", "samba", "shuffle", "songo"} <= set(style_names())
    assert (grooves_folder() / "style.schema.json").is_file()


# ---- the schema ------------------------------------------------------------------------------------------------------


def schema() -> dict[str, Any]:
    """What the schema says."""
    return dict(json.loads((grooves_folder() / "style.schema.json").read_text("utf-8")))


_TYPES = {
    "words": "string", "rows": "string", "list": "array", "number": "number", "truth": "boolean", "table": "object",
    "tables": "array",
}  # fmt: skip


@pytest.mark.parametrize("part", ["style", "pattern"])
def test_the_schema_has_the_readers_keys(part: str) -> None:
    """Schema and reader name the same keys, need the same ones, say the same of them and allow the same words."""
    keys, table = (STYLE_KEYS, schema()) if part == "style" else (PATTERN_KEYS, schema()["$defs"]["pattern"])
    assert table["additionalProperties"] is False
    assert list(table["properties"]) == list(keys)
    assert set(table["required"]) == {name for name, key in keys.items() if key.needed}
    for name, key in keys.items():
        _agrees(table["properties"][name], key)


def _agrees(said: dict[str, Any], key: Key) -> None:
    assert said["description"] == key.words
    if key.kind == "numbers":
        assert [one["type"] for one in said["anyOf"]] == ["integer", "array"]
    elif key.kind == "number":
        assert said["type"] in ("number", "integer")
    else:
        assert said["type"] == _TYPES[key.kind]
    allowed = said.get("items", said).get("enum", [])
    assert tuple(map(str, allowed)) == key.allowed


def test_what_the_schema_needs_the_reader_needs(tmp_path: Path) -> None:
    """A style without a key that the schema requires is refused, by the name of the key."""
    lines = {"title": 0, "words": 1, "meter": 2, "tempo": 3, "boxes-a-beat": 4, "sources": 6}
    for key in set(schema()["required"]) - {"pattern"}:
        text = STYLE.splitlines()
        del text[lines[key]]
        path = tmp_path / "short.toml"
        path.write_text("\n".join(text), "utf-8")
        with pytest.raises(ReadError, match=key):
            read_style(path)


def test_the_schema_has_the_roles() -> None:
    """Roles in the schema are those of the values."""
    assert schema()["$defs"]["pattern"]["properties"]["role"]["enum"] == [role.value for role in Role]
