"""A style written as TOML reads back equal, and looks like one that was written by hand."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import PatternError
from kitgen.kit import Limb
from kitgen.pattern import EVEN, Feel, Hit, Ornament, Pattern
from kitgen.read.style_files import style_names
from kitgen.read.styles import read_style, style_named
from kitgen.styles import Clave, Role, Style, StylePattern, TempoRange
from kitgen.time import Meter, Meters
from kitgen.write.style_text import style_text
from tests.strategies import SWINGING_METERS, fewer, patterns, whole_maps

METERS = (*SWINGING_METERS, *map(Meter.parse, ("6/8", "12/8", "2+2+3/8", "3+2/4")))
FEELS = (EVEN, EVEN, Feel(8, None), Feel(16, Fraction(6, 5)), Feel(8, Fraction(5, 3)))
words = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=12)
tempi = st.sampled_from((40, 72.5, 96, 111.11, 180))


def again(style: Style, folder: Path, **options: list[str]) -> Style:
    """The style as it comes back from its file."""
    path = folder / f"{style.name}.toml"
    path.write_text(style_text(style, comments=options.get("comments", [])), "utf-8")
    return read_style(path)


@st.composite
def own_tempi(draw: st.DrawFn, low: float = 20, high: float = 400, unit: Fraction = Fraction(1)) -> TempoRange:
    """A range of tempi inside another."""
    slowest, fastest = (min(max(end, low), high) for end in sorted((draw(tempi), draw(tempi))))
    return TempoRange(slowest, fastest, unit)


@st.composite
def styles(draw: st.DrawFn) -> Style:
    """Styles of one to four patterns with everything a style may say, in step with nobody's taste."""
    meter = draw(st.sampled_from(METERS))
    feel = draw(st.sampled_from(FEELS)) if meter in SWINGING_METERS else EVEN
    tempo = draw(own_tempi(unit=draw(st.sampled_from((Fraction(1), Fraction(3, 2), Fraction(2))))))
    crash, sources = draw(st.booleans()), draw(st.lists(words, min_size=1, max_size=2, unique=True))
    roles = [Role.GROOVE, *draw(st.lists(st.sampled_from(tuple(Role)), max_size=3))]
    made = []
    for number, role in enumerate(roles):
        music = draw(patterns(over=whole_maps(st.just(meter), max_bars=2), parts=(1, 2, 3, 4), lengths=True))
        hits = music.hits or (Hit(Fraction(0), Limb.RF, "bass"),)
        lands = draw(st.sampled_from(("crash", "time", "silence"))) if role is Role.FILL else "time"
        made.append(
            StylePattern(
                f"p-{number}", role, Pattern(hits, music.meters, feel), draw(words), draw(st.sampled_from(sources)),
                draw(own_tempi(tempo.low, tempo.high, tempo.unit)), draw(st.sampled_from(((), ("bridge", "solo")))),
                lands=lands, own_feet=draw(st.booleans()), accepts=draw(st.sampled_from(((), ("hat-foot",)))),
            )
        )  # fmt: skip
    return Style(
        "made-up", draw(words), draw(words), meter, tempo, tuple(made), tuple(sources), feel,
        draw(st.booleans()), draw(st.sampled_from((None, Clave("2-3"), Clave("3-2", "rumba")))),
        leads=tuple(draw(st.lists(words, max_size=2, unique=True))),
        sticks=draw(st.sampled_from((("sticks",), ("brushes", "hands")))),
        count_in_bars=draw(st.sampled_from((1, 2))), crash_in_fills=crash,
        phrase_bars=draw(st.sampled_from(((4, 8), (6,)))),
        forms=draw(st.sampled_from(((), ("aaba", "vamp")))), micro=draw(st.sampled_from((None, "samba-pulse"))),
        notes=tuple(draw(st.lists(words, max_size=2, unique=True))),
    )  # fmt: skip


@pytest.mark.parametrize("name", style_names())
def test_every_style_of_the_library_reads_back(name: str, tmp_path: Path) -> None:
    """Written and read again, a style of the library is the same."""
    style = style_named(name)
    rows = [line for line in style_text(style).splitlines() if line[:2] in Limb.__members__]
    assert again(style, tmp_path) == style
    assert max(map(len, rows)) <= 110


@fewer
@given(style=styles())
def test_any_style_reads_back(tmp_path_factory: pytest.TempPathFactory, style: Style) -> None:
    """Whatever a style says is in its file, reading undoes writing; or it is refused as too fine for boxes."""
    try:
        style_text(style)
    except PatternError as error:
        if "boxes to show its strokes" not in str(error):
            raise
        return
    assert again(style, tmp_path_factory.mktemp("style")) == style


def test_comments_stand_above(tmp_path: Path) -> None:
    """Comments are lines for who writes on, and no part of the style."""
    style = style_named("rock")
    text = style_text(style, comments=["one to do", "", "another"])
    assert text.splitlines()[2:5] == ["# one to do", "#", "# another"]
    assert again(style, tmp_path, comments=["one to do"]) == style


def test_ornaments_and_short_fills(tmp_path: Path) -> None:
    """A fill of a beat is written as its beat, with its ornaments beneath."""
    rock = style_named("rock")
    hits = (
        Hit(Fraction(3), Limb.LH, "snare", ornament=Ornament.FLAM),
        Hit(Fraction(7, 2), Limb.RH, "snare", ornament=Ornament.BUZZ, length=Fraction(1, 2)),
    )
    pattern = Pattern(hits, Meters.of(Meter(4, 4)))
    fill = StylePattern(
        "own", Role.FILL, pattern, "a flam and a buzz", rock.sources[0], rock.tempo, starts=Fraction(3), lands="crash"
    )
    style = Style(rock.name, "Rock", "rock", rock.meter, rock.tempo, (rock.groove, fill), rock.sources)
    text = style_text(style)
    assert text.partition('name = "own"')[2].splitlines()[4:9] == [
        "RH snare  .x",
        "buzz RH   .x",
        "LH snare  x.",
        "flam LH   x.",
        "lengths   RH snare",
    ]
    assert again(style, tmp_path) == style


def test_a_long_fill_begins_at_its_barline() -> None:
    """Rows cannot say that a fill of two bars begins inside the first."""
    rock = style_named("rock")
    pattern = Pattern((Hit(Fraction(6), Limb.LH, "snare"),), Meters.of(Meter(4, 4), 2))
    fill = StylePattern("own", Role.FILL, pattern, "late", "common practice", rock.tempo, starts=Fraction(2))
    style = Style(rock.name, "Rock", "rock", rock.meter, rock.tempo, (rock.groove, fill), rock.sources)
    with pytest.raises(PatternError, match="begins inside the first"):
        style_text(style)
