"""Grids: the ostinato never breaks, a page has its cell and known ones, rows differ, kernels hold what meets."""

from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitgen.errors import KitError, OptionError, RefusedError, UnknownNameError
from kitgen.grid.against import clashes
from kitgen.grid.cells import Cell, cells_of
from kitgen.grid.granted import granted, shortest
from kitgen.grid.grids import Grid, Step, cells_in, steps_of
from kitgen.grid.ground import Ground, ground_of
from kitgen.grid.kernels import Meeting, collisions, kernels, meetings, together_notes
from kitgen.grid.laying import cell_on_every_beat, voices
from kitgen.grid.sheets import Sheet, sheet_of
from kitgen.kit import Limb, kit
from kitgen.page.elements import cells_of as cells_played
from kitgen.pattern import Level, parse_rows, project, tile
from kitgen.pattern.load import load_of
from kitgen.time import Meter
from tests.strategies import fewer

FOUR = Meter(4, 4)
OWN_ROWS = "RF bass x... ..x. x... .... | x.x. .... x... x..."
GRIDS = (
    *((under, "4/4", "16ths", "right", "none") for under in ("none", "quarters", "hat-2-4", "samba", "bossa", "baiao")),
    *((under, "4/4", "triplets", "left", "none") for under in ("hat-quarters", "quarters", "ride-swing")),
    *((under, "2/4", "8ths", "open", "none") for under in ("samba", "quarters-hat-2-4", "bass-1-3-hat-2-4")),
    *(("quarters", meter, "8ths", "right", "beats") for meter in ("3/4", "5/4", "6/8", "9/8", "2/2")),
    ("ride-waltz", "3/4", "triplets", "right", "none"),
    ("tumbao", "4/4", "8ths", "left", "eighths"),
    ("songo", "4/4", "16ths", "left", "none"),
    ("ride-rock", "4/4", "8ths", "right", "none"),
    ("none", "12/8", "8ths", "open", "eighths"),
    ("quarters-hat-2-4", "4/4", "triplets", "right", "swing"),
    (OWN_ROWS, "4/4", "8ths", "right", "none"),
)


@cache
def steps(
    under: str,
    meter: str,
    kind: str,
    hand: str = "right",
    time: str = "none",
    *,
    pair: bool = False,
    order: str = "load",
) -> tuple[Grid, tuple[Step, ...]]:
    """The steps of a grid for every free limb, or for both hands."""
    moving = ((Limb.RH, Limb.LH),) if pair else ()
    grid = Grid(Meter.parse(meter), kit("standard", hand=hand), moving, (under,), (kind,), time, order=order)
    return grid, steps_of(grid)


@cache
def sheet(step: Step, grid: Grid) -> Sheet:
    """A step's sheet, made once."""
    return sheet_of(step, grid)


drawn_grids = st.one_of(
    st.sampled_from(GRIDS).map(lambda words: steps(*words, order="traditional")),
    st.sampled_from(("none", "samba", "songo")).map(lambda under: steps(under, "4/4", "8ths", pair=True)),
)


@st.composite
def drawn_sheets(draw: st.DrawFn) -> tuple[Grid, Step, Sheet]:
    """A page of some grid."""
    grid, every = draw(drawn_grids)
    step = draw(st.sampled_from(every))
    return grid, step, sheet(step, grid)


@fewer
@given(drawn_sheets())
def test_what_goes_on_is_never_broken(drawn: tuple[Grid, Step, Sheet]) -> None:
    """In every row, projecting the limbs of the ground gives it back."""
    _, step, page = drawn
    layers = step.ground.layers[: step.layer] if step.cell is None else step.ground.layers
    for row in page.rows if step.cell is not None else page.rows[-1:]:
        if layers:
            under = layers[-1].pattern
            assert project(row.pattern, *under.limbs) == tile(under, row.pattern.meters)


@fewer
@given(drawn_sheets())
def test_a_page_plays_its_cell_and_known_ones_alone(drawn: tuple[Grid, Step, Sheet]) -> None:
    """A single limb plays nothing but the new cell and known ones; every row but the ostinato's has the new cell."""
    grid, step, page = drawn
    if step.cell is None or len(step.voices) > 1:
        return
    limb = step.voices[0].limb
    allowed = {shortest(cell) for cell in (step.cell, *step.known)}
    for row in page.rows[1:] if step.ground.layers else page.rows:
        played = set(cells_played(row.pattern, limb))
        assert shortest(step.cell) in played, row.label
        assert played <= allowed, row.label
    assert {hit.surface for row in page.rows for hit in row.pattern.hits if hit.limb == limb} == {
        step.voices[0].surface
    }
    assert grid.row_bars == 4
    assert all(len(row.played.meters.bars) in (4, 8) for row in page.rows)


@fewer
@given(drawn_sheets())
def test_no_two_rows_are_alike(drawn: tuple[Grid, Step, Sheet]) -> None:
    """No row sounds like another, however often each is repeated; labels differ as well."""
    _, _, page = drawn
    heard = [tile(row.pattern, row.pattern.meters * (4 // len(row.pattern.meters.bars))) for row in page.rows]
    assert len(set(heard)) == len(heard)
    assert len({row.label for row in page.rows}) == len(page.rows)


@fewer
@given(drawn_sheets())
def test_four_bars_land(drawn: tuple[Grid, Step, Sheet]) -> None:
    """Rows of four composed bars end on a number, the last of the bar."""
    grid, step, page = drawn
    limbs = {voice.limb for voice in step.voices}
    for row in page.rows:
        if row.label.startswith("four bars"):
            last = max(hit.onset for hit in row.pattern.hits if hit.limb in limbs)
            assert last == row.pattern.meters.beats[-grid.span].start


@fewer
@given(drawn_sheets())
def test_titles_are_short(drawn: tuple[Grid, Step, Sheet]) -> None:
    """A page of a cell has a title of one line, and a cell that starts off the number is played in beats, not on."""
    grid, step, page = drawn
    if step.cell is not None and len(grid.meter.beats) == 4:
        assert len(page.title) <= 55
    if step.cell is not None and len(step.voices) == 1:
        labels = [row.label for row in page.rows]
        assert any(" on beat" in label for label in labels) is step.cell.starts_on_number
        assert any(" in beat" in label for label in labels) is not step.cell.starts_on_number


@fewer
@given(drawn_sheets())
def test_kernels_hold_two_to_four_instants(drawn: tuple[Grid, Step, Sheet]) -> None:
    """A kernel is at most two beats of what stands in the rows, in their bar, in which limbs fall together."""
    grid, step, page = drawn
    if step.cell is None:
        return
    moving = [voice.limb for voice in step.voices]
    for row in page.kernels:
        assert 2 <= len(row.pattern.onsets) <= 4
        assert row.pattern.meters.bars == step.ground.meters.bars[:1]
        assert row.pattern.onsets[-1] - row.pattern.onsets[0] < 2 * max(grid.meter.beats)
        assert collisions(row.pattern, moving)


@fewer
@given(drawn_grids)
def test_each_cell_comes_once_for_each_limb(found: tuple[Grid, tuple[Step, ...]]) -> None:
    """The ground is built up first; then each moving limb has every cell once, known are those before it."""
    grid, every = found
    building = [step for step in every if step.cell is None]
    assert every[: len(building)] == tuple(building)
    assert [step.layer for step in building] == list(range(1, len(building) + 1))
    by_voice: dict[object, list[Cell]] = {}
    for step in every[len(building) :]:
        assert step.cell is not None
        assert list(step.known) == by_voice.setdefault(step.voices, [])
        by_voice[step.voices].append(step.cell)
    assert all(sorted(own, key=str) == sorted(cells_in(grid), key=str) for own in by_voice.values())


@pytest.mark.parametrize(("under", "time"), [("samba", "none"), ("quarters", "none"), ("bossa", "beats")])
def test_pages_come_by_load(under: str, time: str) -> None:
    """The even cells come first; after them the load hardly ever falls; or the order is the traditional one."""
    own = [
        step for step in steps(under, "4/4", "16ths", time=time)[1] if step.voices and step.voices[0].limb is Limb.LH
    ]
    cells = [step.cell for step in own if step.cell is not None]
    assert [str(cell) for cell in cells[:3]] == ["x...", "x.x.", "xxxx"]
    loads = [load_of(cell_on_every_beat(step.cell, step.ground, step.voices)).total for step in own[3:] if step.cell]
    assert all(later >= 0.97 * max(loads[: index + 1]) for index, later in enumerate(loads))
    assert loads[0] == min(loads)
    assert loads[-1] == max(loads)
    grid = Grid(FOUR, kit("standard"), ((Limb.LH,),), ("samba",), order="traditional")
    assert [step.cell for step in steps_of(grid)[1:]] == list(cells_of("16ths", FOUR))


@pytest.mark.parametrize(("under", "hand"), [("samba", "right"), ("quarters", "left"), ("none", "right")])
def test_both_hands_have_one_order(under: str, hand: str) -> None:
    """Where the notes are the same but for the hand, so is the order; the leading hand comes first."""
    _, every = steps(under, "4/4", "16ths", hand)
    by_hand: dict[Limb, list[Cell]] = {}
    for step in every:
        if step.cell is not None and step.voices[0].limb.is_hand:
            by_hand.setdefault(step.voices[0].limb, []).append(step.cell)
    assert list(by_hand) == ([Limb.RH, Limb.LH] if hand == "right" else [Limb.LH, Limb.RH])
    assert by_hand[Limb.RH] == by_hand[Limb.LH]


def test_a_meeting_is_new_once() -> None:
    """Over a series limbs that strike together at a place of the beat are new on the first page that has it."""
    found = steps("quarters-hat-2-4", "4/4", "16ths")
    for limb in (Limb.RH, Limb.LH):
        met: set[Meeting] = set()
        for step in found[1]:
            if step.cell is not None and step.voices[0].limb is limb:
                there = set(meetings(cell_on_every_beat(step.cell, step.ground, step.voices), [limb]))
                assert set(step.fresh) == there - met
                met |= there
        assert met == {Meeting(frozenset({limb, Limb.RF, *more}), Fraction(0)) for more in ((), (Limb.LF,))}


def test_several_limbs_and_ostinatos_in_one_series() -> None:
    """All of one ostinato, limb after limb and pairs last, before the next ostinato."""
    grid = Grid(FOUR, kit("standard"), ((Limb.RH, Limb.LH), (Limb.RH,), (Limb.LH,)), ("samba", "bossa"), ("8ths",))
    told = [(step.ground.under, "".join(voice.limb.name for voice in step.voices)) for step in steps_of(grid)]
    assert list(dict.fromkeys(told)) == [
        (under, who) for under in ("samba", "bossa") for who in ("", "RH", "LH", "RHLH")
    ]
    assert len(told) == 2 * (1 + 3 * 3)


def test_two_kinds_of_cells_share_what_they_have_in_common() -> None:
    """The cell on the number alone is in both kinds and comes once."""
    grid = Grid(FOUR, kit("standard"), ((Limb.LH,),), ("none",), ("16ths", "triplets"))
    assert len(cells_in(grid)) == 15 + 7 - 1
    order = [step.cell.parts for step in steps_of(grid) if step.cell]
    assert order == sorted(order, reverse=True)


# ---- one new element -------------------------------------------------------------------------------------------------


def elements(grid: Grid, every: tuple[Step, ...]) -> list[tuple[str, ...]]:
    """The elements of every page."""
    from kitgen.apply import known_ostinatos
    from kitgen.page import Page, Tempo, elements_of

    known = known_ostinatos(every[0].ground.meters, grid.kit)
    pages = [Page("a page", "", sheet(step, grid).rows, Tempo.at(60, grid.meter.tempo_unit)) for step in every]
    return [elements_of(page, ostinatos=known) for page in pages]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(
    ("under", "meter", "kind", "time", "pair"),
    [
        ("quarters-hat-2-4", "4/4", "triplets", "none", False),
        ("none", "4/4", "8ths", "none", False),
        ("tumbao", "4/4", "8ths", "eighths", False),
        ("quarters-hat-2-4", "6/8", "8ths", "none", False),
        ("ride-swing", "4/4", "triplets", "none", False),
        ("ride-swing", "4/4", "8ths", "none", False),
        ("ride-waltz", "3/4", "8ths", "none", False),
        ("quarters-hat-2-4", "4/4", "8ths", "swing", False),
        ("samba", "4/4", "8ths", "beats", False),
        ("samba", "4/4", "8ths", "none", True),
    ],
)
def test_each_page_has_one_new_element(under: str, meter: str, kind: str, time: str, hand: str, *, pair: bool) -> None:
    """Each page brings exactly one new element; for one limb no cell of it is taken for granted."""
    grid, every = steps(under, meter, kind, hand, time, pair=pair)
    beforehand = granted(elements(grid, every), every)
    assert beforehand.one_new
    if not pair:
        moving = {voice.limb.name for step in every for voice in step.voices}
        cells = [one for one in beforehand.known if one.startswith("cell") and one.split()[1] in moving]
        assert cells == []


@pytest.mark.slow
@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("under", ["samba", "none"])
def test_sixteenths_of_every_free_limb_keep_the_rule(under: str, hand: str) -> None:
    """The classic grids, each free limb in turn: one new element a page, no cell taken for granted."""
    grid, every = steps(under, "4/4", "16ths", hand)
    beforehand = granted(elements(grid, every), every)
    assert beforehand.one_new
    assert not any(one.startswith("cell") for one in beforehand.known)
    assert len(every) == (1 + 2 * 15 if under == "samba" else 4 * 15)


@pytest.mark.parametrize(("span", "moving"), [(2, ((Limb.LH,),)), (1, ((Limb.LH, Limb.RF),))])
def test_pages_that_put_together_what_is_known(span: int, moving: tuple[tuple[Limb, ...], ...]) -> None:
    """Cells of two beats, and of a hand and a foot, are made of known cells, and claim nothing new."""
    grid = Grid(FOUR, kit("standard"), moving, ("hat-2-4",), ("8ths",), span=span)
    every = steps_of(grid)
    beforehand = granted(elements(grid, every), every)
    assert not beforehand.one_new
    assert any(one.startswith("cell") for one in beforehand.known)


@pytest.mark.parametrize(
    ("boxes", "short"),
    [("x...", "x"), ("x.x.", "xx"), ("..x.", ".x"), (".x..", ".x.."), ("x..x..", "xx"), ("x.x.x.", "xxx")],
)
def test_the_fewest_boxes(boxes: str, short: str) -> None:
    """A cell is named on the fewest boxes that show it, as elements are read from a page."""
    assert shortest(Cell((boxes,))) == short
    pattern = parse_rows(f"LH snare {boxes} {boxes}", "2/4")
    assert cells_played(pattern, Limb.LH) == (short,)


# ---- two limbs -------------------------------------------------------------------------------------------------------


@given(st.sampled_from([cell for kind in ("16ths", "triplets") for cell in cells_of(kind, FOUR)]))
def test_two_limbs_share_a_cell_in_every_way(cell: Cell) -> None:
    """Together they are the cell; in turn they are it without meeting; cell and rest are every place."""
    kind = "16ths" if cell.parts == 4 else "triplets"
    grid, every = steps("hat-quarters", "4/4", kind, pair=True, order="traditional")
    step = next(one for one in every if one.cell == cell)
    every_beat = cell_on_every_beat(cell, step.ground, step.voices)
    strokes = {hit.onset for hit in every_beat.hits if hit.limb is Limb.LH}
    for row in sheet(step, grid).rows[1:]:
        right, left = ({hit.onset for hit in project(row.pattern, hand).hits} for hand in (Limb.RH, Limb.LH))
        if row.label.startswith("together"):
            assert right == left <= strokes
        elif row.label.startswith("in turn"):
            assert not right & left
            assert right | left == strokes
        elif "leaves" in row.label:
            assert not right & left
            assert right | left == {Fraction(slot, cell.parts) for slot in range(4 * cell.parts)}


def test_a_pair_knows_each_hand_first() -> None:
    """The page of a pair says what it takes for granted; a pair of another kind names its limbs."""
    grid, every = steps("samba", "4/4", "8ths", pair=True)
    assert sheet(every[1], grid).notes[0] == "know the grid of each hand by itself first"
    other = Grid(FOUR, kit("standard"), ((Limb.LH, Limb.RF),), ("hat-2-4",), ("8ths",))
    assert sheet_of(steps_of(other)[1], other).notes[0] == "know the grid of each limb by itself first"


# ---- what falls together ---------------------------------------------------------------------------------------------


def test_what_falls_together_is_said() -> None:
    """A place met in every beat is said once; others by their counts, in order."""
    samba = ground_of("samba", FOUR, kit("standard"))
    who = voices([Limb.LH], kit("standard"), None)
    assert together_notes(cell_on_every_beat(Cell(("x.xx",)), samba, who), [Limb.LH]) == (
        "together, no flam: left hand and bass on every number and every a",
        "together, no flam: left hand and hat foot on every &",
    )
    assert together_notes(cell_on_every_beat(Cell((".x..",)), samba, who), [Limb.LH]) == (
        "nothing falls together: the left hand plays in between",
    )
    bossa = ground_of("bossa", FOUR, kit("standard"))
    assert together_notes(cell_on_every_beat(Cell(("xx",)), bossa, who), [Limb.LH]) == (
        "together, no flam: left hand and bass on 1, the & of 2, 3 and the & of 4",
        "together, no flam: left hand and hat foot on 2 and 4",
    )


def test_a_kernel_is_the_notes_around_a_collision() -> None:
    """One beat where it holds two to four instants, more where it holds one, less where it holds five; in its bar."""
    bossa = ground_of("bossa", FOUR, kit("standard"))
    who = voices([Limb.LH], kit("standard"), None)
    every = cell_on_every_beat(Cell(("x.",)), bossa, who)
    (bass, hat) = kernels(every, list(meetings(every, [Limb.LH])), [Limb.LH])
    assert bass.pattern == parse_rows("LH snare x. x. .. ..; RF bass x. .x .. ..; LF hat-foot .. x. .. ..")
    assert bass.label == "left hand and bass together on 1; loop beats 1 and 2"
    assert hat.label == "left hand and hat foot together on 2; loop beat 2"
    assert hat.pattern == parse_rows("LH snare .. x. .. ..; RF bass .. .x .. ..; LF hat-foot .. x. .. ..")
    quarters = ground_of("quarters", FOUR, kit("standard"))
    six = cell_on_every_beat(Cell(("xxxxxx",)), quarters, who)
    (half,) = kernels(six, list(meetings(six, [Limb.LH])), [Limb.LH])
    assert half.label.endswith("; loop the first half of beat 1")
    assert half.pattern.onsets == (Fraction(0), Fraction(1, 6), Fraction(1, 3))


def test_kernels_of_one_stretch_are_printed_once() -> None:
    """Where two collisions loop the same notes there is one kernel that names both."""
    samba = ground_of("samba", FOUR, kit("standard"))
    who = voices([Limb.LH], kit("standard"), None)
    every = cell_on_every_beat(Cell(("x.x.",)), samba, who)
    (one,) = kernels(every, list(meetings(every, [Limb.LH])), [Limb.LH])
    assert one.label == ("left hand and bass together on 1; left hand and hat foot together on the & of 1; loop beat 1")


def test_a_meeting_at_a_new_place_has_a_kernel() -> None:
    """The left hand with the bass on the "a" is another thing to learn than on the number."""
    grid = Grid(FOUR, kit("standard"), ((Limb.LH,),), ("samba",))
    (step,) = (step for step in steps_of(grid) if step.cell == Cell(("xxxx",)))
    assert Meeting(frozenset({Limb.LH, Limb.RF}), Fraction(3, 4)) in step.fresh
    assert [row.label for row in sheet_of(step, grid).kernels] == [
        "left hand and bass together on the a of 1; loop beat 1"
    ]


# ---- one against another ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (
            {"kinds": ("triplets",)},
            r"bossa nova feet are a polyrhythm, 3 against 2 on beats 2 and 4; .*--under quarters",
        ),
        ({"under": ("samba",), "kinds": ("quintuplets",)}, "5 against 4 on beats 1, 2, 3 and 4"),
        ({"time": "eighths", "under": ("none",), "kinds": ("triplets",)}, "--time none, beats, swing"),
        ({"under": ("ride-swing",), "kinds": ("triplets",), "straight": True}, "--cells 8ths, 16ths, or --polyrhythm"),
        ({"under": ("ride-swing",), "kinds": ("16ths", "triplets")}, "4 against 3 on beats 2 and 4"),
    ],
)
def test_a_polyrhythm_is_refused_unless_asked_for(more: dict[str, object], words: str) -> None:
    """Cells that stand against what goes on are made on request only; what fits is named."""
    usual: dict[str, object] = {"meter": FOUR, "kit": kit("standard"), "moving": ((Limb.LH,),), "under": ("bossa",)}
    with pytest.raises(RefusedError, match=words):
        steps_of(Grid(**(usual | more)))  # type: ignore[arg-type]  # the point is what may be wrong
    grid = Grid(**(usual | more), polyrhythm=True)  # type: ignore[arg-type]  # the same
    assert any(clashes(step.cell, step.ground) for step in steps_of(grid) if step.cell is not None)


def test_a_polyrhythm_is_told() -> None:
    """The page says which beats stand so and what all strokes come to; a cell on the number does not."""
    grid = Grid(FOUR, kit("standard"), ((Limb.LH,),), ("bossa",), ("triplets",), polyrhythm=True)
    notes = {step.cell.beats[0]: sheet_of(step, grid).notes for step in steps_of(grid) if step.cell is not None}
    assert "3 against 2 on beats 2 and 4: together they sound x.xxx." in notes["xxx"]
    assert not any("against" in note for note in notes["x.."])


@pytest.mark.parametrize(
    ("cells", "under"),
    [("triplets", "hat-2-4"), ("quintuplets", "quarters"), ("sextuplets", "hat-2-4"), ("8ths", "samba")],
)
def test_what_goes_together(cells: str, under: str) -> None:
    """Feet on the numbers go with anything; parts that fit into each other are no polyrhythm."""
    ground = ground_of(under, FOUR, kit("standard"))
    assert not any(clashes(cell, ground) for cell in cells_of(cells, FOUR))


# ---- grounds ---------------------------------------------------------------------------------------------------------


def ground(under: str, **more: str) -> Ground:
    """A ground in 4/4 on a standard kit."""
    return ground_of(under, FOUR, kit("standard"), time=more.get("time", "none"))


def test_feet_come_before_the_hand_that_keeps_time() -> None:
    """The layers are the ostinato, then the time over it."""
    samba = ground("samba", time="beats")
    assert [layer.title for layer in samba.layers] == ["samba feet", "the ride on every beat"]
    assert samba.layers[0].pattern.limbs == (Limb.RF, Limb.LF)
    assert samba.pattern.limbs == (Limb.RH, Limb.RF, Limb.LF)


def test_an_ostinato_of_two_bars_makes_rows_of_two_bars() -> None:
    """Rows are as long as the ostinato needs to come out even."""
    assert len(ground(OWN_ROWS).meters.bars) == 2
    grid = Grid(FOUR, kit("standard"), ((Limb.LH,),), (OWN_ROWS,), ("8ths",))
    rows = sheet_of(steps_of(grid)[1], grid).rows
    assert all(len(row.pattern.meters.bars) % 2 == 0 for row in rows)
    assert all(len(row.played.meters.bars) == 4 for row in rows)


def test_the_bass_is_feathered_in_swing_time() -> None:
    """Under a swing ride the bass is felt more than heard; the ostinato is still the one it is."""
    under = ground("quarters-hat-2-4", time="swing")
    assert {hit.level for hit in under.pattern.hits if hit.surface == "bass"} == {Level.FEATHER}
    assert {hit.level for hit in under.pattern.hits if hit.surface != "bass"} == {Level.NORMAL}
    assert under.notes == ("feather the bass: it is felt more than heard",)
    assert "ostinato quarters-hat-2-4" in elements(*steps("quarters-hat-2-4", "4/4", "8ths", time="swing"))[0]
    assert not ground("hat-2-4", time="swing").notes


@pytest.mark.parametrize(
    ("under", "time", "meter", "short"),
    [
        ("samba", "none", "4/4", "samba"),
        ("quarters-hat-2-4", "swing", "4/4", "swing time in four"),
        ("quarters", "eighths", "4/4", "ride eighths in four"),
        ("quarters-hat-2-4", "none", "3/4", "bass on every beat, hat on 2 and 3"),
        (OWN_ROWS, "beats", "4/4", "your ostinato, ride on the beat"),
        ("none", "none", "4/4", ""),
    ],
)
def test_short_names(under: str, time: str, meter: str, short: str) -> None:
    """What goes on as titles have it, true in any meter."""
    assert ground_of(under, Meter.parse(meter), kit("standard"), time=time).short == short


def test_swing_under_triplets_is_written_in_triplets() -> None:
    """The "&" of the swing ride stands on the last third, where it sounds, and nothing swings any more."""
    written = ground_of("ride-swing", FOUR, kit("standard"), threes=True)
    assert written.pattern == parse_rows("RH ride x.. x.x x.. x.x; LF hat-foot ... x.. ... x..")
    assert written.written_out
    assert not written.feel.unit
    assert ground("ride-swing").feel.unit == 8


@pytest.mark.parametrize(
    ("grid", "error", "words"),
    [
        ({"moving": ((Limb.RF,),)}, RefusedError, r"\(RF\) cannot move, .*samba.*free to move are RH and LH"),
        ({"moving": ((Limb.RH,),), "time": "beats"}, RefusedError, "choose another --time"),
        ({"meter": Meter(3, 4)}, RefusedError, "does not fit 1 bar of 3/4"),
        ({"under": ("sambo",)}, UnknownNameError, "did you mean samba"),
        ({"time": "beat"}, UnknownNameError, "did you mean beats"),
        ({"order": "loads"}, UnknownNameError, "did you mean load"),
        ({"row_bars": 17}, OptionError, "1 to 16 bars"),
        ({"under": ()}, OptionError, "a grid has an ostinato"),
        ({"moving": ((Limb.RH, Limb.LH, Limb.RF),), "under": ("none",)}, OptionError, "two as a pair"),
        ({"moving": ((Limb.LH, Limb.LH),)}, OptionError, "two as a pair"),
        ({"surface": "bass"}, KitError, "cannot play bass"),
        ({"surface": "closed-hat"}, RefusedError, "needs the foot to hold it"),
        ({"time": "swing"}, RefusedError, "samba feet are straight and do not swing; use --time eighths or beats"),
        ({"under": ("ride-swing",), "time": "swing"}, RefusedError, "is busy in the ostinato and cannot keep time"),
        ({"kit": kit("small"), "time": "beats"}, RefusedError, "has no ride"),
    ],
)  # fmt: skip
def test_grids_that_cannot_be(grid: dict[str, object], error: type[Exception], words: str) -> None:
    """What was asked for, why it cannot be, and what could."""
    usual: dict[str, object] = {"meter": FOUR, "kit": kit("standard"), "moving": ((Limb.LH,),), "under": ("samba",)}
    with pytest.raises(error, match=words):
        steps_of(Grid(**(usual | grid)))  # type: ignore[arg-type]  # the point is what may be wrong


def test_an_ostinato_of_ones_own() -> None:
    """Rows of one's own have no name among elements: cells over them are the cells themselves, the first is a sound."""
    grid = Grid(FOUR, kit("standard"), ((Limb.LH,),), (OWN_ROWS,), ("8ths",), order="traditional")
    every = steps_of(grid)
    found = elements(grid, every)
    assert "cell LH .x" in found[3]
    beforehand = granted(found, every)
    assert beforehand.one_new
    assert not any(one.startswith("cell LH") for one in beforehand.known)


def test_nothing_free() -> None:
    """An ostinato for all four limbs leaves no grid."""
    rows = "RH ride x x x x; LH snare . x . x; RF bass x . x .; LF hat-foot . x . x"
    with pytest.raises(RefusedError, match="leave no limb free"):
        steps_of(Grid(FOUR, kit("standard"), (), (rows,)))


def test_the_seed_chooses_what_comes_back() -> None:
    """One seed makes one page; another brings other known cells back, and leaves the rest as it is."""
    grids = [Grid(FOUR, kit("standard"), ((Limb.LH,),), ("samba",), seed=seed) for seed in range(4)]
    last = [sheet_of(steps_of(grid)[-1], grid) for grid in grids]
    again = sheet_of(steps_of(grids[0])[-1], grids[0])
    assert again == last[0]
    assert len({page.rows for page in last}) > 1
    assert len({page.rows[:3] for page in last}) == 1


def test_the_first_rows_are_the_plainest() -> None:
    """The ostinato alone, the cell once a bar, the cell on every beat; three bars of time and one of the cell."""
    grid, every = steps("samba", "4/4", "16ths")
    step = next(one for one in every if one.cell == Cell(("x..x",)) and one.voices[0].limb is Limb.LH)
    rows = sheet(step, grid).rows
    feet = "; RF bass x..x X..x x..x X..x; LF hat-foot ..x. ..x. ..x. ..x."
    assert rows[1].pattern == parse_rows(f"LH snare x..x .... .... ....{feet}")
    assert rows[2].pattern == parse_rows(f"LH snare x..x x..x x..x x..x{feet}")
    three = next(row for row in rows if row.label.startswith("3 + 1"))
    assert [len(project(three.pattern, Limb.LH).hits), len(three.pattern.meters.bars)] == [8, 4]
    assert all(hit.onset >= 12 for hit in project(three.pattern, Limb.LH).hits)
