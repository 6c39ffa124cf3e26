"""Humdrum text made ready for Verovio, which reads ``**kern`` spines alone.

A file whose spines are rhythms without pitch (``**recip``, Humdrum Toolkit, D. Huron) gets a pitch at every value, so
that it is a ``**kern`` file with the same rhythm. A value may carry what it carries there: ties ``[ _ ]``, dots, ``r``
for a rest.
"""

import re

from kitgen.errors import ReadError

_RHYTHM, _PITCHED = "**recip", "**kern"
_SPLITS = ("*^", "*v", "*+", "*x")
_VALUE = re.compile(r"\d+(%\d+)?\.*")
_NAME = re.compile(r"[a-gA-G]")


def with_pitches(text: str) -> str:
    """The file with rhythm spines made into pitched ones, if it has no pitched spines itself; else as it is.

    Raises:
        ReadError: its spines split or join, so that it is not clear which of them is a rhythm.
    """
    lines = text.splitlines()
    start = next((number for number, line in enumerate(lines) if line.startswith("**")), None)
    if start is None or _RHYTHM not in (names := lines[start].split("\t")) or _PITCHED in names:
        return text
    rhythms = {place for place, name in enumerate(names) if name == _RHYTHM}
    found = lines[:start]
    for number, line in enumerate(lines[start:], start=start + 1):
        if line.startswith("!!") or not line:
            found.append(line)
            continue
        tokens = line.split("\t")
        if any(token in _SPLITS for token in tokens):
            raise ReadError(f"line {number} splits or joins spines, which is not read in {_RHYTHM}; write each apart")
        found.append("\t".join(_token(token) if place in rhythms else token for place, token in enumerate(tokens)))
    return "\n".join(found) + "\n"


def _token(token: str) -> str:
    if token == _RHYTHM:
        return _PITCHED
    if token[:1] in ("*", "!", "=", ".") or "r" in token or _NAME.search(token):
        return token
    return _VALUE.sub(lambda value: f"{value[0]}b", token, count=1)
