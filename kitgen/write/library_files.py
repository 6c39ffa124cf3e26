"""The files of one section of a library at all its tempi: a function from one value to another, for any process."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, NamedTuple

from kitgen.kit import Limb
from kitgen.make.library import LibraryPage, Section, Skipped, pages_of
from kitgen.make.library_words import limbs_of
from kitgen.write.along import PlayAlong
from kitgen.write.chosen import Chosen, chosen
from kitgen.write.library_played import along_of, human_of, program_of
from kitgen.write.manifest import page_entry
from kitgen.write.midi import loop, play_along
from kitgen.write.page_files import Manner, PageFiles, PageWork, page_files

if TYPE_CHECKING:
    from kitgen.write.played import Hearing

KINDS = ("mid", "txt", "musicxml", "mxl", "svg", "pdf", "wav")
"""Kinds of file a library is written in; a book of thousands of pages is none."""

_PLAYED = ("mid", "wav")


class LibraryWork(NamedTuple):
    """A section, the kinds of file it is written in, and how it is heard; as usual unless said."""

    section: Section
    kinds: tuple[str, ...] = ("mid",)
    hearing: "Hearing | None" = None


class PageMade(NamedTuple):
    """A page of a library that was made.

    Args:
        bpm: its tempo.
        entry: what the manifest says of it, without a number.
        files: its files, by name.
        as_usual: what its play-along does not do as asked for, and why; None where there is none.
    """

    bpm: float
    entry: Mapping[str, Any]
    files: tuple[tuple[str, bytes], ...]
    as_usual: tuple[str, ...] | None = None


class SectionMade(NamedTuple):
    """What was made of a section."""

    section: Section
    pages: tuple[PageMade, ...]
    skipped: tuple[Skipped, ...]


def section_files(work: LibraryWork) -> SectionMade:
    """The files of a section.

    Raises:
        KitgenError: a file that a page's recipe needs, or a picture, cannot be read or set.
    """
    pages: list[PageMade] = []
    skipped: list[Skipped] = []
    look = chosen(vars(work.section.recipe))
    for made in pages_of(work.section):
        if isinstance(made, Skipped):
            skipped.append(made)
        else:
            pages.append(_page_made(made, work, look))
    return SectionMade(work.section, tuple(pages), tuple(skipped))


def library_stem(made: LibraryPage) -> str:
    """A page's file name without ending, in its style's folder: style, section, bpm, meter, bars, clave."""
    page = made.page
    meter, bars = page.bars[0].meter, len(page.bars)
    parts = [
        made.style,
        made.section,
        f"{made.bpm:g}bpm".replace(".", "_"),
        f"{meter.numerator}-{meter.denominator}",
        f"{bars}bar{'s' if bars > 1 else ''}",
        *([f"clave-{page.clave}"] if page.clave else []),
    ]
    return f"{made.style}/{'-'.join(parts)}"


def _page_made(made: LibraryPage, work: LibraryWork, look: Chosen) -> PageMade:
    recipe, stem, keys = work.section.recipe, library_stem(made), dict(work.section.kit.keys)
    along = along_of(made, work.section)
    made = along.made if along else made
    others = tuple(kind for kind in work.kinds if kind not in _PLAYED)
    page_work = PageWork(
        made.page, 0, stem, PlayAlong(), None, Manner(others, recipe.tracks, recipe.seed, keys or None, *look)
    )
    files, sound = _played(made, work, stem, along.how if along else None)
    written = page_files(page_work) if others else PageFiles({}, {})
    written = PageFiles(files | dict(written.files), written.unwritten, sound=sound)
    entry = page_entry(page_work, made.elements, [], written, {})
    if along and along.as_usual:
        entry["played_as_usual"] = list(along.as_usual)
    return PageMade(made.bpm, entry, tuple(written.files.values()), along and along.as_usual)


class _Version(NamedTuple):
    """A page as it is played: whole, or without the limbs a student is to play.

    Args:
        kinds: the kinds of its loop and of its play-along.
        stems: their names without endings.
        muted: the limbs the loop is without.
        along: how it is played along with, if it is.
    """

    kinds: tuple[str, str]
    stems: tuple[str, str]
    muted: tuple[Limb, ...]
    along: PlayAlong | None


def _versions(made: LibraryPage, work: LibraryWork, stem: str, along: PlayAlong | None) -> Iterator[_Version]:
    playing = made.page.pattern.limbs
    yield _Version(("mid", "play"), (stem, _less(stem, along.muted if along else ())), (), along)
    limbs = limbs_of(work.section.recipe.without)
    left = [limb for limb in playing if limb not in limbs]
    if limbs and left and len(left) < len(playing):
        out = _less(stem, limbs)
        yield _Version(("without", "play_without"), (out, out), limbs, along and replace(along, muted=limbs))


def _less(stem: str, limbs: Sequence[Limb]) -> str:
    """A file's name that says which limbs it is without."""
    return f"{stem}-without-{'-and-'.join(limb.words.replace(' ', '-') for limb in limbs)}" if limbs else stem


def _played(
    made: LibraryPage, work: LibraryWork, stem: str, along: PlayAlong | None
) -> tuple[dict[str, tuple[str, bytes]], Mapping[str, Any]]:
    """The files in which a page is played, and what the manifest says of those that are heard."""
    files: dict[str, tuple[str, bytes]] = {}
    sound: dict[str, Any] = {}
    how = _how(work.section)
    for version in _versions(made, work, stem, along):
        if "mid" in work.kinds:
            both = _midi(made, version, {**how, "keys": dict(work.section.kit.keys) or None})
            names = (f"{version.stems[0]}.mid", f"{version.stems[1]}.play.mid")
            files |= {kind: (name, data) for kind, name, data in zip(version.kinds, names, both, strict=True) if data}
        if "wav" in work.kinds:
            heard, said = _heard(version, _midi(made, version, how), work.hearing)
            files, sound = files | heard, sound | said
    return files, sound


def _how(section: Section) -> dict[str, Any]:
    recipe = section.recipe
    return {
        "tracks": recipe.tracks,
        "seed": recipe.seed,
        "human": human_of(section),
        "program": program_of(section),
    }


def _midi(made: LibraryPage, version: _Version, how: Mapping[str, Any]) -> tuple[bytes, bytes]:
    """A page's loop, and what is to be played along with: count-in, click, once through; nothing where it is looped."""
    along = b"" if version.along is None else play_along(made.page, version.along, **how)
    return loop(made.page, **how, muted=version.muted), along


def _heard(
    version: _Version, midi: tuple[bytes, bytes], hearing: "Hearing | None"
) -> tuple[dict[str, tuple[str, bytes]], dict[str, Any]]:
    """The WAV files of a version; a click that is apart is one for all versions."""
    from kitgen.write.page_sounds import page_sounds

    if hearing is not None and version.along is not None and version.along.click.kind == "none":
        hearing = hearing._replace(click_apart=False)
    stem, along_stem = version.stems
    made = page_sounds(midi[0], midi[1] or None, hearing, stem=stem, along_stem=along_stem)
    kinds = {"wav": "wav", "play_wav": "play_wav", "click_wav": "click_wav"}
    if version.muted:
        kinds = {"wav": "without_wav", "play_wav": "play_without_wav"}
    files = {kinds[kind]: file for kind, file in made.files.items() if kind in kinds}
    return files, {
        kinds.get(kind, kind): said for kind, said in made.said.items() if kind != "click_wav" or kind in kinds
    }
