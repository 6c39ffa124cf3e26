"""The coordination load against pairs of exercises of which teachers give one first (common practice).

The pairs and the reason of each stand in ``pairs_of_exercises.py``. Run with ``-s`` to see how many hold, by kind, next
to simpler measures, and what is left when each number of the load is changed by 30 per cent.
"""

import re
import sys
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from random import Random

import pytest

from kitgen.pattern import Pattern, parse_rows
from kitgen.pattern.load import PARTS, Load, load_of
from kitgen.pattern.load_weights import USUAL_WEIGHTS, LoadWeights
from tests.outside.pairs_of_exercises import GIVEN, LAST, OWN, Pair

# One hand's sixteenths are more to play than the bass gains by falling with them; here teachers need not agree.
NOT_IN_ORDER = {"bass-a-with-vs-between"}
ALL = (*GIVEN, *OWN, *LAST)

Measure = Callable[[Pattern], float]


@cache
def patterns(pair: Pair) -> tuple[Pattern, Pattern]:
    """The easier and the harder of a pair."""
    return parse_rows(pair.easier, pair.meters[0]), parse_rows(pair.harder, pair.meters[1])


def holds(pair: Pair, measure: Measure) -> bool:
    """True if a measure gives the harder one more."""
    easier, harder = patterns(pair)
    return measure(easier) < measure(harder)


def held(pairs: Sequence[Pair], measure: Measure) -> int:
    """How many pairs a measure has in order."""
    return sum(holds(pair, measure) for pair in pairs)


def strokes_a_beat(pattern: Pattern) -> float:
    """Strokes counted, and nothing else."""
    return len(pattern.hits) / len(pattern.meters.beats)


@cache
def loads(pair: Pair) -> tuple[Load, Load]:
    """The loads of a pair with the usual numbers."""
    easier, harder = patterns(pair)
    return load_of(easier), load_of(harder)


@pytest.mark.parametrize("pair", ALL, ids=[pair.name for pair in ALL])
def test_what_teachers_give_later_is_more(pair: Pair) -> None:
    """The later exercise of each pair has the greater load, but for one whose order is in doubt."""
    easier, harder = loads(pair)
    assert (easier.total < harder.total) is (pair.name not in NOT_IN_ORDER)


@pytest.mark.parametrize("pace", [50, 80, 110, 140])
def test_at_a_pace_the_order_is_the_same(pace: float) -> None:
    """With speed counted, at tempi a class plays, as many pairs are in order."""
    assert held(GIVEN, lambda pattern: load_of(pattern, pace=pace).total) == len(GIVEN)


def test_the_pairs_are_those_collected(shared_dir: Path) -> None:
    """The pairs copied here are the collected ones, each with its rows and its reason."""
    path = shared_dir / "checks" / "coordination_pairs.toml"
    if not path.is_file():
        pytest.skip("there are no pairs in the folder 'shared' beside the checkout")
    listed = tomllib.loads(path.read_text("utf-8"))["pair"]
    said = {row["id"]: (tuple(row["easier"]["rows"]), tuple(row["harder"]["rows"]), row["why"]) for row in listed}
    assert {pair.name: (pair.easier, pair.harder, pair.why) for pair in GIVEN} == said


def test_counting_strokes_is_not_enough() -> None:
    """The load orders what strokes alone, or any one part, does not; the table is printed."""
    sets = (GIVEN, OWN, LAST)
    strokes = [held(pairs, strokes_a_beat) for pairs in sets]
    parts = {name: [_ordered(pairs, _value(name)) for pairs in sets] for name in PARTS}
    rows = {"coordination load": [_ordered(pairs, lambda load: load.total) for pairs in sets], "strokes alone": strokes}
    rows |= {PARTS[name]: counts for name, counts in parts.items()}
    table = [f"{'pairs in order':28}{f'given ({len(GIVEN)})':>12}{f'own ({len(OWN)})':>12}{f'last ({len(LAST)})':>12}"]
    table += [f"{name:28}" + "".join(f"{count:12}" for count in counts) for name, counts in rows.items()]
    for kind in dict.fromkeys(pair.kind for pair in ALL):
        of = [pair for pair in ALL if pair.kind == kind]
        table.append(f"  {kind}: {_ordered(of, lambda load: load.total)} of {len(of)}")
    sys.stdout.write("\n" + "\n".join(table) + "\n")
    assert strokes[0] < len(GIVEN) / 2
    assert max(counts[0] for counts in parts.values()) < len(GIVEN) - 5


def _value(name: str) -> Callable[[Load], float]:
    return lambda load: load[name].value


def _ordered(pairs: Sequence[Pair], of_load: Callable[[Load], float]) -> int:
    return sum(of_load(easier) < of_load(harder) for easier, harder in map(loads, pairs))


def measured_with(weights: LoadWeights) -> Measure:
    """The load by other numbers."""
    return lambda pattern: load_of(pattern, weights=weights).total


def weighed_with(weights: LoadWeights) -> Callable[[Load], float]:
    """The same, where only the weights of parts are others, from what was counted already."""
    return lambda load: sum(part.value * getattr(weights, part.name) for part in load.parts)


@pytest.mark.slow
def test_no_number_stands_on_an_edge() -> None:
    """With any one number a third less or more, nearly all pairs stay in order; those lost are printed."""
    lost = {}
    for field in fields(LoadWeights):
        for by in (0.7, 1.3):
            weights = replace(USUAL_WEIGHTS, **{field.name: getattr(USUAL_WEIGHTS, field.name) * by})
            again, weighed = measured_with(weights), weighed_with(weights)
            lost[f"{field.name} x {by}"] = [
                pair.name
                for pair in GIVEN
                if not (_ordered([pair], weighed) if field.name in PARTS else holds(pair, again))
            ]
    sys.stdout.write("\n" + "\n".join(f"{what}: {', '.join(names)}" for what, names in lost.items() if names) + "\n")
    assert max(map(len, lost.values())) <= 2
    assert sum(map(len, lost.values())) <= len(lost) / 4


@pytest.mark.slow
def test_all_numbers_may_be_off_at_once() -> None:
    """With every number off by up to 30 per cent either way, by chance, few pairs are ever lost."""
    chance, counts = Random(20), []
    for _ in range(25):
        off = {
            field.name: getattr(USUAL_WEIGHTS, field.name) * chance.uniform(0.7, 1.3) for field in fields(LoadWeights)
        }
        weights = LoadWeights(**off)
        counts.append(held(GIVEN, measured_with(weights)))
    sys.stdout.write(f"\nin order of {len(GIVEN)}, all numbers off by chance: {sorted(counts)}\n")
    assert min(counts) >= len(GIVEN) - 5
    assert sum(counts) / len(counts) >= len(GIVEN) - 2


def test_kinds_say_what_they_are() -> None:
    """Every pair plays what its rows say, and pairs of the same strokes and nested ones are what they are called."""
    for pair in ALL:
        easier, harder = patterns(pair)
        struck = [len(re.findall(r"[Xxtgf]", "".join(row.split(maxsplit=2)[2] for row in rows))) for rows in pair[1:3]]
        assert [len(easier.hits), len(harder.hits)] == struck
        assert (pair.kind == "same strokes") is (len(easier.hits) == len(harder.hits)), pair.name
        if pair.kind == "nested":
            assert {(hit.onset, hit.limb) for hit in easier} < {(hit.onset, hit.limb) for hit in harder}, pair.name
