"""Small plans that tests share."""

from pathlib import Path

SAMBA = """
title = "Samba feet and the left hand"
heading = "Alder Bay Middle School, percussion class"
known = ["meter 4/4", "sound LH snare", "sound RH snare", { line = "1 & 2 & 3 & 4 &" }]

[[chapter]]
title = "Samba feet"
rests = true
review = true
goals = [
    "value half",
    "ostinato samba",
    { cell = "x.xx", limb = "LH", over = "samba" },
    { line = "1 & a 2 & 3 4", as = "limb", limb = "LH", under = "samba" },
]
"""
"""Seven pages and more: a value, feet, a cell over them, a line that takes bridges, long rests, a review."""


def plan_file(folder: Path, text: str = SAMBA, name: str = "samba.toml") -> Path:
    """A plan's text as a file in a folder."""
    path = folder / name
    path.write_text(text)
    return path
