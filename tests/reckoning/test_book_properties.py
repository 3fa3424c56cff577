"""Properties of the cost book over random seasons."""

from dataclasses import fields, replace

from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.reckoning.book import CostFacts, make_book, total
from tests.reckoning.linear import solved
from tests.reckoning.seasons import scaled, seasons

ROWS = ("spending", "spaces", "plantings", "lots", "partings", "hangings", "oddments", "runs", "movements", "uses", "counts")


@given(seasons())
@settings(max_examples=150, deadline=None)
def test_all_that_was_spent_is_in_exactly_one_place(facts):
    """Total in = total out, to the millionth, on any day of any season."""
    book = make_book(facts)

    assert not book.unplaced()
    assert sum(total(amounts) for amounts in book.places.values()) == book.spent


@given(seasons(), st.randoms(use_true_random=False))
@settings(max_examples=150, deadline=None)
def test_order_of_entry_changes_nothing(facts, random):
    """The same facts in any order make the same book."""
    mixed = {name: random.sample(list(getattr(facts, name)), len(getattr(facts, name))) for name in ROWS}

    one, other = make_book(replace(facts, **mixed)), make_book(facts)
    assert one.places == other.places
    assert {key: node.carried for key, node in one.graph.nodes.items()} == {
        key: node.carried for key, node in other.graph.nodes.items()
    }


@given(seasons(), st.integers(2, 7))
@settings(max_examples=75, deadline=None)
def test_scaling_all_money_scales_all_costs(facts, times):
    """With every amount so many times larger, every element of every place is so within a millionth a parting, on both sides."""
    small, large = make_book(facts), make_book(scaled(facts, times))
    answer = solved(small.facts)

    for place in {*large.places, *small.places}:
        rough = answer.partings(("rest", place)) * (times + 1)
        for element in {*large.places.get(place, {}), *small.places.get(place, {})}:
            apart = large.places.get(place, {}).get(element, 0) - times * small.places.get(place, {}).get(element, 0)
            assert abs(apart) <= rough + 1


def test_every_list_of_facts_is_shuffled():
    """The order test reaches every list the facts hold."""
    assert {field.name for field in fields(CostFacts)} - {"on", "calendar", "kinds_of", "unbooked"} == set(ROWS)
