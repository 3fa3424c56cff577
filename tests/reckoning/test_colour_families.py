"""Colours and the families they are looked for in."""

import pytest

from ledger.facts.pictures.colours import INK_OF
from ledger.reckoning.colour_families import FAMILIES, FAMILY_OF, family_of


@pytest.mark.parametrize(
    ("colour", "family"),
    [
        ("blue", "blue"), ("Pale Blue", "blue"), ("blue-violet", "purple"), ("rose, dusky", "pink"), ("cream", "white"),
        ("Mixed", "mixed"), ("two  tones", "two tones"), ("", ""),
    ],
)
def test_the_last_known_word_decides(colour, family):
    """What nobody knows is its own family."""
    assert family_of(colour) == family


def test_each_word_is_in_one_family_and_each_family_is_a_word_of_its_own():
    """No word twice."""
    words = [word for said in FAMILIES.values() for word in said.split()]

    assert len(words) == len(set(words))
    assert all(FAMILY_OF[family] == family for family in FAMILIES)


def test_every_colour_that_is_printed_has_a_family():
    """The patches and the families know the same words."""
    assert set(INK_OF) - set(FAMILY_OF) == set()
