"""What a plan takes for granted, as elements: its own, those of lines, those of courses a class has been through."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache

from kitgen.apply.limb import usual_surface
from kitgen.course.plan import Known, KnownLine, Plan, Setup
from kitgen.course.rests import length_of
from kitgen.course.ways import elements
from kitgen.kit import HAND_LIMBS, Limb
from kitgen.make.goals import candidate
from kitgen.page import Page, Row, Tempo, learned
from kitgen.pattern import Hit, Pattern


def known_elements(plan: Plan) -> tuple[str, ...]:
    """What a plan takes for granted, sorted."""
    return tuple(sorted({element for known in plan.known for element in _known(known)}))


def _known(known: Known) -> Iterable[str]:
    if isinstance(known, str):
        return [known]
    if isinstance(known, KnownLine):
        return _of_line(known)
    return _of_course(known.plan, known.to)


@lru_cache(maxsize=64)
def _of_course(plan: Plan, to: str | None) -> frozenset[str]:
    """What a class knows that has been through a course, up to the end of a chapter."""
    found, rests = set(known_elements(plan)), 0
    for chapter in plan.chapters:
        sounds = {element for element in found if element.startswith("sound ")}
        for goal in chapter.goals:
            for held in candidate(goal, sounds).task.pages:
                found |= held
        if chapter.rests:
            found.add(f"rest {length_of(rests)} bars")
            rests += 1
        if chapter.title == to:
            break
    return frozenset(found)


def _of_line(known: KnownLine) -> Iterator[str]:
    """The cells of a line in a voice, the beat, and what its lengths show."""
    yield f"cell {known.voice} x"
    limb = Limb[known.voice] if known.voice in Limb.__members__ else HAND_LIMBS[0]
    label = "snare" if limb.is_hand else usual_surface(limb, Setup().on)
    hits = tuple(Hit(note.onset, limb, label, length=note.length) for note in known.line.notes)
    page = Page("known", "", (Row("known", Pattern(hits, known.line.meters)),), Tempo.at(60, Fraction(1)))
    for element in elements(page, Setup().on):
        if element.startswith(("cell ", "value ", "tie", "rest ", "change ")):
            yield element.replace(f"cell {limb.name} ", f"cell {known.voice} ", 1)


def sounds_of(plan: Plan, known: Iterable[str]) -> frozenset[str]:
    """The sounds a plan knows or brings by goals of its own."""
    goals = (goal.element for chapter in plan.chapters for goal in chapter.goals)
    return frozenset(element for element in (*learned(known), *goals) if element.startswith("sound "))
