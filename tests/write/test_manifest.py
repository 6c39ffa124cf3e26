"""The folder of a command: what the manifest says of it is so, and the index shows it."""

import hashlib
import json
import re
from collections.abc import Sequence
from fractions import Fraction
from html.parser import HTMLParser
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen import __version__
from kitgen.errors import OptionError
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Feel, Pattern, parse_rows
from kitgen.time import Meter, Meters
from kitgen.write.manifest import Folder, file_stem, folder_files, kinds_of

F = Fraction
WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), max_size=20)
PAGE_KEYS = [
    "number", "title", "slug", "recipe", "meter", "bars", "swing", "clave", "tempo", "elements", "new", "rows", "files",
    "sha256",
]  # fmt: skip


def page_of(title: str = "A page", *, feel: Feel | None = None, clave: str | None = None) -> Page:
    """A page of two rows."""
    p = parse_rows("RF bass x x x x")
    p = p if feel is None else p.with_feel(feel)
    rows = (Row("once", p), Row("twice", p * 2))
    return Page(title, "Play.", rows, Tempo(60, 90, 40, 120), "kitgen", clave=clave)


def written(pages: Sequence[Page], elements: Sequence[tuple[str, ...]] | None = None, **more: Any) -> dict[str, bytes]:
    """The files of a folder of pages."""
    return folder_files(Folder("a folder", "kitgen", pages, elements or [()] * len(pages), **more))


def manifest_of(files: dict[str, bytes]) -> dict[str, Any]:
    """The manifest among files."""
    found: dict[str, Any] = json.loads(files["manifest.json"])
    return found


def test_the_manifest_has_the_agreed_keys() -> None:
    """Every key there is, and no other, with values of the agreed kinds."""
    files = written(
        [page_of(feel=Feel(8, F(2)), clave="3-2")], [("meter 4/4", "cell RF x")], refused=[("groove", "no")]
    )
    manifest = manifest_of(files)
    assert list(manifest) == ["kitgen", "recipe", "known", "refused", "pages"]
    assert manifest["known"] == []
    assert manifest["kitgen"] == __version__
    assert manifest["refused"] == [{"as": "groove", "why": "no"}]
    (entry,) = manifest["pages"]
    assert set(PAGE_KEYS) <= set(entry)
    assert (entry["number"], entry["title"], entry["slug"], entry["meter"]) == (1, "A page", "a-page", "4/4")
    assert (entry["bars"], entry["clave"]) == (3, "3-2")
    assert entry["swing"] == {"unit": 8, "ratio": "2:1"}
    assert entry["tempo"] == {"start": 60, "goal": 90, "low": 40, "high": 120, "unit": "quarter"}
    assert entry["elements"] == ["meter 4/4", "cell RF x"]
    assert entry["rows"] == [
        {"label": "once", "first_bar": 1, "bars": 1},
        {"label": "twice", "first_bar": 2, "bars": 2},
    ]
    assert set(entry["files"]) == set(entry["sha256"]) >= {"mid", "play", "txt"}


def test_what_is_even_has_no_swing() -> None:
    """An even page without a clave says null for both."""
    (entry,) = manifest_of(written([page_of()]))["pages"]
    assert entry["swing"] is None
    assert entry["clave"] is None


@given(st.lists(WORDS, min_size=1, max_size=3), st.sampled_from((("mid",), ("txt",), ("mid", "txt"))))
def test_every_file_is_named_and_hashed(titles: list[str], kinds: tuple[str, ...]) -> None:
    """Every file of a page is in the folder under the relative name the manifest gives, with the hash it gives."""
    files = written([page_of(title) for title in titles], kinds=kinds)
    named = {"manifest.json", "index.html"}
    for entry in manifest_of(files)["pages"]:
        assert set(entry["files"]) == ({"mid", "play"} if "mid" in kinds else set()) | ({"txt"} & set(kinds))
        for kind, name in entry["files"].items():
            assert re.fullmatch(r"[a-z0-9._-]+", name)
            assert hashlib.sha256(files[name]).hexdigest() == entry["sha256"][kind]
            named.add(name)
    assert set(files) == named
    assert len(files) == len(titles) * (len(entry["files"])) + 2


def test_new_elements_are_those_not_met_before() -> None:
    """A page's new elements are the ones no earlier page of the folder had."""
    pages = [page_of(title) for title in ("one", "two", "three")]
    entries = manifest_of(written(pages, [("a", "b"), ("b", "c"), ("a", "c")]))["pages"]
    assert [entry["new"] for entry in entries] == [["a", "b"], ["c"], []]


def test_what_is_taken_for_granted_is_not_new() -> None:
    """Known elements, and what they teach, are new on no page; a folder under the rule says that it is."""
    pages = [page_of(title) for title in ("one", "two")]
    elements = [("cell LH x", "rest 4 bars"), ("cell LH x", "rest 6 bars")]
    files = written(pages, elements, known=("sound LH snare",), one_new=True, numbers=(7, 120))
    manifest = manifest_of(files)
    assert (manifest["known"], manifest["one_new"]) == (["sound LH snare"], True)
    assert [entry["new"] for entry in manifest["pages"]] == [["rest 4 bars"], ["rest 6 bars"]]
    assert [entry["number"] for entry in manifest["pages"]] == [7, 120]
    assert [entry["files"]["txt"][:4] for entry in manifest["pages"]] == ["007-", "120-"]
    assert "007-one-60bpm-4-4-3bars.txt" in written(pages[:1], numbers=(7,), of=120)


@pytest.mark.parametrize(
    ("page", "number", "stem"),
    [
        (page_of("Linear: RH, LH"), 1, "01-linear-rh-lh-60bpm-4-4-3bars"),
        (page_of("x", clave="2-3"), 12, "12-x-60bpm-4-4-3bars-clave-2-3"),
        (
            Page("y", "", (Row("a", Pattern((), Meters.of(Meter(6, 8)))),), Tempo.at(62.5, F(3, 2))),
            3,
            "03-y-62_5bpm-6-8-1bar",
        ),
    ],
)
def test_file_names(page: Page, number: int, stem: str) -> None:
    """A file is named by number, title, bpm, meter, bars and clave."""
    assert file_stem(page, number) == stem


def test_the_same_pages_are_the_same_bytes() -> None:
    """Nothing in a folder depends on when or where it is written."""
    assert written([page_of("one"), page_of("two")]) == written([page_of("one"), page_of("two")])


def test_kinds() -> None:
    """Kinds of file are named once each, in any order; others are refused with those there are."""
    assert kinds_of("txt, mid,txt") == ("txt", "mid")
    with pytest.raises(OptionError, match="no file of kind 'wave' is written; there are mid, txt"):
        kinds_of("mid,wave")
    with pytest.raises(OptionError, match="--to names nothing"):
        kinds_of(" , ")


# ---- the index -------------------------------------------------------------------------------------------------------


class Links(HTMLParser):
    """What an HTML page links to and loads, and its text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.loaded: list[str] = []
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note where a tag points."""
        for name, value in attrs:
            if name == "href" and tag == "a" and value:
                self.links.append(value)
            elif name in ("src", "href") and value:
                self.loaded.append(value)

    def handle_data(self, data: str) -> None:
        """Keep the text."""
        self.words.append(data)


@given(WORDS, WORDS)
def test_the_index_shows_every_page(title: str, reason: str) -> None:
    """The index links every file, loads nothing, and shows any title and reason as they are."""
    pages = [page_of(title), page_of("second")]
    files = written(pages, refused=[("groove", reason)])
    index = Links(files["index.html"].decode())
    named = {name for entry in manifest_of(files)["pages"] for name in entry["files"].values()}
    assert {link for link in index.links if not link.startswith("#")} == named
    assert index.loaded == []
    assert sum(pages[0].title in words for words in index.words) >= 1
    assert any(reason in words for words in index.words)


def test_the_index_speaks_of_loudness() -> None:
    """Loud material carries the caution."""
    assert b"wear hearing protection" in written([page_of()])["index.html"]
