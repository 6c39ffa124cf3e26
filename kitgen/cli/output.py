"""What a command leaves behind: a folder, or pages on the terminal."""

import json
import sys
from pathlib import Path

from kitgen.write.folder import write_folder
from kitgen.write.manifest import Folder, folder_files, page_texts


def deliver(folder: Folder, out: Path, *, show: bool, force: bool, as_json: bool) -> None:
    """Print the pages, or write the folder and say what to open."""
    if show and not as_json:
        sys.stdout.write("\n".join(page_texts(folder)))
        return
    files = folder_files(folder)
    if not show:
        write_folder(out, files, force=force)
    if as_json:
        sys.stdout.write(json.dumps(json.loads(files["manifest.json"]), indent=1) + "\n")
        return
    count = len(folder.pages)
    print(f"{count} page{'s' if count > 1 else ''} in {out}; open {out / 'index.html'}")
    for entry in json.loads(files["manifest.json"])["pages"]:
        print(f"  {entry['title']}: {next(iter(entry['files'].values()))}")
