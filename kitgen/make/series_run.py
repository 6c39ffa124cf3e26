"""A plan's pages one after the other: goals in their order, bridges before them, and what ends a chapter.

What is known grows with each page. A page about an element is composed from what is known when its turn comes; where
that is not enough, pages come first that bring what it takes, as far as they lead anywhere.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from kitgen.course.lessons import lesson
from kitgen.course.plan import Chapter, Plan, Setup
from kitgen.course.planner import contradiction, order_of
from kitgen.course.rests import rests_page
from kitgen.course.reviews import review_pages
from kitgen.course.teaching import Place, steps_to, teaching_order
from kitgen.course.ways import elements
from kitgen.errors import PlanError
from kitgen.make.ahead import easier_first, in_usual_order
from kitgen.make.goal_faults import (
    brought_before,
    check_goals,
    comes_with,
    contradictory,
    nothing_new,
    unreachable,
)
from kitgen.make.goals import Candidate, besides_of, candidate, with_needs
from kitgen.make.known import known_elements, sounds_of
from kitgen.page import Page, learned, new_in
from kitgen.page.words import element_words

Told = Callable[[int, int], None]
"""Told how many pages there are, and of how many at least, as each is made."""


class Placed(NamedTuple):
    """A page in its place.

    Args:
        page: the page.
        elements: what it takes.
        kind: ``goal``, ``bridge``, ``rests`` or ``review``.
        setup: what it was made for.
        application: what it counts as an application of.
        set_up: who plays and on what, by option, where the recipe of the page cannot say.
    """

    page: Page
    elements: tuple[str, ...]
    kind: str
    setup: Setup
    application: str | None = None
    set_up: tuple[tuple[str, str], ...] = ()


class Run(NamedTuple):
    """What a plan comes to.

    Args:
        known: what it takes for granted.
        placed: every page.
        remarks: what was bridged, a sentence each.
        chapters: title and number of the first page of each.
    """

    known: tuple[str, ...]
    placed: tuple[Placed, ...]
    remarks: tuple[str, ...]
    chapters: tuple[tuple[str, int], ...]


def run_of(plan: Plan, told: Told | None = None) -> Run:
    """Every page of a plan, in order.

    Args:
        plan: the plan.
        told: is told of each page as it is made.

    Raises:
        PlanError: goals that contradict each other, or that no page can bring; says where they are and why.
    """
    known = known_elements(plan)
    growing = _Growing(plan, known, told or (lambda _done, _of: None))
    check_goals(plan, growing.known)
    chapters = []
    for number, chapter in enumerate(plan.chapters, start=1):
        chapters.append((chapter.title, len(growing.placed) + 1))
        growing.chapter(chapter, f"chapter {number} ({chapter.title})")
    return Run(known, tuple(growing.placed), tuple(growing.remarks), tuple(chapters))


@dataclass
class _Growing:
    """A series as it grows: what is known, the pages so far, what there is to say."""

    plan: Plan
    start: tuple[str, ...]
    told: Told
    placed: list[Placed] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    brought: dict[str, str] = field(default_factory=dict)
    rests: int = 0

    def __post_init__(self) -> None:
        self.known = learned(self.start)
        self.sounds = sounds_of(self.plan, self.start)
        self.expected = sum(len(one.goals) + one.rests + one.review for one in self.plan.chapters)

    # ---- chapters ----------------------------------------------------------------------------------------------------

    def chapter(self, chapter: Chapter, where: str) -> None:
        """A chapter's goals, in their order, and the pages at its end."""
        free = chapter.order == "free"
        goals = [candidate(goal, self.sounds, known=self.known if free else None) for goal in chapter.goals]
        first = len(self.placed)
        ordered = [goals[index] for index in self._order(goals)] if free else goals
        for index, goal in enumerate(ordered):
            for element, by in easier_first(goal, ordered[index + 1 :], self.known):
                self._early(element, by, goal)
            self._place(goal)
        pages = [one.page for one in self.placed[first:]]
        if chapter.rests:
            self._rests(chapter, where, pages)
        if chapter.review:
            self._review(chapter, where, pages)

    def _order(self, goals: Sequence[Candidate]) -> tuple[int, ...]:
        tasks = [goal.task for goal in in_usual_order(goals)]
        order = order_of(tasks, self.known)
        if len(order) == len(tasks):
            return order
        raise PlanError(contradictory([goals[index].goal for index in contradiction(tasks, self.known)]))

    def _early(self, element: str, by: Candidate, before: Candidate) -> None:
        """A bridge to a later goal, brought before a harder cell; left for later where there is no page for it yet."""
        on_top = [need for need in with_needs([element]) if need not in self.known and need != element]
        if all(self._lesson(need, before, bridge=True, deep=0) for need in sorted(on_top, key=self._key(before))):
            self._lesson(element, by, bridge=True, deep=0)

    def _place(self, one: Candidate) -> None:
        """A goal's pages, each after what bridges to it."""
        if one.goal.element:
            if one.goal.element in self.known:
                raise PlanError(brought_before(one.goal, self.brought))
            self._bridge(one, one.needs, leave=one.goal.element)
            if one.goal.element in self.known:
                raise PlanError(comes_with(one.goal, one.needs))
            if not self._lesson(one.goal.element, one):
                raise PlanError(unreachable(one.goal, [one.goal.element], self.known))
            return
        taught = False
        for page, held in one.pages:
            if new_in(held, self.known):
                self._bridge(one, with_needs(held))
                self._add(Placed(page, tuple(sorted(held)), "goal", one.goal.setup, one.application), one)
                taught = True
        if not taught:
            everything = {element for _, held in one.pages for element in held}
            raise PlanError(nothing_new(one.goal, everything, self.brought))

    # ---- pages -------------------------------------------------------------------------------------------------------

    def _bridge(self, one: Candidate, held: frozenset[str], *, leave: str = "") -> None:
        """Pages that bring all but one of what is not known yet, so that the goal's page brings the last."""
        while waiting := self._waiting(one, held, leave):
            if not any(self._lesson(element, one, bridge=True, deep=deep) for deep in (0, 2) for element in waiting):
                raise PlanError(unreachable(one.goal, waiting, self.known))

    def _waiting(self, one: Candidate, held: frozenset[str], leave: str) -> list[str]:
        """What is to be brought before a page with these elements, in order; nothing where its own turn has come."""
        new = new_in(held, self.known)
        steps = {step for element in new for step in steps_to(element, one.goal.setup.on)} - self.known
        if not steps and (not new or new == (leave,) or (not leave and len(new) == 1)):
            return []
        return sorted({*new, *steps} - {leave}, key=self._key(one))

    @staticmethod
    def _key(one: Candidate) -> Callable[[str], Place]:
        return lambda element: teaching_order(element, one.goal.setup.on)

    def _lesson(self, element: str, one: Candidate, *, bridge: bool = False, deep: int = 3) -> bool:
        """The page that brings an element, after what it takes besides if need be; False where there is none."""
        setup, before = one.goal.setup, self._mark()
        page = self._composed(element, setup)
        if page is None and deep:
            besides = sorted(besides_of(element, self.known, setup), key=self._key(one))
            if besides and all(
                other in self.known or self._lesson(other, one, bridge=True, deep=deep - 1) for other in besides
            ):
                page = self._composed(element, setup)
        if page is None:
            self._back(before)
            return False
        kind, _, name = element.partition(" ")
        application = name if kind == "application" else None
        if bridge:
            words = f"a bridge: it brings {element_words(element)}, for {one.goal.words}"
            page = replace(page, notes=(*page.notes, words))
            self.remarks.append(
                f"page {len(self.placed) + 1} ({page.title}) is a bridge to {one.goal.where}, {one.goal.words}"
            )
        held = elements(page, setup.on, application)
        self._add(Placed(page, held, "bridge" if bridge else "goal", setup, application), one)
        return True

    def _composed(self, element: str, setup: Setup) -> Page | None:
        """The page about an element in its own meter; where that is new as well, in one that is known."""
        meters = [setup.meter]
        if f"meter {setup.meter}" not in self.known and not element.startswith("meter "):
            meters += [known.removeprefix("meter ") for known in sorted(self.known) if known.startswith("meter ")]
        tried = (lesson(element, self.known, replace(setup, meter=meter), seed=self._seed()) for meter in meters)
        return next((page for page in tried if page is not None), None)

    def _mark(self) -> tuple[int, int, frozenset[str], dict[str, str]]:
        return len(self.placed), len(self.remarks), self.known, dict(self.brought)

    def _back(self, mark: tuple[int, int, frozenset[str], dict[str, str]]) -> None:
        """Take back the pages since a mark, which have led nowhere."""
        pages, remarks, self.known, self.brought = mark
        del self.placed[pages:], self.remarks[remarks:]

    def _rests(self, chapter: Chapter, where: str, pages: Sequence[Page]) -> None:
        for setup in (chapter.setup, replace(chapter.setup, way="alone")):
            page = rests_page(self.known, setup, seed=self._seed(), number=self.rests, pages=pages)
            if page is not None:
                break
        else:
            raise PlanError(
                f"{where}: no page of long rests can be made of what is known then; bring cells and sounds that both "
                "hands can play, or say rests = false"
            )
        self.rests += 1
        self._add(Placed(page, elements(page, chapter.setup.on), "rests", chapter.setup))

    def _review(self, chapter: Chapter, where: str, pages: Sequence[Page]) -> None:
        reviews = review_pages(self.known, pages, chapter.setup, title=chapter.title)
        if not reviews:
            raise PlanError(f"{where}: no page to be graded can be made of what it brings")
        for page in reviews:
            self._add(Placed(page, elements(page, chapter.setup.on), "review", chapter.setup))

    def _add(self, one: Placed, by: Candidate | None = None) -> None:
        for element in new_in(one.elements, self.known):
            self.brought[element] = by.goal.where if by else f"page {len(self.placed) + 1}"
        self.placed.append(one)
        self.known |= learned(one.elements)
        self.told(len(self.placed), max(len(self.placed), self.expected))

    def _seed(self) -> int:
        return self.plan.seed * 10_000 + len(self.placed)
