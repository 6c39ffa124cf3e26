"""One family of errors, each with a message made for the person at the keyboard.

A message says what was given, where (file, line, bar, count), what is allowed and what to do about it.
Every child also inherits the built-in error a Python caller would expect (``ValueError``, ``LookupError``,
``OSError``). This module imports nothing when it loads.
"""


class KitgenError(Exception):
    """Base of every error this package raises on purpose."""


class TimeError(KitgenError, ValueError):
    """A meter, beat, tempo, swing or duration that cannot be."""


class LineError(KitgenError, ValueError):
    """A rhythm line that cannot be read or does not fill its bars."""


class PatternError(KitgenError, ValueError):
    """Hits that cannot form a pattern, or patterns that cannot be combined."""


class ClashError(PatternError):
    """One limb asked to strike twice at one instant."""


class FeelError(PatternError):
    """A swing that does not fit, or two feels at once."""


class KitError(KitgenError, ValueError):
    """A limb, surface or kit that does not go together."""


class RefusedError(KitgenError, ValueError):
    """An application that does not suit the line it was given; the message is the reason."""


class OptionError(KitgenError, ValueError):
    """An option whose value is outside what is allowed."""


class PlanError(KitgenError, ValueError):
    """A plan whose goals contradict each other, or that no pages lead to."""


class ReadError(KitgenError, ValueError):
    """A file that is not what it should be."""


class WriteError(KitgenError, OSError):
    """A file or folder that cannot be written, or would be overwritten."""


_ALIKE, _AS_GOOD = 0.5, 0.85


def _nearest(given: str, allowed: "tuple[str, ...] | list[str]") -> list[str]:
    """Up to three names most like what was given, none much less so than the first."""
    from difflib import SequenceMatcher, get_close_matches  # only when something has gone wrong

    near = get_close_matches(given, allowed, n=3, cutoff=_ALIKE)
    alike = [SequenceMatcher(None, name, given).ratio() for name in near]
    return [name for name, much in zip(near, alike, strict=True) if much >= _AS_GOOD * alike[0]]


class UnknownNameError(KitgenError, LookupError):
    """A name that is in no table; carries the nearest ones that are.

    Args:
        kind: what was looked for, in the singular ("ostinato").
        given: the name asked for.
        allowed: every name there is.
        likely: names that are meant by what was given, where that is known.
    """

    def __init__(
        self,
        kind: str,
        given: str,
        allowed: "tuple[str, ...] | list[str]",
        *,
        likely: "tuple[str, ...]" = (),
    ) -> None:
        near = list(likely) or _nearest(given.lower(), allowed)
        between = "; " if any(", " in name for name in allowed) else ", "
        hint = f"did you mean {' or '.join(near)}?" if near else f"there are: {between.join(allowed)}"
        super().__init__(f"no {kind} is called {given!r}; {hint}")
        self.kind, self.given, self.nearest = kind, given, tuple(near)
        self._made_of = (kind, given, allowed, likely)

    def __reduce__(self) -> "tuple[object, ...]":
        """How it goes from one process to another."""
        return _unknown_name, self._made_of


def _unknown_name(
    kind: str, given: str, allowed: "tuple[str, ...] | list[str]", likely: "tuple[str, ...]"
) -> UnknownNameError:
    return UnknownNameError(kind, given, allowed, likely=likely)
