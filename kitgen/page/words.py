"""Elements as a teacher says them."""

from kitgen.kit import Limb


def element_words(element: str) -> str:
    """An element in words.

    >>> element_words("cell LH x.xx over samba"), element_words("sound LH snare"), element_words("rest 4 bars")
    ('LH x.xx over samba', 'snare with the left hand', 'rests of 4 bars')
    """
    kind, _, rest = element.partition(" ")
    first, _, second = rest.partition(" ")
    if kind == "sound" and first in Limb.__members__:
        return f"{second} with the {Limb[first].words}"
    if kind == "contrast":
        return "ghost notes" if rest == "ghost" else "accents among soft strokes"
    if kind == "rest":
        return f"rests of {rest}" if second else f"{rest} rests"
    pattern = _WORDS.get(kind)
    if pattern is None:
        return element
    said = (rest, rest.replace("-", " "), rest.replace("-", " and "), rest.replace(":", " to "), _named(rest))
    return pattern.format(*said)


def _named(voices: str) -> str:
    """Voices joined by ``+`` in words: ``RH, LH and RF``."""
    *first, last = voices.split("+")
    return f"{', '.join(first)} and {last}" if first else last


_WORDS = {
    "cell": "{0}",
    "meter": "{0}",
    "feel": "{0}",
    "application": "playing the line as {0}",
    "value": "{1} notes",
    "tie": "ties",
    "change": "beats in {2} parts side by side",
    "against": "{3}",
    "ornament": "{0}s",
    "parts": "{4} together",
    "turns": "{4} in turn",
}


def sentence(words: str) -> str:
    """Words as a sentence of their own: a capital first, a full stop last.

    >>> sentence("goal lowered to 80"), sentence("RH leads."), sentence("")
    ('Goal lowered to 80.', 'RH leads.', '')
    """
    if not words:
        return words
    return words[0].upper() + words[1:] + ("" if words[-1] in ".!?" else ".")
