"""Box ids with a check character."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_36

from ledger.reckoning.box_ids import CHARACTERS, CLEAR, box_code, check_character, normalise, valid

BODIES = st.text(CHARACTERS, min_size=1, max_size=12)
SERIALS = st.integers(0, len(CLEAR) ** 4 - 1)


@given(body=BODIES)
def test_check_agrees_with_another_implementation(body):
    """ISO 7064 mod 37,36 as python-stdnum 2.2 works it."""
    assert check_character(body) == mod_37_36.calc_check_digit(body)
    assert valid(body + check_character(body))


@given(code=st.text(CHARACTERS, min_size=2, max_size=8))
def test_validity_agrees_with_another_implementation(code):
    """Any string is valid here exactly when it is there."""
    assert valid(code) is mod_37_36.is_valid(code)


@given(serial=SERIALS, place=st.integers(0, 4), other=st.sampled_from(CHARACTERS))
def test_one_wrong_character_is_caught(serial, place, other):
    """A box id misread in one place is not another box's."""
    code = box_code(serial)
    misread = code[:place] + other + code[place + 1 :]
    assert valid(misread) is (misread == code)


@given(serial=SERIALS, place=st.integers(0, 3))
def test_swapped_neighbours_are_caught(serial, place):
    """Two neighbours swapped are not another box's id."""
    code = box_code(serial)
    swapped = code[:place] + code[place + 1] + code[place] + code[place + 2 :]
    assert valid(swapped) is (swapped == code)


@given(serials=st.tuples(SERIALS, SERIALS))
def test_no_two_boxes_share_an_id(serials):
    """Different numbers have different ids of five characters."""
    codes = [box_code(serial) for serial in serials]
    assert (codes[0] == codes[1]) is (serials[0] == serials[1])
    assert all(len(code) == 5 and set(code[:4]) <= set(CLEAR) for code in codes)


def test_first_and_last_box():
    """Counting starts at nil and ends when all ids are used."""
    assert (box_code(0)[:4], box_code(1)[:4], box_code(32**4 - 1)[:4]) == ("2222", "2223", "ZZZZ")
    assert not set("O0I1") & set(CLEAR)


@pytest.mark.parametrize("serial", [-1, 32**4])
def test_numbers_without_an_id_are_refused(serial):
    """There are a little over a million boxes."""
    with pytest.raises(ValueError, match=f"no box with the number {serial}"):
        box_code(serial)


@pytest.mark.parametrize("body", ["", "ab", "Ä2", "A B", "A-B"])
def test_other_characters_are_refused(body):
    """A body is digits and capital letters."""
    with pytest.raises(ValueError, match="not made of digits and capital letters"):
        check_character(body)


@pytest.mark.parametrize("code", ["", "A", "a12b", "Ä2", "2222 E"])
def test_what_is_no_code_is_not_valid(code):
    """Too short, or made of something else."""
    assert not valid(code)


@pytest.mark.parametrize("typed", ["2222e", " 2222-E ", "22 22\tE\n", "2-2-2-2-e"])
def test_typed_ids_are_read_however_they_are_written(typed):
    """Small letters, spaces and hyphens make no difference."""
    assert normalise(typed) == "2222E"
    assert valid(normalise(typed))
