"""The folder's index: every page with its rows and links, for browser or printer; it loads nothing from elsewhere."""

from collections.abc import Mapping, Sequence
from html import escape

from kitgen.page import Page, Row
from kitgen.page.words import element_words, sentence
from kitgen.pattern import render_rows
from kitgen.write.text import CAUTION, LETTERS, READY, change_words, feel_words, key_words, tempo_words

_LINKS = {
    "mid": "loop (MIDI)",
    "play": "play along (MIDI)",
    "wav": "loop (sound, WAV)",
    "play_wav": "play along (sound, WAV)",
    "click_wav": "its click alone (sound, WAV)",
    "txt": "box text",
    "musicxml": "score (MusicXML)",
    "mxl": "score (MusicXML, compressed)",
    "svg": "picture (SVG)",
    "pdf": "sheet to print (PDF)",
}

_SOUNDS = {"wav": "loop", "play_wav": "play-along", "click_wav": "click alone"}

_STYLE = """
:root { --ink: #1d2733; --soft: #5a6675; --rule: #c9d0d8; --paper: #fbfaf7; --mark: #8a3b12; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 2rem 1.25rem 4rem; max-width: 62rem; background: var(--paper); color: var(--ink);
  font: 1rem/1.5 Georgia, 'Times New Roman', serif; }
h1 { font-size: 1.6rem; margin: 0 0 .25rem; } h2 { font-size: 1.15rem; margin: 0; }
p { margin: .4rem 0; } a { color: var(--mark); } .soft { color: var(--soft); font-size: .9rem; }
nav ol { columns: 22rem auto; padding-left: 1.6rem; margin: 1rem 0; } nav li { break-inside: avoid; }
nav h2 { font-size: .95rem; font-weight: normal; font-style: italic; margin: .9rem 0 0; }
nav h2 + ol { margin: .2rem 0; }
article { border-top: 1px solid var(--rule); padding: 1.1rem 0; break-inside: avoid; }
pre { overflow-x: auto; margin: .6rem 0; padding: .5rem 0;
  font: .92rem/1.35 ui-monospace, 'DejaVu Sans Mono', Menlo, monospace; }
h3 { font-size: .95rem; margin: .7rem 0 0; font-weight: normal; font-style: italic; }
ul.links { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .3rem 1.2rem; margin: .4rem 0; }
.aside { border-left: 3px solid var(--rule); padding-left: .9rem; }
.new { font-weight: bold; }
.fill i { display: inline-block; width: 9rem; border-bottom: 1px solid var(--soft); margin-right: 1rem; }
ul.ready { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .2rem 1.4rem; margin: .5rem 0; }
ul.ready li::before { content: ""; display: inline-block; width: .75em; height: .75em; border: 1px solid var(--ink);
  margin-right: .45em; }
table { border-collapse: collapse; margin: .6rem 0; font-size: .9rem; } tbody td { min-width: 5.5rem; height: 1.7rem; }
th, td { border: 1px solid var(--rule); padding: .15rem .5rem; font-weight: normal; text-align: left; }
img.score { max-width: 100%; background: #fff; } label { display: flex; align-items: center; gap: .6rem; }
details { font-size: .85rem; color: var(--soft); } code { overflow-wrap: anywhere; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e8e4da; --soft: #a5adb8; --rule: #3b4552; --paper: #171c23; --mark: #f0a878; } }
@media print {
  @page { margin: 12mm 14mm; }
  body > header, nav, ul.links, details, label, img.score, main ~ footer { display: none; }
  body { background: none; color: #000; padding: 0; max-width: none; font-size: 10.5pt; line-height: 1.3; }
  article { break-before: page; break-inside: auto; border: 0; padding: 0; } article:first-child { break-before: auto; }
  h3 { break-after: avoid; margin: .35rem 0 0; } p, ul.ready, table { margin: .2rem 0; }
  pre { break-inside: avoid; margin: .15rem 0; padding: .1rem 0; font-size: 9pt; line-height: 1.15; }
  article::after { content: attr(data-foot); display: block; font-size: .75rem; margin-top: 1rem; } }
"""


def index_page(
    title: str,
    pages: Sequence[Page],
    entries: Sequence[Mapping[str, object]],
    refused: Sequence[tuple[str, str]] = (),
    *,
    one_new: bool = False,
    chapters: Sequence[tuple[str, int]] = (),
    book: str = "",
    beside: Mapping[str, str] | None = None,
) -> str:
    """The index as an HTML document.

    Args:
        title: heads it.
        pages: the pages.
        entries: their entries in the manifest.
        refused: (application, reason) pairs.
        one_new: say on each page what is new there.
        chapters: title and number of the first page of each.
        book: the file all pages are in, if there is one.
        beside: what files beside the pages are, by name.
    """
    articles = [_article(page, entry, one_new=one_new) for page, entry in zip(pages, entries, strict=True)]
    nav = f'<nav aria-label="pages">{_contents(pages, entries, chapters)}</nav>' if len(pages) > 1 else ""
    bound = f'<p><a href="{escape(book)}">All pages as one book to print (PDF)</a></p>\n' if book else ""
    bound += "".join(f'<p><a href="{escape(name)}">{escape(what)}</a></p>\n' for name, what in (beside or {}).items())
    no = "".join(f"<li><b>{escape(name)}</b>: {escape(why)}</li>" for name, why in refused)
    left_out = f"<article><h2>Not made</h2><ul>{no}</ul></article>" if no else ""
    return f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(title)}</title><style>{_STYLE}</style></head>
<body><header><h1>{escape(title)}</h1>
<p class="soft">A group of boxes is a beat, each box an even part of it: {escape(LETTERS)}.
RH and LH are the hands, RF and LF the feet.</p>
{bound}</header>
{nav}
<main>
{"".join(articles)}{left_out}
</main>
<footer class="soft"><p>{escape(CAUTION)}</p></footer>
</body></html>
"""


def _contents(
    pages: Sequence[Page], entries: Sequence[Mapping[str, object]], chapters: Sequence[tuple[str, int]]
) -> str:
    """Links to the pages, under the titles of their chapters."""
    parts, items = [], list[str]()
    titles: dict[object, list[str]] = {}
    for title, first in chapters:
        titles.setdefault(first, []).append(title)
    for page, entry in zip(pages, entries, strict=True):
        number = entry["number"]
        if number in titles:
            parts += [_listed(items), *(f"<h2>{escape(title)}</h2>" for title in titles[number])]
            items = []
        items.append(f'<li value="{number}"><a href="#page-{number}">{escape(page.title)}</a></li>')
    return "".join((*parts, _listed(items)))


def _listed(items: Sequence[str]) -> str:
    return f"<ol>{''.join(items)}</ol>" if items else ""


def _article(page: Page, entry: Mapping[str, object], *, one_new: bool) -> str:
    files = entry["files"]
    assert isinstance(files, dict)
    links = "".join(
        f'<li><a href="{escape(files[kind])}">{words}</a></li>' for kind, words in _LINKS.items() if kind in files
    )
    rows = "".join(_row(page, row) for row in page.rows)
    kernels = "".join(_row(page, row) for row in page.kernels)
    aside = f'<section class="aside"><h3>To loop on the side</h3>{kernels}</section>' if kernels else ""
    heading = f'<p class="soft">{escape(page.heading)}</p>' if page.heading else ""
    line = f"<h3>as written</h3><pre>{escape(page.line)}</pre>" if page.line else ""
    unwritten = entry.get("not_written", {})
    assert isinstance(unwritten, dict)
    missing = [f"no score of this page: {why}" for why in dict.fromkeys(unwritten.values())]
    told = (*page.notes, *_as_usual(entry), *missing, *_heard(entry))
    notes = "".join(f'<p class="soft">{escape(sentence(note))}</p>' for note in told)
    new = entry["new"]
    assert isinstance(new, list)
    said = escape(", ".join(element_words(str(item)) for item in new) or "nothing")
    shown = f'<p class="new">New here: {said}</p>\n' if one_new else ""
    folded = "" if one_new else f"<p>New here: {said}.</p>\n"
    foot = escape(f"{page.recipe} · {CAUTION}")
    return f"""<article id="page-{entry["number"]}" data-foot="{foot}">
{heading}<h2>{entry["number"]}. {escape(page.title)}</h2>
{shown}<p>{escape(page.instruction)}</p>
<p class="soft">{escape(_facts(page))}</p>{notes}
{line}{rows}{aside}
{_by_hand(page)}
<ul class="links">{links}</ul>
{_seen_and_heard(page, files)}<details><summary>The recipe</summary>
{folded}<p><code>{escape(page.recipe)}</code></p></details></article>
"""


def _seen_and_heard(page: Page, files: Mapping[str, str]) -> str:
    """The page's picture and its sounds, where there are files of them."""
    sounds = "".join(
        f'<p><label>{words} <audio controls preload="none" src="{escape(files[kind])}"></audio></label></p>\n'
        for kind, words in (("wav", "loop"), ("play_wav", "play along"))
        if kind in files
    )
    if "svg" not in files:
        return sounds
    alt = escape(f"the notes of {page.title}")
    return f'{sounds}<p><img class="score" src="{escape(files["svg"])}" alt="{alt}" loading="lazy"></p>\n'


def _as_usual(entry: Mapping[str, object]) -> list[str]:
    """What the play-along does as usual, though it was asked for otherwise."""
    told = entry.get("played_as_usual", [])
    assert isinstance(told, list)
    return [f"the play-along is {why}" for why in told]


def _heard(entry: Mapping[str, object]) -> list[str]:
    """How long and how loud the page's sounds are."""
    sound = entry.get("sound")
    if not isinstance(sound, dict):
        return []
    parts = [
        f"{words} {sound[kind]['seconds']:.1f} s, {_level(sound[kind]['loudness_lufs'], 'LUFS')}, "
        f"true peak {_level(sound[kind]['true_peak_dbfs'], 'dBFS')}"
        for kind, words in _SOUNDS.items()
        if kind in sound
    ]
    return [f"Sound: {'; '.join(parts)}"]


def _level(level: float | None, unit: str) -> str:
    return "silent" if level is None else f"{level:.1f} {unit}".replace("-", "\N{MINUS SIGN}")


def _row(page: Page, row: Row) -> str:
    times = f" <small>({row.times} times)</small>" if row.times > 1 else ""
    return f"<h3>{escape(row.label)}{times}</h3><pre>{escape(_boxes(page, row))}</pre>"


def _by_hand(page: Page) -> str:
    """What is filled in: who, when, how fast; boxes to tick, or a table of rows and what they are graded for."""
    name = '<p class="fill">name <i></i> date <i></i> bpm reached <i></i></p>'
    if not page.grading:
        boxes = "".join(f"<li>{escape(words)}</li>" for line in READY for words in line)
        return f'{name}<ul class="ready" aria-label="ready to move on">{boxes}</ul>'
    head = "".join(f'<th scope="col">{escape(words)}</th>' for words in page.grading)
    empty = "<td></td>" * len(page.grading)
    rows = "".join(f'<tr><th scope="row">{escape(row.label)}</th>{empty}</tr>' for row in page.rows)
    return f"{name}<table><thead><tr><td></td>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _boxes(page: Page, row: Row) -> str:
    return render_rows(row.pattern, count_quarters=page.count_quarters, meter=page.bars[0].meter)


def _facts(page: Page) -> str:
    bars = len(page.bars)
    changes = "".join(f", {change_words(page, *change)}" for change in page.tempo_changes)
    return (
        f"{page.bars[0].meter}, {bars} bar{'s' if bars > 1 else ''}; {tempo_words(page.tempo)}{changes}; "
        + feel_words(page)
        + ("; counted in quarters" if page.count_quarters else "")
        + (f"; clave {page.clave}" if page.clave else "")
        + f"; MIDI keys: {key_words(page)}"
    )
