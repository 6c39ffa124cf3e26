"""A plan from a TOML file, or a built-in course; the format stands in :mod:`kitgen.course.plan`."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from kitgen.course.naming import VOICES, element_from
from kitgen.course.plan import ORDERS, Chapter, Known, KnownCourse, KnownLine, Plan, Setup
from kitgen.errors import KitgenError, OptionError, PlanError, ReadError, UnknownNameError
from kitgen.read.plan_goals import SETUP, goal_of, setup_of
from kitgen.read.plan_text import ALSO_CALLED, PlanText
from kitgen.read.toml_files import check_keys, is_file, shown, text_in, values_in, words_of

_WHAT = "a plan"
_COURSES = Path(__file__).resolve().parents[1] / "course" / "courses"
_PLAN = ("title", "heading", "known", "seed", "chapter", *SETUP)
_CHAPTER = ("title", "goals", "order", "rests", "review", *SETUP)
_KNOWN_FORMS = '"meter 4/4", { line = "1 & 2", limb = "LH" } or { course = "rhythm", to = "a chapter" }'


class PlanFile(NamedTuple):
    """A plan and where it came from.

    Args:
        plan: the plan.
        words: its course's name, or its file's, for recipes.
        sums: the names and hashes of its file and of those it names.
    """

    plan: Plan
    words: str
    sums: tuple[str, ...] = ()


def course_names() -> tuple[str, ...]:
    """The built-in courses, those that build on none first."""
    names = sorted(path.stem for path in _COURSES.glob("*.toml"))
    return tuple(sorted(names, key=lambda name: "course =" in (_COURSES / f"{name}.toml").read_text("utf-8")))


def plan_named(given: str) -> PlanFile:
    """A built-in course by name, or a plan from a TOML file.

    Raises:
        UnknownNameError: no such course.
        PlanError: plans that take each other for known.
        ReadError: a file that is no plan; names file, line and key, and what is allowed.
    """
    return _plan_named(given, Path(), ())


def _plan_named(given: str, folder: Path, trail: tuple[str, ...]) -> PlanFile:
    path = folder / given if is_file(given) else _COURSES / f"{given}.toml"
    if not is_file(given) and given not in course_names():
        raise UnknownNameError("course", given, [*course_names(), "FILE.toml"])
    name = str(path.resolve())
    if name in trail:
        circle = [Path(one).name for one in (*trail[trail.index(name) :], name)]
        raise PlanError(
            f"known goes in a circle: {' takes for known '.join(circle)}; name elements in one of them instead"
        )
    text = PlanText(path, text_in(path, _WHAT), (*trail, name))
    values = values_in(text.text, path, _WHAT)
    try:
        plan = _plan(text, values)
    except ReadError:
        raise
    except KitgenError as error:
        raise ReadError(f"{text.place(error)}: {error}") from error
    if not is_file(given):
        return PlanFile(plan, given)
    return PlanFile(plan, path.name, tuple(dict.fromkeys((*words_of(str(path), _WHAT)[1], *text.sums))))


def _plan(text: PlanText, values: Mapping[str, Any]) -> Plan:
    check_keys(values, "key of a plan", _PLAN, ALSO_CALLED)
    setup = setup_of(text, values, Setup())
    known = _known(text, values.get("known", []), setup)
    tables = values.get("chapter", [])
    text.sought = "chapter"
    if not isinstance(tables, list) or not tables or not all(isinstance(table, dict) for table in tables):
        raise PlanError("no [[chapter]]; a plan has one or more, each with a title and goals")
    starts = [n for n, line in enumerate(text.text.splitlines()) if re.match(r"\s*\[\[\s*chapter\s*\]\]", line)]
    chapters = []
    for index, table in enumerate(tables):
        text.where, text.sought = f"chapter {index + 1}", ""
        text.first_line = starts[index] if len(starts) == len(tables) else 0
        chapters.append(_chapter(text, table, index + 1, setup))
    text.where, text.first_line = "", 0
    titles = [chapter.title for chapter in chapters]
    text.sought = next((title for title in titles if titles.count(title) > 1), "")
    if text.sought:
        raise PlanError(f"two chapters are called {text.sought!r}; give each a title of its own")
    title, heading = text.words(values, "title", text.path.stem), text.words(values, "heading")
    return Plan(title, tuple(chapters), known, heading, text.number(values, "seed"), setup)


def _chapter(text: PlanText, table: dict[str, Any], number: int, base: Setup) -> Chapter:
    check_keys(table, "key of a chapter", _CHAPTER, ALSO_CALLED)
    title = text.words(table, "title", f"Chapter {number}")
    where = text.where = f"chapter {number} ({title})"
    setup = setup_of(text, table, base)
    goals = table.get("goals", [])
    if not isinstance(goals, list) or not goals:
        text.sought = "goals"
        raise PlanError(f'goals = {shown(goals)}; a chapter has one goal or more, such as goals = ["value half"]')
    made = []
    for index, goal in enumerate(goals, start=1):
        text.where = f"{where}, goal {index}"
        made.append(goal_of(text, goal, setup))
    text.where = where
    order = text.words(table, "order", ORDERS[0])
    if order not in ORDERS:
        text.sought = "order"
        raise UnknownNameError("order", order, ORDERS)
    return Chapter(title, tuple(made), order, text.truth(table, "rests"), text.truth(table, "review"), setup)


# ---- known -----------------------------------------------------------------------------------------------------------


def _known(text: PlanText, given: object, setup: Setup) -> tuple[Known, ...]:
    text.sought = "known"
    if not isinstance(given, list):
        raise OptionError(f"known = {shown(given)}; it is a list of {_KNOWN_FORMS}")
    if not given:
        raise PlanError(
            "known is empty, and a first page can bring one new thing only; name what is taken for granted, "
            'at least a meter and a sound, such as known = ["meter 4/4", "sound RH snare"]'
        )
    return tuple(_one_known(text, one, setup) for one in given)


def _one_known(text: PlanText, given: object, setup: Setup) -> Known:
    if isinstance(given, str):
        text.sought = given
        return element_from(given)
    if isinstance(given, dict) and "line" in given:
        check_keys(given, "key of a known line", ("line", "limb", "meter"), ALSO_CALLED)
        voice, meter = text.words(given, "limb", "hands"), text.words(given, "meter", setup.meter)
        if voice not in VOICES:
            text.sought = "limb"
            raise UnknownNameError("voice", voice, VOICES)
        return KnownLine(text.line(given, meter).line, voice)
    if not isinstance(given, dict) or not {"course", "plan"} & given.keys():
        raise OptionError(f"known has {shown(given)}; it is a list of {_KNOWN_FORMS}")
    check_keys(given, "key of a known course", ("course", "plan", "to"), ALSO_CALLED)
    key = text.sought = "plan" if "plan" in given else "course"
    source = _plan_named(text.words(given, key), text.path.parent, text.trail)
    text.sums += source.sums
    to = text.words(given, "to") or None
    titles = [chapter.title for chapter in source.plan.chapters]
    if to is not None and to not in titles:
        text.sought = "to"
        raise UnknownNameError(f"chapter of {source.words}", to, titles)
    return KnownCourse(source.plan, to)
