"""Composed rows as a page: laid on the kit, with tempi its player can keep."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from kitgen.course.compose import Composed
from kitgen.course.plan import Setup
from kitgen.course.tempi import playable, tempo_for
from kitgen.course.ways import Way
from kitgen.errors import KitgenError
from kitgen.page import Page, Row, felt


class Offer(NamedTuple):
    """Rows for a page, and how they are laid."""

    way: Way
    rows: tuple[Composed, ...]


def page_of(offer: Offer, setup: Setup, title: str, instruction: str, *, grading: Sequence[str] = ()) -> Page | None:
    """Composed rows as a page; None where one cannot be laid, or its player cannot play it at any tempo."""
    way, rows = offer
    if not rows:
        return None
    try:
        laid = [Row(row.label, way.lay(row.line), row.times) for row in rows]
        top = way.alone(rows[0].line)
    except KitgenError:
        return None
    return page_with(([top] if top else []) + laid, setup, title, instruction, grading=grading)


def page_with(
    rows: Sequence[Row],
    setup: Setup,
    title: str,
    instruction: str,
    *,
    kernels: Sequence[Row] = (),
    notes: Sequence[str] = (),
    grading: Sequence[str] = (),
    line: str = "",
) -> Page | None:
    """Rows as a page, with tempi; None where they make none, or the player cannot play them at any tempo."""
    try:
        page = Page(
            title,
            instruction,
            tuple(rows),
            tempo_for(rows, setup),
            notes=tuple(notes),
            line=line,
            kernels=tuple(kernels),
            grading=tuple(grading),
        )
    except KitgenError:
        return None
    return tempered(page, setup)


def tempered(page: Page, setup: Setup) -> Page | None:
    """A page with tempi its player can keep, swung as they ask; None where there are none."""
    try:
        tempo = playable(page.pattern, page.tempo, setup)
        if tempo is None:
            return None
        if setup.tempo is not None and tempo.goal < page.tempo.goal:
            asked = f"goal lowered to {tempo.goal} from {page.tempo.goal}: the player can play this page no faster"
            page = replace(page, notes=(*page.notes, asked))
        return _settled(replace(page, tempo=tempo))
    except KitgenError:
        return None


def _settled(page: Page) -> Page:
    """The page with the swing its tempo has, where that was left open."""
    feel = page.feel.resolved(page.tempo.quarters)
    if feel == page.feel:
        return page
    return replace(page, rows=felt(page.rows, feel), kernels=felt(page.kernels, feel))
