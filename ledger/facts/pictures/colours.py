"""Colours as people name them, and how such a word is shown: a small patch beside the word, never in its place."""

from __future__ import annotations

INK_OF = {
    "white": "#f7f4ea", "cream": "#efe4c4", "ivory": "#f1e9d2", "silver": "#c9c9c4", "grey": "#8d8f8c", "gray": "#8d8f8c",
    "black": "#2a241d", "brown": "#7a5230", "straw": "#d9bf77", "wheat": "#dcc48a", "buff": "#d8b98a", "bronze": "#8c6239",
    "copper": "#b4652f", "rust": "#8f3f1f", "apricot": "#f0b07a", "peach": "#f3b99a", "salmon": "#ea8f76", "coral": "#e2705a",
    "orange": "#dd7f2a", "gold": "#d2a32a", "yellow": "#e7c63c", "lemon": "#efe06a", "lime": "#a9bf4a", "green": "#63803f",
    "olive": "#7d7a3a", "sage": "#93a084", "mint": "#a9cdb1", "teal": "#3b7d7b", "turquoise": "#4fa8a4", "blue": "#3f5f9e",
    "navy": "#26355e", "indigo": "#3a3a78", "violet": "#6a4a97", "purple": "#6d3a73", "mauve": "#a98bb0", "lilac": "#b9a2cf",
    "lavender": "#a497c8", "plum": "#5f2f4a", "burgundy": "#6a1f2c", "maroon": "#661f24", "wine": "#6b2233", "crimson": "#9c1f33",
    "red": "#a8292b", "scarlet": "#c2321f", "pink": "#dd8fa0", "rose": "#cf6b80", "blush": "#ecc3bd", "magenta": "#a83277",
}


def ink_of(colour: str) -> str | None:
    """How a colour's word is printed: by the last of its words that is known ("pale blue" is blue); None where none is.

    >>> ink_of("dusky pink"), ink_of("Mixed")
    ('#dd8fa0', None)
    """
    words = colour.casefold().replace("-", " ").replace(",", " ").split()
    return next((INK_OF[word] for word in reversed(words) if word in INK_OF), None)
