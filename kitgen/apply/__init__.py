"""Applications: named ways to take a line to the kit.

Line + setting -> labelled patterns. One file a family; :mod:`kitgen.apply.registry` lists them. A line that does
not suit is refused with a reason, or adapted with a note that says how.
"""

from kitgen.apply.limb import in_limb
from kitgen.apply.linear import pass_linear
from kitgen.apply.ostinatos import OSTINATOS, check_under, fitted_ostinato, known_ostinatos, ostinato
from kitgen.apply.registry import APPLICATIONS, application, apply
from kitgen.apply.setting import Application, Made, Setting

__all__ = [
    "APPLICATIONS",
    "OSTINATOS",
    "Application",
    "Made",
    "Setting",
    "application",
    "apply",
    "check_under",
    "fitted_ostinato",
    "in_limb",
    "known_ostinatos",
    "ostinato",
    "pass_linear",
]
