"""What a command leaves behind: a folder, or pages on the terminal."""

import json
import sys
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from kitgen.cli.jobs import check_jobs, side_by_side
from kitgen.cli.progress import progress
from kitgen.write.folder import write_folder
from kitgen.write.manifest import Folder, folder_files, kinds_of, page_texts

_SLOW = ("svg", "pdf", "wav", "book")


def check_output(options: Mapping[str, Any]) -> tuple[str, ...]:
    """The kinds of file asked for, once they and the number of jobs are seen to be possible.

    Raises:
        OptionError: they are not.
    """
    check_jobs(options["jobs"])
    return kinds_of(options["to"])


def deliver(folder: Folder, options: Mapping[str, Any], *, usual: str) -> None:
    """Print the pages, or write the folder and say what to open.

    Args:
        folder: the pages.
        options: the options of ``OUTPUT_OPTIONS``, by name.
        usual: where to write where nobody says.
    """
    if options["show"] and not options["as_json"]:
        sys.stdout.write("\n".join(page_texts(folder)))
        return
    out = Path(options["out"] or usual)
    if "wav" in folder.kinds and not options["show"]:
        manifest = _heard(folder, options, out)
    else:
        files = _files(folder, options)
        if not options["show"]:
            write_folder(out, files, force=options["force"])
        manifest = json.loads(files["manifest.json"])
    if options["as_json"]:
        sys.stdout.write(json.dumps(manifest, indent=1) + "\n")
    else:
        print("\n".join(_told(manifest, out)))
    for words in _not_written(manifest):
        print(words, file=sys.stderr)


def _files(
    folder: Folder, options: Mapping[str, Any], sounds_to: Callable[[str, bytes], None] | None = None
) -> dict[str, bytes]:
    """The files of a folder, by several processes where that is asked for and takes long."""
    jobs = options["jobs"] if set(folder.kinds) & set(_SLOW) else 1
    with side_by_side(jobs, len(folder.pages)) as executor, progress("writing pages") as told:
        return folder_files(folder, executor=executor, told=told, sounds_to=sounds_to)


def _heard(folder: Folder, options: Mapping[str, Any], out: Path) -> Mapping[str, Any]:
    """Write a folder with sounds, which are on their way as soon as each is made; what its manifest says."""
    from kitgen.write.stage import staged

    with staged(out, force=options["force"]) as stage:
        files = _files(folder, options, stage.write)
        for name, data in files.items():
            stage.write(name, data)
    manifest: Mapping[str, Any] = json.loads(files["manifest.json"])
    return manifest


def _told(manifest: Mapping[str, Any], out: Path) -> Iterator[str]:
    """What there is in a folder that was written."""
    count = len(manifest["pages"])
    yield f"{count} page{'s' if count > 1 else ''} in {out}; open {out / 'index.html'}"
    if "book" in manifest:
        yield f"  the book: {manifest['book']['file']}"
    for entry in manifest["pages"]:
        if entry["files"]:
            yield f"  {entry['title']}: {entry['files'].get('pdf') or next(iter(entry['files'].values()))}"


def _not_written(manifest: Mapping[str, Any]) -> Iterator[str]:
    """What could not be written of a page, or played as asked for, and why, a line each."""
    for entry in manifest["pages"]:
        for why in entry.get("played_as_usual", ()):
            yield f"page {entry['number']} ({entry['title']}) played {why}"
        if missing := entry.get("not_written"):
            why = next(iter(missing.values()))
            yield f"page {entry['number']} ({entry['title']}) not written as {', '.join(missing)}: {why}"
