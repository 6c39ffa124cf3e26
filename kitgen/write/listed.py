"""What the manifest of a folder says was written there before."""

import hashlib
import json
from pathlib import Path


def listed(folder: Path) -> dict[str, str]:
    """Every file a folder's manifest lists, with its SHA-256; empty where there is no manifest that can be read."""
    try:
        manifest = json.loads((folder / "manifest.json").read_bytes())
        found = {name: page["sha256"][kind] for page in manifest["pages"] for kind, name in page["files"].items()}
        if book := manifest.get("book"):
            found[book["file"]] = book["sha256"]
        found |= {one["file"]: one["sha256"] for one in manifest.get("beside", ())}
        return {name: digest for name, digest in found.items() if isinstance(name, str)}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def digest_of(path: Path) -> str:
    """The SHA-256 of a file in hexadecimal; empty where there is none."""
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
