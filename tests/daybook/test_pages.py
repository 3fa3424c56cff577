"""The pages of the daybook, as a person meets them."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.daybook.models import Pay, Purchase, WorkEntry, Worker, WorkerRate, YearOfSpace
from ledger.facts.models import CostKind
from ledger.facts.queries import holding
from tests.factories.daybook import (
    PayFactory,
    PurchaseFactory,
    WorkerFactory,
    WorkFactory,
    YearOfSpaceFactory,
    bought,
    rated_worker,
)
from tests.factories.drying import PlaceFactory
from tests.factories.growing import PlantingFactory, PlotFactory, VarietyFactory
from tests.filling import fill, read

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("name", "made"), [
    ("workers", WorkerFactory), ("work_entries", WorkFactory), ("pays", PayFactory), ("purchases", PurchaseFactory),
    ("years_of_space", YearOfSpaceFactory),
])
def test_every_list_shows_sorts_and_sifts(bookkeeper, client_as, name, made):
    """Each list shows its row with a sum or a name, in any order, and sifts it away."""
    record, client = made(), client_as(bookkeeper)
    url = reverse(f"daybook:{name}")
    shown = record.get_absolute_url() if name != "years_of_space" else record.space_url

    for column in [column.name for column in client.get(url).context["table"].columns if column.orderable]:
        assert shown in read(client, f"{url}?sort=-{column}")
    sift = {"workers": "name=nobody", "purchases": "supplier=nobody", "years_of_space": "year=1999"}.get(name, "until=2000-01-01")
    assert shown not in read(client, f"{url}?{sift}")


def test_work_is_found_by_what_it_was_spent_on(hand, client_as):
    """Words of a thing's name leave its hours alone in the list."""
    entry = WorkFactory(spent_on=[(PlantingFactory(variety=VarietyFactory(name="Azure")).cost_object, 1)])
    other = WorkFactory()

    page = read(client_as(hand), f"{reverse('daybook:work_entries')}?thing=azure")

    assert entry.get_absolute_url() in page
    assert other.get_absolute_url() not in page


def test_a_hands_hours_begin_with_their_own_name(hand, client_as):
    """The worker who signs in as the hand is chosen already, and no rate is told."""
    own = rated_worker(user=hand)
    page = client_as(hand).get(reverse("daybook:note_work"))

    assert page.context["form"]["worker"].value() == own.pk
    assert "12.00" not in page.content.decode()


def test_the_worker_noted_last_comes_first(owner, client_as):
    """Whoever signs in as no worker goes on with the worker they noted last."""
    entry = WorkFactory()
    client, url = client_as(owner), reverse("daybook:note_work")

    assert client.get(url).context["form"]["worker"].value() == entry.worker_id
    assert client.get(f"{url}?worker=77").context["form"]["worker"].value() == "77"


def test_hours_are_noted_on_several_things_by_weight(hand, client_as):
    """Two plantings, three parts to the one shown first: the later of them."""
    worker, first, second = rated_worker(), PlantingFactory(), PlantingFactory()
    sent = fill(
        client_as(hand), reverse("daybook:note_work"), worker=worker.pk, minutes=80, task="cutting",
        spent_on=[first.pk, second.pk], weights="3, 1", on="2024-07-01",
    )

    entry = WorkEntry.objects.get()
    assert sent.url == entry.get_absolute_url()
    assert list(entry.shares.values_list("spent_on", "weight")) == [(second.pk, 3), (first.pk, 1)]


def test_weights_that_do_not_fit_keep_what_was_typed(hand, client_as):
    """One weight for two things is refused beside the weights; the choice stays."""
    worker, first, second = rated_worker(), PlantingFactory(), PlantingFactory()
    page = fill(
        client_as(hand), reverse("daybook:note_work"), worker=worker.pk, minutes=80, task="cutting",
        spent_on=[first.pk, second.pk], weights="3", on="2024-07-01",
    )

    form = page.context["form"]
    assert (page.status_code, list(form.errors)) == (422, ["weights"])
    assert form["spent_on"].value() == [str(first.pk), str(second.pk)]
    assert not WorkEntry.objects.exists()


def test_a_thing_is_found_by_words_without_losing_what_was_typed(hand, client_as):
    """New words show the list again; nothing is noted until it is sent with them unchanged."""
    worker, azure = rated_worker(), PlantingFactory(variety=VarietyFactory(name="Azure"))
    client, url = client_as(hand), reverse("daybook:note_work")
    typed = {"worker": worker.pk, "minutes": 45, "task": "growing", "on": "2024-07-01", "spent_on": [azure.pk]}

    page = fill(client, url, find="azure", **typed)
    form = page.context["form"]

    assert page.status_code == 200 and not WorkEntry.objects.exists()
    assert (form["minutes"].value(), form["found"].value()) == ("45", "azure")
    assert [key for _kind, group in form.fields["spent_on"].choices for key, _label in group] == [azure.pk]
    assert fill(client, url, find="azure", found="azure", **typed).status_code == 302


def test_hours_opened_from_a_record_are_for_it(hand, client_as):
    """Opened from an old planting, its form has that planting chosen."""
    planting = PlantingFactory()
    page = client_as(hand).get(f"{reverse('daybook:note_work')}?spent_on={planting.pk}")

    assert f'value="{planting.pk}" selected' in page.content.decode()


def test_a_refused_hour_says_why(hand, client_as):
    """A worker without a rate that day is refused beside the worker."""
    worker = rated_worker()
    page = fill(
        client_as(hand), reverse("daybook:note_work"), worker=worker.pk, minutes=45, task="growing", on="2023-12-31",
        spent_on=[holding().cost_object_id],
    )

    assert "has no rate on that day yet" in str(page.context["form"].errors["worker"])


def test_an_entry_leads_to_what_it_was_spent_on(hand, client_as):
    """The page of hours links the planting, and undoes the hours."""
    planting, client = PlantingFactory(), client_as(hand)
    entry = WorkFactory(spent_on=[(planting.cost_object, 1), (holding().cost_object, 2)])

    assert planting.get_absolute_url() in read(client, entry.get_absolute_url())
    fill(client, reverse("daybook:undo_work", args=[entry.pk]))

    assert not WorkEntry.objects.standing().exists()
    assert "Undone" in read(client, entry.get_absolute_url())


def test_a_hand_sees_a_worker_without_rates_or_pay(hand, bookkeeper, client_as):
    """The bookkeeper reads 12.00 an hour and 400.00 paid, the hand neither."""
    worker = PayFactory(worker=rated_worker()).worker
    seen, hidden = (read(client_as(user), worker.get_absolute_url()) for user in (bookkeeper, hand))

    assert "12.00" in seen and "400.00" in seen
    assert "12.00" not in hidden and "400.00" not in hidden


CLOSED_TO_HANDS = [
    "purchases", "record_purchase", "pays", "record_pay", "years_of_space", "set_year_of_space", "add_worker", "set_worker_rate",
]


@pytest.mark.parametrize("name", CLOSED_TO_HANDS)
def test_pages_of_money_are_closed_to_hands_and_sellers(hand, seller, client_as, name):
    """Neither sees what was paid, bought or charged."""
    for user in (hand, seller):
        assert client_as(user).get(reverse(f"daybook:{name}")).status_code == 403


def test_single_records_of_money_are_closed_to_hands(hand, client_as):
    """Nor is one pay or one purchase shown, or undone."""
    pay, purchase = PayFactory(), PurchaseFactory()
    client = client_as(hand)

    for url in (pay.get_absolute_url(), purchase.get_absolute_url(), reverse("daybook:undo_pay", args=[pay.pk])):
        assert client.get(url).status_code == 403


def test_a_worker_a_rate_and_pay_are_entered_and_undone(bookkeeper, client_as):
    """From the first name to wages of July, and back."""
    client = client_as(bookkeeper)
    fill(client, reverse("daybook:add_worker"), name="Sorrel", paid="on")
    worker = Worker.objects.get()
    fill(client, f"{reverse('daybook:set_worker_rate')}?worker={worker.pk}", per_hour="12.50", on="2024-01-01")
    pay = {"first_day": "2024-07-01", "last_day": "2024-07-31", "amount": "400", "on": "2024-07-31"}
    fill(client, f"{reverse('daybook:record_pay')}?worker={worker.pk}", **pay)
    rate, paid = WorkerRate.objects.get(), Pay.objects.get()

    assert (rate.per_hour, paid.amount, paid.last_day) == (1250, 40000, date(2024, 7, 31))
    next_pay = client.get(f"{reverse('daybook:record_pay')}?worker={worker.pk}").context["form"]
    assert next_pay["first_day"].value() == date(2024, 8, 1)
    fill(client, reverse("daybook:undo_worker_rate", args=[rate.pk]))
    fill(client, reverse("daybook:undo_pay", args=[paid.pk]))
    assert not WorkerRate.objects.standing().exists() and not Pay.objects.standing().exists()


def test_a_pay_shows_the_work_of_its_days(bookkeeper, client_as):
    """Hours of 1 July stand on the pay for July, those of August do not."""
    worker = rated_worker()
    inside, outside = WorkFactory(worker=worker), WorkFactory(worker=worker, on=date(2024, 8, 1))
    page = read(client_as(bookkeeper), PayFactory(worker=worker).get_absolute_url())

    assert inside.get_absolute_url() in page
    assert outside.get_absolute_url() not in page


def line(row, **given):
    """One typed line of a bill for the holding, of 10.00 and 2.00 tax unless said otherwise."""
    kind = CostKind.objects.get(code="packing")
    typed = {"description": "twine", "kind": kind.pk, "net": "10", "tax": "2", "spent_on": [holding().cost_object_id], **given}
    return {f"{name}_{row}": value for name, value in typed.items()}


def test_a_bill_of_two_lines_is_entered_without_a_script(bookkeeper, client_as):
    """“One more line” keeps the first as typed; sent, both are recorded and an empty third is left out."""
    client, url = client_as(bookkeeper), reverse("daybook:record_purchase")
    head = {"on": "2024-03-01", "supplier": "Seed house", "lines": 1}
    more = fill(client, url, more=1, **head, **line(0))
    form, for_holding = more.context["form"], [str(holding().cost_object_id)]

    assert (form.lines, form["description_0"].value(), form["spent_on_0"].value()) == (2, "twine", for_holding)
    plot = PlotFactory()
    rent = line(1, description="rent", spent_on=[plot.pk], covers_from="2024-01-01", covers_to="2024-12-31", tax="")
    sent = fill(client, url, **{**head, "lines": 3}, **line(0), **rent)
    purchase = Purchase.objects.with_totals().get()
    assert (sent.url, purchase.net, purchase.tax) == (purchase.get_absolute_url(), 2000, 200)
    assert purchase.lines.last().covers_to == date(2024, 12, 31)


def test_a_line_is_shared_by_weights(bookkeeper, client_as):
    """Three parts to the later plot, which is shown first, one to the earlier."""
    first, second = PlotFactory(), PlotFactory()
    fill(
        client_as(bookkeeper), reverse("daybook:record_purchase"), on="2024-03-01", supplier="Seed house", lines=1,
        **line(0, spent_on=[first.pk, second.pk], weights="3 1"),
    )

    assert list(Purchase.objects.get().shares.values_list("spent_on", "weight")) == [(second.pk, 3), (first.pk, 1)]


@pytest.mark.parametrize(("given", "field"), [
    ({"description": ""}, "description_0"), ({"kind": ""}, "kind_0"), ({"net": ""}, "net_0"), ({"spent_on": []}, "spent_on_0"),
    ({"net": "-3"}, "net_0"), ({"net": "1.234"}, "net_0"), ({"covers_from": "2024-01-01"}, "covers_to_0"),
    ({"weights": "1 2"}, "weights_0"), ({"description": "", "net": "", "tax": ""}, "description_0"),
])
def test_half_a_line_is_refused_where_it_is_wanting(bookkeeper, client_as, given, field):
    """What is missing or absurd is said beside its field, and nothing is recorded."""
    page = fill(
        client_as(bookkeeper), reverse("daybook:record_purchase"), on="2024-03-01", supplier="Seed house", lines=1,
        **line(0, **given),
    )

    assert page.status_code == 422
    assert list(page.context["form"].errors) == [field]
    assert not Purchase.objects.exists()


def test_a_free_line_costs_nothing(bookkeeper, client_as):
    """A net of nought is a number like any other."""
    head = {"on": "2024-03-01", "supplier": "Seed house", "lines": "many"}
    fill(client_as(bookkeeper), reverse("daybook:record_purchase"), **head, **line(0, net="0", tax=""))

    assert Purchase.objects.with_totals().get().net == 0


def test_a_purchase_leads_to_what_bears_it(bookkeeper, client_as):
    """Its page links the planting with its parts, and undoes the bill."""
    planting, client = PlantingFactory(), client_as(bookkeeper)
    purchase = PurchaseFactory(lines=[bought(spent_on=[(planting.cost_object, 3), (holding().cost_object, 1)])])
    page = read(client, purchase.get_absolute_url())

    assert planting.get_absolute_url() in page and "(3)" in page
    fill(client, reverse("daybook:undo_purchase", args=[purchase.pk]))
    assert not Purchase.objects.standing().exists()


def test_a_purchase_opened_from_a_record_is_for_it(bookkeeper, client_as):
    """Opened from a planting, the first line has it chosen."""
    planting = PlantingFactory()
    form = client_as(bookkeeper).get(f"{reverse('daybook:record_purchase')}?spent_on={planting.pk}").context["form"]

    assert form["spent_on_0"].value() == [planting.pk]


@pytest.mark.parametrize(("made", "room", "days", "normal"), [
    (PlotFactory, "12.50", "200", 250_000), (PlotFactory, "12.50", "", 456_250), (PlaceFactory, "2.5", "100", 250),
    (PlotFactory, "", "", 0),
])
def test_normal_use_is_kept_in_the_spaces_own_unit(bookkeeper, client_as, made, room, days, normal):
    """12.50 m2 on 200 days are 250 000 hundredths of m2-days; 2.5 metres on 100 days are 250; empty is nil."""
    space, client = made(), client_as(bookkeeper)
    fill(
        client, f"{reverse('daybook:set_year_of_space')}?space={space.pk}", year=2024, expected_cost="500", room=room, days=days,
        normal_source="three years", on="2024-01-02",
    )

    year = YearOfSpace.objects.get()
    assert (year.normal_unit_days, year.expected_cost) == (normal, 50000)
    assert space.get_absolute_url() in read(client, reverse("daybook:years_of_space"))
    fill(client, reverse("daybook:undo_year_of_space", args=[year.pk]))
    assert not YearOfSpace.objects.standing().exists()
