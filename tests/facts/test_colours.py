"""Colours as people name them."""

import re

import pytest

from ledger.facts.pictures.colours import INK_OF, ink_of


@pytest.mark.parametrize(("said", "shown"), [
    ("blue", "blue"), ("Deep Blue", "blue"), ("blue-violet", "violet"), ("silver rose", "rose"), ("white, cream", "cream"),
])
def test_the_last_word_known_is_shown(said, shown):
    """Of several words the last is the colour, the others shade it."""
    assert ink_of(said) == INK_OF[shown]


@pytest.mark.parametrize("said", ["", "mixed", "wild"])
def test_a_word_not_known_shows_nothing(said):
    """No patch is better than a wrong one."""
    assert ink_of(said) is None


def test_every_colour_is_written_as_paper_prints_it():
    """Six figures after a cross-hatch."""
    assert all(re.fullmatch(r"#[0-9a-f]{6}", ink) for ink in INK_OF.values())
