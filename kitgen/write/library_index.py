"""The index of a library, written as its pages come: styles, what each section is, a link a tempo."""

from collections.abc import Iterable, Iterator, Mapping
from html import escape
from typing import Any

from kitgen.make.library_words import limbs_of
from kitgen.styles import Style
from kitgen.styles.play_forms import play_form
from kitgen.write.library_files import PageMade, SectionMade
from kitgen.write.text import CAUTION

_STYLE = """
:root { --ink: #1d2733; --soft: #5a6675; --rule: #c9d0d8; --paper: #fbfaf7; --mark: #8a3b12; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 2rem 1.25rem 4rem; max-width: 62rem; background: var(--paper); color: var(--ink);
  font: 1rem/1.5 Georgia, 'Times New Roman', serif; }
h1 { font-size: 1.6rem; margin: 0 0 .25rem; } h2 { font-size: 1.2rem; margin: 0; } p { margin: .4rem 0; }
a { color: var(--mark); } .soft { color: var(--soft); font-size: .9rem; }
nav { columns: 9.5rem auto; margin: 1rem 0; } nav a { display: block; }
section { border-top: 1px solid var(--rule); padding: 1.1rem 0; }
ul { margin: .4rem 0; padding-left: 1.2rem; }
dl { display: grid; grid-template-columns: minmax(9rem, max-content) 1fr; gap: .15rem 1.2rem; margin: .6rem 0 0; }
dt { font-style: italic; } dd { margin: 0; } dd span { white-space: nowrap; margin-right: .8rem; }
@media (max-width: 40rem) { dl { grid-template-columns: 1fr; } dd { margin: 0 0 .4rem 1rem; } }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e8e4da; --soft: #a5adb8; --rule: #3b4552; --paper: #171c23; --mark: #f0a878; } }
@media print { body { background: none; color: #000; padding: 0; max-width: none; } nav { display: none; } }
"""
_LINKS = {
    "mid": "",
    "play": "with count-in and click",
    "without": "without {limbs}",
    "play_without": "without {limbs}, with count-in and click",
    "wav": "to hear, looping",
    "play_wav": "to hear, with count-in and click",
    "click_wav": "click alone",
    "without_wav": "to hear, looping, without {limbs}",
    "play_without_wav": "to hear, without {limbs}, with count-in and click",
    "txt": "text",
    "musicxml": "score",
    "mxl": "compressed score",
    "svg": "picture",
    "pdf": "sheet",
}
_MUTED = ("play", "play_wav")


def head(title: str, names: Iterable[tuple[str, str]]) -> str:
    """The index down to its first style.

    Args:
        title: heads it.
        names: name and title of each style.
    """
    links = "".join(f'<a href="#{escape(name)}">{escape(words)}</a>' for name, words in names)
    return f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(title)}</title><style>{_STYLE}</style></head>
<body><header><h1>{escape(title)}</h1>
<p class="soft">Numbers are beats a minute; they count the note value said under the name of the style. A bare number is
a MIDI file that loops.</p></header>
<nav aria-label="styles">{links}</nav>
<main>
"""


def style_begins(style: Style) -> str:
    """A style's own words, and the list of its sections begun."""
    facts = [str(style.meter), str(style.tempo), _feel(style)]
    if style.clave:
        facts.append(f"clave {style.clave.side} {style.clave.kind}")
    notes = "".join(f"<li>{escape(note)}</li>" for note in style.notes)
    return f"""<section id="{escape(style.name)}"><h2>{escape(style.title)}</h2>
<p>{escape(style.words[:1].upper() + style.words[1:])}.</p>
<p class="soft">{escape("; ".join(facts))}. Source: {escape("; ".join(style.sources))}</p>
{f"<ul>{notes}</ul>" if notes else ""}
<dl>
"""


def _feel(style: Style) -> str:
    if not style.feel.unit:
        return "even"
    ratio = style.feel.ratio_text
    return "swing, by the tempo" if ratio == "auto" else f"swing {ratio}"


def section_told(made: SectionMade, limbs: str) -> str:
    """A section with a link a tempo and kind of file.

    Args:
        made: the section.
        limbs: who is left out in files without some, in words.
    """
    style = made.section.made_of
    known = {item.name: item for item in style.patterns}
    item = known.get(made.section.name)
    words = f"{item.words} ({item.role.value})" if item else _played(made)
    name = made.section.name.replace("-", " ")
    return f"<dt>{escape(name)}</dt><dd>{escape(words)}<br>{' '.join(_links(made, limbs))}</dd>\n"


def _words(limbs: str | None) -> str:
    return " and ".join(limb.words for limb in limbs_of(limbs))


def _played(made: SectionMade) -> str:
    """What is played along with."""
    form = play_form(made.section.recipe.form)
    bars = made.pages[0].entry["bars"]
    longer = f" ({bars} bars in all)" if bars != form.bars else ""
    return f"{form.words}{longer}; phrased, with fills and an ending"


def _links(made: SectionMade, limbs: str) -> Iterator[str]:
    """Links kind after kind; of the loops the tempo alone is said."""
    by_kind: dict[str, list[str]] = {}
    mute = _words(made.section.recipe.mute)
    for page in made.pages:
        files: Mapping[str, str] = page.entry["files"]
        for kind, name in files.items():
            by_kind.setdefault(kind, []).append(f'<a href="{escape(name)}">{page.bpm:g}</a>')
    for kind, links in by_kind.items():
        words = _LINKS[kind].format(limbs=limbs) + (f", without {mute}" if mute and kind in _MUTED else "")
        yield f"<span>{f'{words}: ' if words else ''}{' '.join(links)}</span>"


def style_ends() -> str:
    """The end of a style's sections."""
    return "</dl></section>\n"


def foot(skipped: Iterable[tuple[str, str]]) -> str:
    """What was not made, and the end of the index."""
    no = "".join(f"<li><b>{escape(name)}</b>: {escape(why)}</li>" for name, why in skipped)
    left_out = f"<section><h2>Not made</h2><ul>{no}</ul></section>\n" if no else ""
    return f'{left_out}</main>\n<footer class="soft"><p>{escape(CAUTION)}</p></footer>\n</body></html>\n'


def manifest_entry(page: PageMade, number: int) -> Mapping[str, Any]:
    """What the manifest says of a page, under its number."""
    return {**page.entry, "number": number}
