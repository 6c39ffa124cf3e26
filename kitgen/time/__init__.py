"""Exact musical time: meters, beats, subdivisions and how they are counted.

Conventions: the unit is the quarter note; instants and lengths are :class:`fractions.Fraction`; spans are half
open; bars and counts are numbered from 1 wherever a person reads them.
"""

from kitgen.time.backbeat import backbeats, backbeats_in, beats_of
from kitgen.time.counting import SYSTEMS, count_name, syllable
from kitgen.time.meter import Bar, Beat, Meter, Meters
from kitgen.time.subdivision import Subdivision
from kitgen.time.tempo import BPM_RANGE, bpm_value, unit_name, unit_names

__all__ = [
    "BPM_RANGE",
    "SYSTEMS",
    "Bar",
    "Beat",
    "Meter",
    "Meters",
    "Subdivision",
    "backbeats",
    "backbeats_in",
    "beats_of",
    "bpm_value",
    "count_name",
    "syllable",
    "unit_name",
    "unit_names",
]
