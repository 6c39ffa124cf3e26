"""A line from wherever the user says: typed, a text file, a MIDI file, a score, standard input."""

import io
import sys
from fractions import Fraction
from pathlib import Path

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitgenError, LineError, OptionError, ReadError
from kitgen.line import Line, parse, render
from kitgen.read.lines import bytes_of, is_file_name, number_of, read_line, text_of
from tests.strategies import said_lines

F = Fraction
BOXES = "x.x. xxx x--- ..x-"
MUSICXML = """<?xml version="1.0"?><score-partwise version="4.0">
<part-list><score-part id="P1"><part-name>horn</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats>
<beat-type>4</beat-type></time></attributes>{notes}</measure></part></score-partwise>"""
NOTE = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>{0}</duration><type>{1}</type></note>"


@pytest.mark.parametrize("text", [BOXES, "1 & 2 e & a 3 4 &", "4 8 8 4. 8"])
def test_typed_lines(text: str) -> None:
    """Typed text in any notation is the line, named in recipes by its canonical boxes."""
    source = read_line(text)
    assert source.line == parse(text)
    assert source.words == render(source.line)
    assert parse(source.words) == source.line
    assert source.typed
    assert source.remarks == ()


@given(said_lines())
def test_canonical_boxes_name_the_same_line(line: Line) -> None:
    """What a recipe calls a typed line reads back as that line."""
    meter = line.meters.only
    assert meter is not None
    assert read_line(read_line(render(line), meter=str(meter)).words, meter=str(meter)).line == line


@pytest.mark.parametrize("ending", [".txt", ".TXT"])
@pytest.mark.parametrize("start", [b"", b"\xef\xbb\xbf"], ids=["plain", "byte order mark"])
def test_a_text_file_is_a_typed_line(tmp_path: Path, ending: str, start: bytes) -> None:
    """A text file holds a typed line, with or without a byte order mark."""
    path = tmp_path / f"line{ending}"
    path.write_bytes(start + b"1 & 2 e & a 3 4 &\n")
    source = read_line(str(path))
    assert source.line == parse("1 & 2 e & a 3 4 &")
    assert source.typed


def test_a_midi_file_is_a_line(tmp_path: Path) -> None:
    """A MIDI file is named in recipes by its name and hash."""
    path = tmp_path / "tune.mid"
    track = mido.MidiTrack()
    for key in (60, 62, 64, 65):
        track += [mido.Message("note_on", note=key), mido.Message("note_off", note=key, time=480)]
    mido.MidiFile(tracks=[track], ticks_per_beat=480).save(str(path))
    source = read_line(str(path))
    assert source.line.onsets == (F(0), F(1), F(2), F(3))
    assert source.words == "tune.mid"
    assert source.sums[0].startswith("tune.mid sha256:")
    assert not source.typed


def test_a_score_is_a_line(tmp_path: Path) -> None:
    """A MusicXML file is a line with its written lengths."""
    path = tmp_path / "tune.musicxml"
    path.write_text(MUSICXML.format(notes=NOTE.format(2, "half") + NOTE.format(1, "quarter") * 2))
    source = read_line(str(path))
    assert source.line == parse("2 4 4")
    assert source.words == "tune.musicxml"
    assert source.sums[0].startswith("tune.musicxml sha256:")


def test_standard_input_is_a_typed_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """A hyphen reads standard input."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("1 & 2 3 4\n"))
    assert read_line("-").line == parse("1 & 2 3 4")


def test_standard_input_that_is_no_text(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bytes that are no UTF-8, or no standard input at all, are errors of the package's own."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"1 \xff 3"), "utf-8"))
    with pytest.raises(ReadError, match="standard input is no text"):
        read_line("-")
    monkeypatch.setattr(sys, "stdin", None)
    with pytest.raises(ReadError, match="standard input is closed"):
        read_line("-")


@pytest.mark.parametrize(("measures", "first", "last"), [("1", 0, 4), ("2-3", 4, 12), (" 3 ", 8, 12), ("1-3", 0, 12)])
def test_measures(measures: str, first: int, last: int) -> None:
    """Measures are one bar or a run, counted from 1."""
    line = parse("1 2 3 4 | 1 & 2 3 4 | 1 e & a 3 4")
    assert read_line("1 2 3 4 | 1 & 2 3 4 | 1 e & a 3 4", measures=measures).line == line.cut(F(first), F(last))


@pytest.mark.parametrize("measures", ["0", "4", "3-2", "1-9", "", "a", "1-", "-1", "1-2-3", "1.5"])
def test_measures_that_are_not_there(measures: str) -> None:
    """Bars that the line has not, or no run of bars at all, are wrong options."""
    with pytest.raises(OptionError, match="--measures"):
        read_line("1 2 3 4 | 1 2 3 4 | 1 2 3 4", measures=measures)


@pytest.mark.parametrize(
    ("name", "data", "message"),
    [
        ("line.txt", b"", "line.txt: the line is empty"),
        ("line.txt", b"1 & 2 q", r"line.txt: unknown character 'q' .* \(character 7"),
        ("line.txt", b"\xff\xfe1", "line.txt: not a text file"),
        ("tune.mid", b"", "is empty"),
        ("tune.mid", b"1 & 2 3 4", "does not start with the letters MThd"),
        ("tune.mid", b"MThd\0\0\0\6\0\1\0\1\1\xe0MTrk\0\0\0\x20", "is cut off in track 1 of 1"),
        ("tune.wav", b"RIFF", "cannot tell what kind of file this is; a line is read from .mid"),
        ("tune.musicxml", b"<score", "tune.musicxml"),
    ],
)
def test_files_that_hold_no_line(tmp_path: Path, name: str, data: bytes, message: str) -> None:
    """Each error names the file and what is wrong with it."""
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(ReadError, match=message):
        read_line(str(path))


@pytest.mark.parametrize("name", ["nowhere.mid", "nowhere.txt", "nowhere.musicxml", "nowhere.krn"])
def test_a_file_that_is_not_there(tmp_path: Path, name: str) -> None:
    """A name with a known ending is a file, and is missed by name."""
    with pytest.raises(ReadError, match=f"{name}.*No such file"):
        read_line(str(tmp_path / name))


def test_a_folder_is_no_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder is told from a line by being there."""
    with pytest.raises(ReadError, match="is a folder; give one file, or type a line"):
        read_line(str(tmp_path))
    (tmp_path / "tunes").mkdir()
    monkeypatch.chdir(tmp_path)
    with pytest.raises(ReadError, match="tunes is a folder"):
        read_line("tunes")
    assert read_line(". . . .").line.notes == ()


@pytest.mark.parametrize(
    "text", ["x.x.", "x.x", "4. 8", "-", "1 2 3 4", "x.x. x.x. | X... x", "\0", "x" * 5000, "a\nb.mid"]
)
def test_what_names_no_file(text: str) -> None:
    """Lines are not taken for file names."""
    assert not is_file_name(text)


@given(st.text(max_size=30))
def test_any_text_is_a_line_or_an_error(text: str) -> None:
    """Whatever is typed, reading ends in a line or in an error of the package's own."""
    if text.strip() == "-":
        return
    try:
        source = read_line(text)
    except KitgenError:
        return
    assert source.line.meters.whole


@pytest.mark.parametrize(("part", "expected"), [(None, None), ("2", 2), ("horn", "horn"), ("²", "²"), ("1.", "1.")])
def test_parts_are_numbers_or_names(part: str | None, expected: object) -> None:
    """A part is a number where it is written as one, else a name."""
    assert number_of(part) == expected


def test_bytes_and_text(tmp_path: Path) -> None:
    """Files are read whole, or refused with the reason the system gives."""
    path = tmp_path / "a.txt"
    path.write_bytes("é".encode())
    assert text_of(bytes_of(path), path) == "é"
    with pytest.raises(ReadError, match="Is a directory"):
        bytes_of(tmp_path)


def test_a_typed_line_that_is_empty() -> None:
    """An empty line is refused with lines to type instead."""
    for text in ("", "  ", "\t"):
        with pytest.raises(LineError, match="the line is empty; type one like"):
            read_line(text)
