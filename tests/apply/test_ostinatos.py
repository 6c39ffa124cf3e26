"""Ostinatos against their traditional rows, in other meters, and under the hands of other players.

The rows are common practice: samba with its heavier second pulse; bossa the same shape in twice the values; tumbao on
"& of 2" and 4; baiao with the third stroke of the newer form; the swing ride with the hat foot on 2 and 4.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.apply import OSTINATOS, fitted_ostinato, known_ostinatos, ostinato
from kitgen.apply.ostinatos import WRITTEN_OUT, check_under, short_name
from kitgen.errors import KitError, PatternError, RefusedError, UnknownNameError
from kitgen.kit import FEET, Limb, kit
from kitgen.pattern import Level, Pattern, mirror, parse_rows, project, stretch, tile
from kitgen.time import Meter, Meters
from tests.strategies import any_meters, whole_maps

F = Fraction
FOUR = Meters.of(Meter(4, 4))

# A bar of 4/4, a group a beat.
TRADITIONAL = {
    "quarters": "RF bass x x x x",
    "hat-quarters": "LF hat-foot x x x x",
    "hat-2-4": "LF hat-foot . x . x",
    "bass-1-3-hat-2-4": "RF bass x . x .; LF hat-foot . x . x",
    "quarters-hat-2-4": "RF bass x x x x; LF hat-foot . x . x",
    "samba": "RF bass x..x X..x x..x X..x; LF hat-foot ..x. ..x. ..x. ..x.",
    "bossa": "RF bass x. .x x. .x; LF hat-foot .. x. .. x.",
    "tumbao": "RF bass .. .x .. x.; LF hat-foot .. x. .. x.",
    "songo": "RF bass .. .x .. x.; LF hat-foot x. .. x. ..",
    "baiao": "RF bass x..X ..x. x..X ..x.; LF hat-foot ..x. ..x. ..x. ..x.",
    "ride-rock": "RH ride xx xx xx xx",
    "ride-swing": "RH ride x. xx x. xx; LF hat-foot .. x. .. x.",
}


@pytest.mark.parametrize("name", list(TRADITIONAL))
def test_rows_are_traditional(name: str) -> None:
    """Every stroke and accent of a bar of 4/4 is the traditional one."""
    assert ostinato(name, FOUR) == parse_rows(TRADITIONAL[name])


def test_the_waltz_ride() -> None:
    """The jazz waltz rides a bar of three with the hat foot on 2."""
    assert ostinato("ride-waltz") == parse_rows("RH ride x. xx x.; LF hat-foot .. x. ..", "3/4")


def test_every_ostinato_is_compared() -> None:
    """A new ostinato needs its rows here."""
    assert set(OSTINATOS) == {*TRADITIONAL, "ride-waltz"}


def test_short_names_fit_a_title_and_differ() -> None:
    """Every ostinato has a short name of its own, and so have two at once."""
    names = [*OSTINATOS, "quarters with ride-rock", "quarters-hat-2-4 with ride-swing", "hat-2-4 with ride-rock"]
    found = [short_name(name) for name in names]
    assert len(set(found)) == len(names)
    assert all(0 < len(words) <= 24 for words in found)


def test_bossa_is_samba_in_twice_the_values() -> None:
    """The same shape, but for samba's accent."""
    samba, bossa = (ostinato(name, FOUR) for name in ("samba", "bossa"))
    shape = [(hit.onset * 2, hit.limb, hit.surface) for hit in samba.hits if hit.onset < 2]
    assert [(hit.onset, hit.limb, hit.surface) for hit in bossa.hits] == shape


def test_the_second_pulse_of_samba_is_heavier() -> None:
    """Of each pair of pulses the second is accented, the first and the strokes between are not."""
    loud = {hit.onset for hit in ostinato("samba", FOUR).hits if hit.level is Level.ACCENT}
    assert loud == {F(1), F(3)}


@pytest.mark.parametrize(("name", "latin"), [("samba", True), ("bossa", True), ("baiao", True), ("tumbao", True)])
def test_latin_feet_never_double_the_hat(name: str, latin: bool) -> None:  # noqa: FBT001
    """Latin feet are bass and hat foot only, and are marked to be counted in quarters."""
    assert OSTINATOS[name].latin is latin
    assert set(ostinato(name).limbs) <= set(FEET)


PLAIN = [name for name, item in OSTINATOS.items() if item.rule]


@given(whole_maps(max_runs=3), st.sampled_from(PLAIN))
def test_plain_ones_fit_any_meter(meters: Meters, name: str) -> None:
    """Plain ostinatos are worked out for any bars, always on the beats or even divisions of them."""
    pattern = ostinato(name, meters)
    assert pattern.meters == meters
    beats = {beat.start for beat in meters.beats}
    if name == "quarters":
        assert set(pattern.onsets) == beats
    elif name.startswith("ride"):
        assert {bar.start for bar in meters.bars} <= set(pattern.onsets)
    else:
        assert set(pattern.onsets) <= beats


@pytest.mark.parametrize(
    ("meter", "after"),
    [("4/4", [2, 4]), ("3/4", [2, 3]), ("2/4", [2]), ("2/2", [2]), ("6/8", [2]), ("12/8", [2, 4]), ("5/4", [2, 5])],
)
def test_after_beats(meter: str, after: list[int]) -> None:
    """The hat foot falls on 2 and 4 of four, 2 and 3 of three, the second of each group elsewhere."""
    meters = Meters.of(Meter.parse(meter))
    numbers = [meters.beat_at(onset).number for onset in ostinato("hat-2-4", meters).onsets]
    assert numbers == after


ROWED = [name for name, item in OSTINATOS.items() if item.rows]


@given(whole_maps(max_runs=2), st.sampled_from(ROWED))
def test_rows_fill_bars_whole_or_are_refused(meters: Meters, name: str) -> None:
    """Rows of their own are tiled over bars they fit, and refused, with the names of those that would, elsewhere."""
    try:
        pattern = ostinato(name, meters)
    except RefusedError as error:
        assert f"the {name} ostinato lasts" in str(error)  # noqa: PT017
        assert f"these fit any meter: {', '.join(PLAIN)}" in str(error)  # noqa: PT017
        return
    twice = OSTINATOS[name].by_pulse and meters.bars[0].meter.denominator == 2
    assert pattern == tile(stretch(ostinato(name), 2 if twice else 1), meters)


@pytest.mark.parametrize("name", ["samba", "baiao"])
def test_feet_by_the_pulse_in_cut_time(name: str) -> None:
    """In 2/2 a half is the pulse, so samba and baiao are written in eighths (style rows, common practice)."""
    cut = ostinato(name, Meters.of(Meter(2, 2)))
    rows = {"samba": "RF bass x..x X..x; LF hat-foot ..x. ..x.", "baiao": "RF bass x..X ..x.; LF hat-foot ..x. ..x."}
    assert cut == parse_rows(rows[name], "2/2")


@pytest.mark.parametrize(
    ("name", "meter"),
    [
        ("samba", "7/8"),
        ("samba", "6/8"),
        ("ride-swing", "3/4"),
        ("ride-waltz", "4/4"),
        ("bossa", "5/4"),
        ("tumbao", "12/8"),
    ],
)
def test_rows_that_do_not_fit(name: str, meter: str) -> None:
    """Where the bar is no whole number of rows, or has other beats, the row is refused."""
    with pytest.raises(RefusedError, match=f"does not fit 1 bar of {meter}"):
        ostinato(name, Meters.of(Meter.parse(meter)))


@pytest.mark.parametrize("name", list(OSTINATOS))
def test_players_set_otherwise(name: str) -> None:
    """A left-handed player has the mirror image; an open-handed one the same, since nothing here is on the hat."""
    meters = ostinato(name).meters * 4
    right, _ = fitted_ostinato(name, meters, kit("standard"))
    assert fitted_ostinato(name, meters, kit("standard", hand="left"))[0] == mirror(right)
    assert fitted_ostinato(name, meters, kit("standard", hand="open"))[0] == right


def test_a_small_kit_rides_on_the_hat() -> None:
    """Without a ride eighths go to the closed hat, and say so; rides with a hat foot are refused with what would do."""
    small = kit("small")
    pattern, item = fitted_ostinato("ride-rock", FOUR, small)
    assert pattern == parse_rows("RH closed-hat xx xx xx xx")
    assert item.words == "the ride in even eighths, on the closed hat"
    assert fitted_ostinato("ride-rock", FOUR, kit("small", hand="open"))[0].limbs == (Limb.LH,)
    with pytest.raises(RefusedError, match="needs a ride, which the small kit has not; these fit any meter: quarters"):
        fitted_ostinato("ride-swing", FOUR, small)


@given(any_meters, st.integers(1, 3))
def test_own_rows_are_tiled(meter: Meter, bars: int) -> None:
    """Box rows of one's own fill any number of bars of the meter they are written in."""
    row = "RF bass " + " ".join("x" for _ in meter.beats)
    pattern, item = fitted_ostinato(row, Meters.of(meter, bars), kit("standard"))
    assert pattern == ostinato("quarters", Meters.of(meter, bars))
    assert item.words == "the ostinato in RF"


def test_what_is_no_ostinato() -> None:
    """Unknown names bring the nearest; rows are checked before anything is made over them."""
    with pytest.raises(UnknownNameError, match="no ostinato is called 'bosa'; did you mean bossa"):
        check_under("bosa", FOUR)
    with pytest.raises(PatternError, match="unknown character 'q'"):
        check_under("RF bass x x q x", FOUR)
    with pytest.raises(KitError, match="cannot play snare"):
        check_under("RF snare x x x x", FOUR)
    for fine in (None, "none", "samba", "RF bass x x x x", "rh ride x x x x"):
        check_under(fine, FOUR)


def test_known_ostinatos_fit_the_meter() -> None:
    """Only ostinatos that fit a meter are looked for under it."""
    seven = Meters.of(Meter.parse("7/8"))
    assert set(known_ostinatos(seven, kit("standard"))) >= set(PLAIN)
    known = known_ostinatos(FOUR, kit("standard"))
    for name, pattern in known.items():
        assert isinstance(pattern, Pattern)
        own = ostinato(name.removesuffix(WRITTEN_OUT), FOUR if pattern.span in (2, 4) else pattern.meters)
        assert project(own, *pattern.limbs).hits
    assert known[f"ride-swing{WRITTEN_OUT}"] == parse_rows("RH ride x.. x.x x.. x.x; LF hat-foot ... x.. ... x..")


def test_beats_are_said_as_a_list() -> None:
    """Where plain feet take more than two beats their names are a list with one "and"."""
    _, item = fitted_ostinato("bass-1-3-hat-2-4", Meters.of(Meter(5, 4)), kit("standard"))
    assert item.words == "bass on 1, 3 and 4, hat foot on 2 and 5"
