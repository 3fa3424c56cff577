"""Pay, purchases, and what space costs in a year."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from ledger.daybook.actions import (
    record_pay,
    record_purchase,
    set_year_of_space,
    undo_pay,
    undo_purchase,
    undo_year_of_space,
)
from ledger.daybook.models import Pay, Purchase, PurchaseLine, YearOfSpace
from ledger.facts.actions import set_tax_status
from tests.factories.daybook import PayFactory, PurchaseFactory, WorkerFactory, YearOfSpaceFactory, bought, the_holding
from tests.factories.drying import PlaceFactory
from tests.factories.growing import PlantingFactory, PlotFactory
from tests.refusals import refused

pytestmark = pytest.mark.django_db
MARCH_1, JULY_1, JULY_31, AUGUST_1 = date(2024, 3, 1), date(2024, 7, 1), date(2024, 7, 31), date(2024, 8, 1)
JULY = {"on": JULY_31, "first_day": JULY_1, "last_day": JULY_31, "amount": 40000}


def test_pay_covers_a_stretch_of_days(bookkeeper):
    """Wages of July, paid on its last day."""
    pay = record_pay(by=bookkeeper, worker=WorkerFactory(), **JULY)

    assert (pay.amount, pay.first_day, pay.last_day) == (40000, JULY_1, JULY_31)


def test_a_day_is_paid_for_once(owner):
    """A stretch that shares one day with another is refused; the next day is free, another worker too."""
    worker = PayFactory().worker

    with refused("already_paid"):
        record_pay(by=owner, worker=worker, on=AUGUST_1, first_day=JULY_31, last_day=AUGUST_1, amount=100)
    assert record_pay(by=owner, worker=worker, on=AUGUST_1, first_day=AUGUST_1, last_day=AUGUST_1, amount=100).stands
    assert record_pay(by=owner, worker=WorkerFactory(), **JULY).stands


def test_pay_undone_can_be_entered_anew(owner):
    """Undone, its days can be paid for again."""
    pay = PayFactory()

    undo_pay(by=owner, pay=pay)

    assert record_pay(by=owner, worker=pay.worker, **{**JULY, "amount": 41000}).amount == 41000


def test_absurd_pay_is_refused(owner):
    """Backwards days, a sum below nothing, pay for the unpaid: none is kept."""
    with pytest.raises(ValidationError, match="before the first"):
        record_pay(by=owner, worker=WorkerFactory(), **{**JULY, "last_day": date(2024, 6, 30)})
    with refused("min_value"):
        record_pay(by=owner, worker=WorkerFactory(), **{**JULY, "amount": -1})
    with refused("not_paid"):
        record_pay(by=owner, worker=WorkerFactory(paid=False), **JULY)
    assert not Pay.objects.exists()


def test_the_second_press_pays_once(owner):
    """One form makes one pay."""
    given = {"by": owner, "worker": WorkerFactory(), "key": "a-form", **JULY}

    assert record_pay(**given) == record_pay(**given)
    assert Pay.objects.count() == 1


def test_a_purchase_has_lines_borne_by_weight(bookkeeper):
    """A bill of two lines, one shared by two plantings one part to three."""
    one, two = PlantingFactory(), PlantingFactory()
    seed = bought("seed", kind="plants", net=800, tax=160, spent_on=[(one.cost_object, 1), (two.cost_object, 3)])

    purchase = record_purchase(by=bookkeeper, on=MARCH_1, supplier="Seed house", reference="A 17", lines=[seed, bought()])

    found = Purchase.objects.with_totals().get()
    assert (found, found.net, found.tax) == (purchase, 1800, 360)
    assert list(purchase.lines.first().shares.values_list("spent_on", "weight")) == [(one.pk, 1), (two.pk, 3)]
    assert list(Purchase.objects.spent_on(two.cost_object)) == [purchase]


def test_tax_is_cost_until_the_day_the_seller_is_registered(owner):
    """Net 10.00 and tax 2.00 cost 12.00 the day before registering, 10.00 from that day."""
    set_tax_status(by=owner, on=MARCH_1, status="registered", number="X 1")

    before, after = PurchaseFactory(on=date(2024, 2, 29)), PurchaseFactory(on=MARCH_1)

    assert (before.lines.get().cost, after.lines.get().cost) == (1200, 1000)


@pytest.mark.parametrize(("line", "code"), [
    ({"net": -1}, "min_value"), ({"tax": -1}, "min_value"), ({"description": ""}, "blank"),
    ({"covers_from": MARCH_1}, "half_a_stretch"), ({"covers_to": MARCH_1}, "half_a_stretch"),
    ({"covers_from": MARCH_1, "covers_to": date(2064, 5, 1)}, "too_long"),
])
def test_an_absurd_line_is_refused_with_its_bill(owner, line, code):
    """One bad line, and nothing of the bill is kept."""
    with refused(code):
        record_purchase(by=owner, on=MARCH_1, supplier="Seed house", lines=[bought(), bought(**line)])
    assert not Purchase.objects.exists() and not PurchaseLine.objects.exists()


def test_a_stretch_runs_forward(owner):
    """A bill's last day is not before its first; one day is enough."""
    with pytest.raises(ValidationError, match="in that order"):
        PurchaseFactory(lines=[bought(covers_from=MARCH_1, covers_to=date(2024, 2, 29))])
    assert PurchaseFactory(lines=[bought(covers_from=MARCH_1, covers_to=MARCH_1)]).stands


def test_a_purchase_needs_a_line_and_something_that_bears_it(owner):
    """A bill of nothing, or for nothing, is refused."""
    line = bought()

    with refused("no_lines"):
        record_purchase(by=owner, on=MARCH_1, supplier="Seed house", lines=[])
    with refused("spent_on_nothing"):
        record_purchase(by=owner, on=MARCH_1, supplier="Seed house", lines=[type(line)("x", line.kind, 1, 0, [])])
    with refused("not_yet"):
        PurchaseFactory(on=date(2050, 1, 1))


def test_a_purchase_is_undone_whole_and_once(owner):
    """Undone, its lines count nowhere; a second undoing is refused."""
    purchase = PurchaseFactory()
    [(thing, _)] = the_holding()

    undo_purchase(by=owner, purchase=purchase)

    assert not Purchase.objects.spent_on(thing).exists()
    with refused("already_undone"):
        undo_purchase(by=owner, purchase=purchase)


def test_the_second_press_buys_once(owner):
    """One form makes one purchase."""
    assert PurchaseFactory(key="a-form") == PurchaseFactory(key="a-form")
    assert Purchase.objects.count() == 1


@pytest.mark.parametrize("role", ["hand", "seller"])
def test_only_those_with_money_record_money(request, role):
    """Hands and sellers enter neither pay nor purchases nor a year's cost."""
    someone, plot = request.getfixturevalue(role), PlotFactory()

    for verb, given in (
        (record_pay, {"worker": WorkerFactory(), **JULY}),
        (record_purchase, {"on": MARCH_1, "supplier": "Seed house", "lines": [bought()]}),
        (set_year_of_space, {"space": plot.cost_object, "on": MARCH_1, "year": 2024, "expected_cost": 1}),
    ):
        with pytest.raises(PermissionDenied):
            verb(by=someone, **given)


def test_plots_and_places_have_a_year_of_cost(bookkeeper):
    """A plot's 500.00 for 100 m2 over 200 days is 2 000 000 hundredths of m2-days; a place has its own unit."""
    plot, place = PlotFactory(), PlaceFactory()

    year = set_year_of_space(
        by=bookkeeper, space=plot.cost_object, on=MARCH_1, year=2024, expected_cost=50000,
        normal_unit_days=2_000_000, normal_source="last three years",
    )
    set_year_of_space(by=bookkeeper, space=place.cost_object, on=MARCH_1, year=2024, expected_cost=9000)

    assert (year.normal_unit_days, YearOfSpace.objects.standing().count()) == (2_000_000, 2)


def test_a_year_of_space_stands_once(owner):
    """Entered again it is refused, until the first is undone."""
    first = YearOfSpaceFactory()

    with pytest.raises(ValidationError, match="already entered"):
        YearOfSpaceFactory(space=first.space)
    undo_year_of_space(by=owner, year_of_space=first)
    assert YearOfSpaceFactory(space=first.space, expected_cost=60000).stands
    assert YearOfSpaceFactory(space=first.space, year=2025).stands


def test_only_space_has_a_year_of_cost(owner):
    """A planting has none, and no cost is below nothing."""
    with refused("no_space"):
        YearOfSpaceFactory(space=PlantingFactory().cost_object)
    with refused("min_value"):
        YearOfSpaceFactory(expected_cost=-1)


@pytest.mark.parametrize(
    ("first", "last", "code"),
    [(date(2024, 7, 1), date(2925, 7, 1), "too_long"), (date(2026, 7, 1), date(2026, 7, 31), "too_far")],
)
def test_wages_cover_a_year_at_most_and_not_years_ahead(holding, first, last, code):
    """A mistyped year does not pay somebody for centuries."""
    with refused(code):
        PayFactory(on=date(2024, 7, 31), first_day=first, last_day=last)
