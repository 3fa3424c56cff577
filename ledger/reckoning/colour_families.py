"""Families of colours, by the plain words people use for them."""

from __future__ import annotations

FAMILIES = {
    "white": "white cream ivory", "grey": "grey gray silver black", "brown": "brown bronze copper rust straw wheat buff tan",
    "yellow": "yellow gold lemon", "orange": "orange apricot peach salmon coral",
    "red": "red crimson scarlet burgundy maroon wine", "pink": "pink rose blush magenta",
    "purple": "purple violet mauve lilac lavender plum", "blue": "blue navy indigo turquoise teal",
    "green": "green lime olive sage mint",
}
FAMILY_OF = {word: family for family, words in FAMILIES.items() for word in words.split()}


def family_of(colour: str) -> str:
    """Return the family of a colour as it was named, by the last of its words that is known.

    A name with no known word is its own family; no name has none.

    >>> family_of("Dusky rose"), family_of("pale-blue"), family_of("Mixed"), family_of(" ")
    ('pink', 'blue', 'mixed', '')
    """
    said = colour.casefold().replace("-", " ").replace(",", " ").split()
    return next((FAMILY_OF[word] for word in reversed(said) if word in FAMILY_OF), " ".join(said))
