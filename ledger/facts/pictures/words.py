"""Words in a picture, and how wide pictures with words are drawn."""

from dataclasses import dataclass

WIDE = 720


@dataclass(frozen=True)
class Words:
    """One line of words and where it begins."""

    x: int
    y: int
    text: str
    heavy: bool = False
