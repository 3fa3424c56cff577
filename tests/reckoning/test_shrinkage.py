"""Weight lost in drying."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.shrinkage import dry_weight_g, drying_ratio, moisture_left


def test_kilogram_at_eighty_percent():
    """200 g of dry matter weigh 222 g at 10 % moisture, 4.5 fresh to one dry."""
    assert dry_weight_g(1000, fresh_moisture_bp=8000, dry_moisture_bp=1000) == 222
    assert drying_ratio(fresh_moisture_bp=8000, dry_moisture_bp=1000) == 4_500_000


def test_nothing_dried_is_as_heavy_as_before():
    """With no water leaving there is no shrinkage."""
    assert dry_weight_g(500, fresh_moisture_bp=1000, dry_moisture_bp=1000) == 500
    assert dry_weight_g(0, fresh_moisture_bp=8000, dry_moisture_bp=0) == 0


def test_negative_weight_is_refused():
    """Nothing weighs less than nothing."""
    with pytest.raises(ValueError, match="nothing weighs -1"):
        dry_weight_g(-1, fresh_moisture_bp=8000, dry_moisture_bp=1000)


@pytest.mark.parametrize(("fresh", "dry"), [(1000, 1001), (10_000, 1000), (8000, -1), (10_001, 10_001)])
def test_moistures_that_cannot_be_are_refused(fresh, dry):
    """A moisture is a share below the whole, and dry is not wetter than fresh."""
    with pytest.raises(ValueError, match="moisture cannot go from"):
        dry_weight_g(100, fresh_moisture_bp=fresh, dry_moisture_bp=dry)
    with pytest.raises(ValueError, match="moisture cannot go from"):
        drying_ratio(fresh_moisture_bp=fresh, dry_moisture_bp=dry)


@given(fresh_g=st.integers(0, 10**6), moistures=st.tuples(st.integers(0, 9999), st.integers(0, 9999)))
def test_dry_matter_stays(fresh_g, moistures):
    """Dry matter before and after agree to half a gram of dried weight."""
    dry, fresh = sorted(moistures)
    weight = dry_weight_g(fresh_g, fresh_moisture_bp=fresh, dry_moisture_bp=dry)
    assert abs(2 * (weight * (10_000 - dry) - fresh_g * (10_000 - fresh))) <= 10_000 - dry
    assert weight <= fresh_g


def test_water_left_is_never_less_than_none():
    """What weighs less than its dry matter is as good as bone dry; nothing weighed says nothing."""
    assert moisture_left(1000, 150, fresh_moisture_bp=8000) == 0
    for fresh, dried in ((0, 10), (10, 0)):
        with pytest.raises(ValueError):
            moisture_left(fresh, dried, fresh_moisture_bp=8000)
