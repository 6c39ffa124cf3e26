"""Recipes into pages: the line of text that makes an exercise, and the pages it makes."""
