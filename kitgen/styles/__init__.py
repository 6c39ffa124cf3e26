"""Styles: families of grooves as values, the forms they are played in, the rules they keep, and their pages.

Conventions: patterns stand on the even grid, for a right-handed player on a full kit; a fill lies at the end of its
bar, silent before it begins. The files they are kept in are read by :mod:`kitgen.read.styles`.
"""

from kitgen.styles.forms import FORMS, Form
from kitgen.styles.micro import MICRO_TIMINGS, MicroTiming
from kitgen.styles.parts import Role, StylePattern, TempoRange
from kitgen.styles.value import Clave, Style

__all__ = ["FORMS", "MICRO_TIMINGS", "Clave", "Form", "MicroTiming", "Role", "Style", "StylePattern", "TempoRange"]
