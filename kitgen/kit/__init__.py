"""Limbs, surfaces and kits: what there is to strike, with what."""

from kitgen.kit.kits import HANDS, KITS, Kit, kit
from kitgen.kit.limbs import FEET, HAND_LIMBS, LIMBS, Limb
from kitgen.kit.players import PLAYERS, LimbProfile, Player, Rates, player
from kitgen.kit.surfaces import GM_PERCUSSION, HATS, SURFACES, Surface, surface, surface_of_key

__all__ = [
    "FEET",
    "GM_PERCUSSION",
    "HANDS",
    "HAND_LIMBS",
    "HATS",
    "KITS",
    "LIMBS",
    "PLAYERS",
    "SURFACES",
    "Kit",
    "Limb",
    "LimbProfile",
    "Player",
    "Rates",
    "Surface",
    "kit",
    "player",
    "surface",
    "surface_of_key",
]
