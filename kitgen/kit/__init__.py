"""Limbs, surfaces and kits: what there is to strike, with what."""

from kitgen.kit.kits import HANDS, KITS, Kit, kit
from kitgen.kit.limbs import FEET, HAND_LIMBS, LIMBS, Limb
from kitgen.kit.surfaces import GM_PERCUSSION, SURFACES, Surface, surface, surface_of_key

__all__ = [
    "FEET",
    "GM_PERCUSSION",
    "HANDS",
    "HAND_LIMBS",
    "KITS",
    "LIMBS",
    "SURFACES",
    "Kit",
    "Limb",
    "Surface",
    "kit",
    "surface",
    "surface_of_key",
]
