"""Loss in drying."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.loss import expected_sound, hanging_release, learnt_norm, process_loss, proposed_disaster
from ledger.reckoning.sharing import MILLION

NINETY = 9_000 * MILLION


def released(carried=NINETY, *, sound, lost, disaster=False, hung=100, norm_bp=1000, scrap=0):
    """A hanging of 100 stems at 90.00 with a norm of 10 %, unless said otherwise."""
    return hanging_release(carried, hung=hung, sound=sound, lost=lost, norm_bp=norm_bp, disaster=disaster, scrap=scrap)


@st.composite
def hangings(draw):
    """Any state a hanging can be in."""
    hung = draw(st.integers(0, 500))
    sound = draw(st.integers(0, hung))
    lost = draw(st.integers(0, hung - sound))
    return {
        "carried": draw(st.integers(0, 10**12)),
        "hung": hung,
        "sound": sound,
        "lost": lost,
        "norm_bp": draw(st.integers(0, 10_000)),
        "disaster": draw(st.booleans()),
        "scrap": draw(st.integers(0, 10**12)) if lost else 0,
    }


def test_hand_worked_7_sound_stems_bear_the_loss():
    """80 sound of 100 bear 90.00, 1.125 each; nothing is written off."""
    assert released(sound=80, lost=20) == (NINETY, 0, 0)
    assert NINETY // 80 == 112_500_000


def test_hand_worked_8_disaster_writes_off_beyond_the_norm():
    """Marked, a stem bears 1.00: 80.00 sound, 10.00 written off."""
    assert released(sound=80, lost=20, disaster=True) == (8_000 * MILLION, 1_000 * MILLION, 0)


def test_hand_worked_9_steps_change_nothing_at_the_end():
    """30 down and all lost bear nothing yet; the 70 sound after them bear all."""
    assert released(sound=0, lost=30) == (0, 0, NINETY)
    assert released(sound=70, lost=30) == (NINETY, 0, 0)


def test_hand_worked_10_oddments_keep_their_scrap_value():
    """10.00 less 2.00 of oddments leaves 8.00 to the 90 sound."""
    assert released(1_000, sound=90, lost=10, scrap=200) == (800, 0, 0)


def test_loss_without_oddments_has_no_scrap():
    """Where nothing is kept of the lost, sound stems bear all there is."""
    assert hanging_release(10, hung=2, sound=1, lost=1, norm_bp=0, disaster=False) == (10, 0, 0)
    assert process_loss(100, put_in=10, normal_loss=5, good=5).scrap_credit == 0


def test_stems_still_up_hold_their_part():
    """45 sound of 50 down, 50 up at 10 %: 45 of 90 expected sound bear half."""
    assert released(sound=45, lost=5) == (NINETY // 2, 0, NINETY // 2)
    assert released(sound=0, lost=0) == (0, 0, NINETY)


def test_disaster_writes_off_only_when_all_are_down():
    """While stems are up the sound bear 1.00 each and the rest still hangs."""
    assert released(sound=20, lost=60, disaster=True) == (2_000 * MILLION, 0, 7_000 * MILLION)


def test_marked_hanging_within_its_norm_writes_nothing_off():
    """95 sound of 100 bear all of it; no gain is booked."""
    assert released(sound=95, lost=5, disaster=True) == (NINETY, 0, 0)


def test_marked_hanging_beyond_its_norm_while_up():
    """85 sound, none lost, 15 up: 85 of the 98.5 now expected bear their part."""
    assert released(985, sound=85, lost=0, disaster=True) == (850, 0, 135)


@pytest.mark.parametrize("disaster", [True, False])
def test_nothing_sound_is_written_off(disaster):
    """With no stem to bear it, a hanging's cost is written off, less its oddments."""
    assert released(1_000, sound=0, lost=100, disaster=disaster, scrap=300) == (0, 700, 0)


@pytest.mark.parametrize("disaster", [True, False])
def test_hanging_that_expects_nothing_sound(disaster):
    """Under a norm of 100 % whatever comes down sound bears it all."""
    assert released(500, sound=1, lost=0, norm_bp=10_000, disaster=disaster) == (500, 0, 0)


def test_hanging_all_moved_elsewhere():
    """Nothing hung here: what the place still carries is written off."""
    assert released(7, hung=0, sound=0, lost=0) == (0, 7, 0)


def test_scrap_is_at_most_what_the_hanging_cost():
    """Oddments cannot carry more than there was."""
    assert released(100, sound=90, lost=10, scrap=500) == (0, 0, 0)


def test_disaster_s_scrap_lowers_what_is_written_off():
    """30 lost of 100, scrap 30: 10 of it is normal, 20 comes off the 20 stems beyond."""
    borne, written_off, up = released(910, sound=70, lost=30, disaster=True, scrap=30)
    assert (borne, written_off, up) == (700, 180, 0)


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"sound": -1}, "-1 sound and 20 lost do not come from 100 hung"),
        ({"lost": -1}, "80 sound and -1 lost"),
        ({"lost": 21}, "80 sound and 21 lost"),
        ({"norm_bp": -1}, "norm of -1"),
        ({"norm_bp": 10_001}, "norm of 10001"),
        ({"scrap": -1}, "oddments worth -1"),
        ({"lost": 0, "scrap": 5}, "oddments worth 5"),
    ],
)
def test_counts_that_do_not_fit_are_refused(change, reason):
    """The fault is named."""
    with pytest.raises(ValueError, match=reason):
        released(**({"sound": 80, "lost": 20} | change))


@given(hanging=hangings())
def test_every_part_of_the_cost_is_somewhere(hanging):
    """Sound, written off, still up and scrap are what it carried, none below nil."""
    parts = hanging_release(**hanging)
    assert sum(parts) + min(hanging["scrap"], hanging["carried"]) == hanging["carried"]
    assert min(parts) >= 0


@given(hanging=hangings())
def test_marking_never_makes_sound_stems_dearer(hanging):
    """A disaster takes cost off the sound stems or leaves it."""
    if hanging["scrap"] == 0:
        marked = hanging_release(**(hanging | {"disaster": True}))
        assert marked[0] <= hanging_release(**(hanging | {"disaster": False}))[0]


@pytest.mark.parametrize(
    ("hung", "lost", "norm_bp", "proposed"),
    [
        (100, 20, 500, True),
        (100, 15, 500, True),
        (100, 14, 500, False),
        (100, 40, 2000, False),
        (100, 41, 2000, True),
        (100, 10, 0, True),
        (100, 9, 0, False),
        (0, 0, 500, False),
    ],
)
def test_disaster_is_proposed_far_beyond_the_norm(hung, lost, norm_bp, proposed):
    """More than twice the norm and at least ten in a hundred above it."""
    assert proposed_disaster(hung, lost, norm_bp) is proposed


def test_exactly_twice_the_norm_is_not_far_beyond():
    """Of 100,000 hung at 10 %, 20,001 lost are more than twice the norm, 20,000 are not."""
    assert proposed_disaster(100_000, 20_001, 1000)
    assert not proposed_disaster(100_000, 20_000, 1000)


def test_holding_can_set_what_far_beyond_means():
    """Three times the norm and one in a hundred above it is another rule."""
    assert not proposed_disaster(100, 15, 500, times_bp=30_000, beyond_bp=100)
    assert proposed_disaster(100, 16, 500, times_bp=30_000, beyond_bp=100)


def test_expected_sound():
    """101 hung with a norm of 15 % give 86 sound, 85.85 half up."""
    assert expected_sound(101, 1500) == 86
    with pytest.raises(ValueError, match="norm of 10001"):
        expected_sound(101, 10_001)


def test_process_that_loses_all_it_takes_in_is_refused():
    """With a normal loss of the whole input there is no unit cost."""
    with pytest.raises(ValueError, match="proportion of 0"):
        process_loss(100, put_in=10, normal_loss=10, good=0)


def test_textbook_account_adds_up():
    """1,000 less 30 of normal scrap over 90 units: 80 good bear 862, 10 lost beyond 108, less 30 of scrap."""
    account = process_loss(1000, put_in=100, normal_loss=10, good=80, scrap_per_unit=3)
    assert (account.unit_cost, account.good_value, account.abnormal_value) == (11, 862, 108)
    assert (account.abnormal, account.net_charge, account.scrap_credit) == (10, 78, 30)
    assert account.good_value + account.abnormal_value + account.scrap_credit == 1000


def test_nothing_hung_teaches_nothing_and_a_whole_loss_is_below_the_whole():
    """No stems hung: no norm. All lost: a norm still leaves something to bear the cost."""
    assert (learnt_norm([]), learnt_norm([(0, 0)]), learnt_norm([(10, 10)])) == (None, None, 9_999)
