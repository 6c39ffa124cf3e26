"""Scores, pictures, sheets and books of a folder: there as asked, told in manifest and index, the same by any way."""

import hashlib
import io
import json
import pickle
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from fractions import Fraction
from multiprocessing import get_context
from typing import Any

import pypdf
import pytest
from defusedxml.ElementTree import fromstring

from kitgen.errors import KitgenError, RefusedError, UnknownNameError, WriteError
from kitgen.kit import Limb
from kitgen.page import Page, Row, Tempo
from kitgen.pattern import Hit, Pattern, parse_rows
from kitgen.spell import Choices
from kitgen.time import Meter, Meters
from kitgen.write import engraving, pdf
from kitgen.write.manifest import Folder, folder_files
from kitgen.write.paper import Paper

F = Fraction
ROWS = "RH snare x.x. .x.x x... x..x; RF bass x... x... x... x..."


def page_of(title: str, rows: str = ROWS, **more: Any) -> Page:
    """A page of one row."""
    return Page(title, "Play.", (Row("once", parse_rows(rows)),), Tempo(60, 90, 40, 120), f"kitgen {title}", **more)


def unspellable(title: str) -> Page:
    """A page whose second stroke stands where no note value does."""
    hits = (Hit(F(0), Limb.RH, "snare"), Hit(F(16, 17), Limb.RH, "snare"))
    return Page(title, "Play.", (Row("odd", Pattern(hits, Meters.of(Meter(4, 4)))),), Tempo(60, 90, 40, 120), "kitgen")


def written(pages: Sequence[Page], *kinds: str, title: str = "A small book", **more: Any) -> dict[str, bytes]:
    """The files of a folder of pages."""
    return folder_files(Folder(title, "kitgen", pages, [()] * len(pages), kinds=kinds, **more))


def manifest_of(files: dict[str, bytes]) -> dict[str, Any]:
    """The manifest among files."""
    found: dict[str, Any] = json.loads(files["manifest.json"])
    return found


def text_of(data: bytes) -> str:
    """The text of a PDF, without white space."""
    return "".join("".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(data)).pages)


def test_a_page_in_every_kind() -> None:
    """Every kind asked for is a file of the page, told with its hash and linked; a book is of the folder."""
    files = written([page_of("One"), page_of("Two")], "musicxml", "mxl", "svg", "pdf", "book")
    manifest = manifest_of(files)
    index = files["index.html"].decode()
    assert [list(entry["files"]) for entry in manifest["pages"]] == [["musicxml", "mxl", "svg", "pdf"]] * 2
    for entry in manifest["pages"]:
        for kind, name in entry["files"].items():
            assert name.endswith(f".{kind}")
            assert hashlib.sha256(files[name]).hexdigest() == entry["sha256"][kind]
            assert f'href="{name}"' in index
        fromstring(files[entry["files"]["svg"]])
        assert entry["title"] in text_of(files[entry["files"]["pdf"]])
    assert manifest["book"] == {
        "file": "a-small-book.pdf", "sha256": hashlib.sha256(files["a-small-book.pdf"]).hexdigest(),
    }  # fmt: skip
    assert 'href="a-small-book.pdf"' in index
    assert all(word in text_of(files["a-small-book.pdf"]) for word in ("One", "Two", "Asmallbook"))


def test_chapters_are_in_book_manifest_and_index() -> None:
    """A chapter is told with the first of its pages that is there; one of which none is there is left out."""
    pages = [page_of("Three"), page_of("Four"), page_of("Nine")]
    chapters = [("Claps <b>", 1), ("Rests", 4), ("Feet", 5), ("Kit", 9)]
    files = written(pages, "book", numbers=(3, 4, 9), chapters=chapters, of=9)
    assert manifest_of(files)["chapters"] == [
        {"title": "Claps <b>", "page": 3}, {"title": "Rests", "page": 4}, {"title": "Kit", "page": 9},
    ]  # fmt: skip
    index = files["index.html"].decode()
    assert [
        index.index(words) for words in ("<h2>Claps &lt;b&gt;", ">Three<", "<h2>Rests", ">Four<", "<h2>Kit")
    ] == sorted(index.index(words) for words in ("<h2>Claps &lt;b&gt;", ">Three<", "<h2>Rests", ">Four<", "<h2>Kit"))
    assert "Feet" not in index
    outline = [str(item.title) for item in flat(pypdf.PdfReader(io.BytesIO(files["a-small-book.pdf"])).outline)]
    assert [title for title in outline if title in ("Claps <b>", "Rests", "Feet", "Kit")] == [
        "Claps <b>",
        "Rests",
        "Kit",
    ]


def flat(outline: Any) -> list[Any]:
    """An outline without its levels."""
    return [one for item in outline for one in (flat(item) if isinstance(item, list) else [item])]


def test_a_book_is_named_like_no_other_file() -> None:
    """A title that is already the name of another file gives the book another."""
    files = written([page_of("One")], "book", title="Songs", more={"songs.pdf": b"mine"})
    assert files["songs.pdf"] == b"mine"
    assert manifest_of(files)["book"]["file"] == "book-songs.pdf"


def test_one_page_of_many_that_cannot_be_written() -> None:
    """It keeps what can be written; manifest and index say why there is no more, and the book is of the others."""
    files = written([page_of("One"), unspellable("Odd"), page_of("Two")], "mid", "txt", "musicxml", "book")
    one, odd, _ = manifest_of(files)["pages"]
    assert "not_written" not in one
    assert set(odd["files"]) == {"mid", "play", "txt"}
    assert list(odd["not_written"]) == ["musicxml", "book"]
    assert "row 'odd', bar 1, count \"1\"" in odd["not_written"]["musicxml"]
    assert "No score of this page: row " in files["index.html"].decode()
    words = text_of(files["a-small-book.pdf"])
    assert "One" in words
    assert "Odd" not in words


def test_no_page_that_can_be_written() -> None:
    """Where none can, nothing is made, and the first is told."""
    with pytest.raises(RefusedError, match=r"^--to musicxml: Odd: row 'odd', bar 1, count \"1\": "):
        written([unspellable("Odd")], "mid", "musicxml")
    with pytest.raises(RefusedError, match=r"^--to svg,book: no page can be written so; Odd: row "):
        written([unspellable("Odd"), unspellable("Even")], "svg", "book")
    assert written([unspellable("Odd")], "mid", "txt")


def test_choices_and_paper_reach_every_kind() -> None:
    """How pages are written and printed changes each file it shapes, and no other."""
    usual = written([page_of("One")], "txt", "musicxml", "svg", "pdf")
    for more, changed in (
        ({"choices": Choices(stickings="all")}, {".musicxml", ".svg", ".pdf"}),
        ({"paper": Paper("a4", "large")}, {".svg", ".pdf"}),
    ):
        other = written([page_of("One")], "txt", "musicxml", "svg", "pdf", **more)
        differ = {name[name.rindex(".") :] for name in usual if usual[name] != other[name]}
        assert differ - {".json"} == changed


@pytest.mark.slow
def test_side_by_side_is_the_same() -> None:
    """Written by several threads or processes, every byte is as one process writes it; progress is told in order."""
    pages = [page_of(f"Page {number}", ROWS.replace("x..x", "x.xx") if number % 2 else ROWS) for number in range(6)]
    pages.insert(3, unspellable("Odd"))
    folder = Folder("A book", "kitgen", pages, [()] * 7, kinds=("mid", "musicxml", "svg", "pdf", "book"))
    alone = folder_files(folder)
    told: list[tuple[int, int]] = []
    with ProcessPoolExecutor(2, get_context("spawn")) as executor:
        assert folder_files(folder, executor=executor, told=lambda *done: told.append(done)) == alone
    assert told == [(number, 7) for number in range(1, 8)]
    with ThreadPoolExecutor(2) as threads:
        assert folder_files(folder, executor=threads) == alone


def test_a_process_that_dies_is_told() -> None:
    """A process that is gone in the middle is an error with words."""
    from concurrent.futures import Executor
    from concurrent.futures.process import BrokenProcessPool

    class Broken(Executor):
        """An executor whose processes are gone."""

        def map(self, *_: object, **__: object) -> Any:
            """Give up."""
            raise BrokenProcessPool("gone")

    folder = Folder("A book", "kitgen", [page_of("One")], [()], kinds=("svg",))
    with pytest.raises(WriteError, match=r"ended before it was done \(gone\); use fewer --jobs"):
        folder_files(folder, executor=Broken())


@pytest.mark.parametrize(("module", "name"), [(engraving, "engrave"), (pdf, "sheets_pdf")])
def test_what_cannot_be_engraved_or_set(monkeypatch: pytest.MonkeyPatch, module: object, name: str) -> None:
    """Fonts that fail, an engraver that fails: an error with words, and no files at all."""

    def failing(*_: object, **__: object) -> None:
        raise WriteError("the fonts cannot be read")

    monkeypatch.setattr(module, name, failing)
    with pytest.raises(WriteError, match="fonts cannot be read"):
        written([page_of("One")], "mid", "pdf")


def errors() -> list[KitgenError]:
    """An error of every kind there is."""
    kinds, found = [KitgenError], list[KitgenError]()
    while kinds:
        kind = kinds.pop()
        kinds += kind.__subclasses__()
        names = ("row", "on 2", ("on 1", "on 3")) if kind is UnknownNameError else ("it is wrong; do this",)
        found.append(kind(*names))
    return found


@pytest.mark.parametrize("error", errors(), ids=lambda error: type(error).__name__)
def test_errors_come_out_of_other_processes(error: KitgenError) -> None:
    """An error met while pages are written side by side is told as it would be by one process."""
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is type(error)
    assert str(again) == str(error)
