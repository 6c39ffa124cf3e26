"""Unsound score files are refused in one sentence, nothing is fetched, and no library's failure gets through."""

import socket
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from typing import NoReturn

import pytest

from kitgen.errors import ReadError
from kitgen.read import score_files
from kitgen.read.scores import line_from_score, score_parts
from tests.read.musicxml_text import note, read, rest, score, zipped

DATA = Path(__file__).resolve().parent.parent / "data"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a test writes its score."""
    return tmp_path / "alder bay.musicxml"


DOCTYPE = '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "{}">'
LAUGHS = '<!DOCTYPE lolz [<!ENTITY a "ha">{}]>'.format(
    "".join(f'<!ENTITY {chr(98 + n)} "{10 * f"&{chr(97 + n)};"}">' for n in range(9))
)
BAD_TEXTS = {
    "empty": ("", "is empty"),
    "blank": (" \n", "is empty"),
    "no XML": ("4 8 8 4. 8", "is not well-formed XML"),
    "cut off": (score([note(16)])[:-30], "is not well-formed XML"),
    "other XML": ("<html><body/></html>", "is XML but no score .its root is 'html'."),
    "entities": (LAUGHS + "<score-partwise>&j;</score-partwise>", "declares XML entities"),
    "outside entity": (
        '<!DOCTYPE x [<!ENTITY f SYSTEM "file:///etc/hostname">]><score-partwise><part><measure>&f;</measure></part></score-partwise>',
        "declares XML entities",
    ),
    "parameter entity": (
        '<!DOCTYPE x [<!ENTITY % p SYSTEM "http://localhost/x">%p;]><score-partwise/>',
        "declares XML entities",
    ),
    "unknown encoding": ('<?xml version="1.0" encoding="martian"?><score-partwise/>', "is not well-formed XML"),
    "no parts": ("<score-partwise/>", "has no parts"),
    "no notes": (score([rest(16)], [note(16)]), "has no notes in part 'Part 1'; its other parts are Part 2"),
    "no measures": (score([]), "has no notes in part 'Part 1'"),
    "no duration": (score(["<note><pitch/></note>"]), "bar 1 has duration ''"),
    "odd duration": (score([note(16).replace("16", "1e999999")]), "bar 1 has duration '1e999999'"),
    "no divisions": (score([note(16)], divisions=0), "bar 1 has divisions '0'"),
    "odd meter": (score([note(16)], time="4/5"), "bar 1 has the time signature '4/5', which is no meter"),
    "back too far": (
        score([note(4) + "<backup><duration>5</duration></backup>" + note(4)]),
        "bar 1 goes back to before",
    ),
}


@pytest.mark.parametrize("case", BAD_TEXTS)
def test_refused(path: Path, case: str) -> None:
    """Each unsound file is refused in one line that names it and says what is wrong."""
    text, why = BAD_TEXTS[case]
    with pytest.raises(ReadError, match=why) as caught:
        read(path, text)
    assert str(caught.value).startswith("alder bay.musicxml: ")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("address", ["http://www.musicxml.org/dtds/partwise.dtd", "file:///etc/passwd", "no-such.dtd"])
def test_document_type_is_never_fetched(path: Path, monkeypatch: pytest.MonkeyPatch, address: str) -> None:
    """The declaration MusicXML files carry is accepted, and nothing it points to is opened."""

    def refuse(*_: object, **__: object) -> NoReturn:
        raise AssertionError("something was fetched")

    monkeypatch.setattr(socket, "socket", refuse)
    assert read(path, DOCTYPE.format(address) + score([note(16)])).onsets == (Fraction(0),)


def test_deeply_nested_xml_is_no_crash(path: Path) -> None:
    """A hundred thousand elements inside each other are read past or refused."""
    deep = 100_000
    text = score([note(16)]).replace("</measure>", "<x>" * deep + "</x>" * deep + "</measure>")
    assert read(path, text).onsets == (Fraction(0),)


def test_unsound_zips(tmp_path: Path) -> None:
    """No zip, a cut-off one, one without its score, and one whose container points outside."""
    text, path = score([note(16)]), tmp_path / "alder.mxl"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ReadError, match=r"^alder\.mxl: is no sound zip"):
        line_from_score(path)
    whole = zipped(path, text).read_bytes()
    for cut in (30, len(whole) // 2, len(whole) - 10):
        path.write_bytes(whole[:cut])
        with pytest.raises(ReadError, match="is no sound zip"):
            line_from_score(path)
    middle = whole.index(b"score.xml") + 12
    path.write_bytes(whole[:middle] + bytes(4) + whole[middle + 4 :])
    with pytest.raises(ReadError):
        line_from_score(path)
    for outside in ("../score.xml", "/etc/passwd", "a/../../b.xml", "..\\score.xml"):
        with pytest.raises(ReadError, match="names a score outside itself"):
            line_from_score(zipped(path, text, full_path=outside, inside=outside))
    with pytest.raises(ReadError, match=r"'score\.xml' is not in it"):
        line_from_score(zipped(path, text, inside="other.xml"))
    with pytest.raises(ReadError, match="it names none"):
        line_from_score(zipped(path, text, container=False, inside="readme.txt"))


def test_zip_bomb(tmp_path: Path) -> None:
    """A small zip that unpacks to more than 64 MB is refused before it is unpacked whole."""
    path = zipped(tmp_path / "bomb.mxl", "<score-partwise>" + " " * (score_files.MOST_BYTES + 1))
    assert path.stat().st_size < 200_000
    with pytest.raises(ReadError, match=r"^bomb\.mxl: unpacks to more than 64 MB"):
        line_from_score(path)


def test_large_file(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A plain file above the limit is refused unread."""
    monkeypatch.setattr(score_files, "MOST_BYTES", 2**20)
    with pytest.raises(ReadError, match="is more than 1 MB"):
        read(path, score([note(16)]) + " " * 2**20)


def test_what_is_no_file(tmp_path: Path) -> None:
    """A missing file, a folder and a name that is no score's are refused with what is allowed."""
    with pytest.raises(ReadError, match=r"^none\.xml: cannot be read: No such file"):
        line_from_score(tmp_path / "none.xml")
    (tmp_path / "folder.mxl").mkdir()
    with pytest.raises(ReadError, match="cannot be read"):
        score_parts(tmp_path / "folder.mxl")
    with pytest.raises(ReadError, match=r"notes\.txt: is no score file by its name; scores end in \.musicxml"):
        line_from_score(tmp_path / "notes.txt")


@pytest.mark.parametrize("suffix", [".mei", ".krn"])
@pytest.mark.parametrize("inside", ["<mei", "**kern\n=1\n4q\t4r\n", "<mei><music/></mei>", "nonsense", "\x00\xff"])
def test_unsound_files_for_verovio(tmp_path: Path, capfd: pytest.CaptureFixture[str], suffix: str, inside: str) -> None:
    """Whatever Verovio makes of a damaged file, it is one error of ours and nothing is printed."""
    path = tmp_path / f"bad{suffix}"
    path.write_text(inside, encoding="latin-1")
    with pytest.raises(ReadError, match=f"^bad{suffix}: "):
        line_from_score(path)
    assert capfd.readouterr() == ("", "")


def test_damage_that_ends_verovio_is_an_error(tmp_path: Path) -> None:
    """Numbers Verovio cannot convert end the process it runs in; ours goes on."""
    text = (DATA / "two-bars.mei").read_text(encoding="utf-8")
    for old, new in (
        ('oct="5"', 'oct="x"'),
        ('dur="4"', 'dur="999999999999"'),
        ('num="3"', 'num="nan"'),
        ('n="1"', 'n="x"'),
    ):
        path = tmp_path / "damaged.mei"
        path.write_text(text.replace(old, new), encoding="utf-8")
        try:
            line_from_score(path)
        except ReadError as error:
            assert str(error).startswith("damaged.mei: ")  # noqa: PT017


def test_entities_in_mei_are_refused(tmp_path: Path) -> None:
    """MEI is checked before Verovio sees it."""
    path = tmp_path / "laughs.mei"
    path.write_text(LAUGHS + "<mei>&j;</mei>", encoding="utf-8")
    with pytest.raises(ReadError, match="declares XML entities"):
        line_from_score(path)


def test_importing_the_reader_is_cheap() -> None:
    """Heavy libraries load where they are used."""
    heavy = ("verovio", "defusedxml", "lxml", "numpy", "zipfile", "xml.etree.ElementTree")
    code = f"import sys, kitgen.read.scores; print([name for name in {heavy!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=DATA.parents[1])
    assert done.stdout.strip() == "[]"
