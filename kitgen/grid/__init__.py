"""Enumeration, grids and tours: every cell, every line, every change between limbs, in an order a player can climb."""
