"""Small styles for tests: one whole style as text, and a way to change a line of it."""

from pathlib import Path

from kitgen.read.styles import read_style
from kitgen.styles import Style

STYLE = '''\
title = "Plain time"
words = "a style for tests"
meter = "4/4"
tempo = { low = 60, high = 120, unit = "quarter" }
boxes-a-beat = 2
leads = ["RH ride"]
sources = ["common practice"]

[[pattern]]
name = "groove"
role = "groove"
words = "ride and feet"
rows = """
RH ride      xx xx xx xx
LH snare     .. X. .. X.
RF bass      x. .. x. ..
LF hat-foot  .. x. .. x.
"""

[[pattern]]
name = "fill"
role = "fill"
words = "a beat on the snare"
rows = """
RH snare     x.
LH snare     .X
"""

[[pattern]]
name = "ending"
role = "ending"
words = "the last note on 1"
rows = """
RH crash     X. .. .. ..
RF bass      X. .. .. ..
"""
'''


def style_of(folder: Path, *changes: tuple[str, str], name: str = "plain") -> Style:
    """The style with some of its text changed, read from a file; a change must be of something that is there."""
    return read_style(style_file(folder, *changes, name=name))


def style_file(folder: Path, *changes: tuple[str, str], name: str = "plain") -> Path:
    """A file of the style with some of its text changed."""
    text = STYLE
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    path = folder / f"{name}.toml"
    path.write_text(text, "utf-8")
    return path
