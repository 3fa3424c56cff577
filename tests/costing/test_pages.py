"""The page that opens any figure, and a year's overheads."""

from datetime import date

from django.urls import reverse

from ledger.costing import actions
from ledger.costing.models import OverheadPlan
from ledger.costing.queries import cost_sheet
from ledger.daybook.models import PurchaseLine
from ledger.drying import actions as drying
from ledger.growing.actions import undo_expectation
from ledger.stock.models import Run
from tests.filling import fill
from tests.thread import DOWN, spin_thread


def opened(client, kind, number, on="2024-12-31"):
    """The page of one figure as of a day."""
    return client.get(reverse("costing:node", args=[kind, number]), {"on": on})


def test_a_bunch_opens_down_to_one_work_entry(owner, client_as):
    """From the batch by its run to the bench's hour: each page leads on, to the entry itself."""
    thread = spin_thread(owner)
    client = client_as(owner)
    run = Run.objects.get()
    batch = opened(client, "batch", thread.batch.pk).content.decode()
    bench = opened(client, "run", run.pk).content.decode()
    entry = thread.worker.entries.get(task="bunching")

    assert reverse("costing:node", args=["run", run.pk]) in batch
    assert entry.get_absolute_url() in bench
    assert client.get(entry.get_absolute_url()).status_code == 200


def test_every_list_of_a_figure_adds_up(owner, client_as):
    """Where it comes from, what kind it is and where it went each add up to what it carries, in minor units."""
    thread = spin_thread(owner)
    for kind, number in (("lot", thread.lot.pk), ("hanging", thread.hanging.pk), ("batch", thread.batch.pk)):
        figure = opened(client_as(owner), kind, number).context["figure"]
        for rows in ([*figure.direct, *figure.came_in], figure.layers, figure.went):
            assert sum(row.amount for row in rows) == figure.carried


def test_sound_stems_share_only_what_they_bear(owner, client_as):
    """Of 112.00 spent on 300 hung, 20 lost: each of 280 bears 0.40; a 285th of it once marked as a disaster."""
    thread = spin_thread(owner)
    client, hanging = client_as(owner), thread.hanging
    usual = opened(client, "hanging", hanging.pk).context["figure"]
    drying.mark_disaster(by=owner, hanging=hanging, on=DOWN, why="the roof leaked", norm_bp=500)
    disaster = opened(client, "hanging", hanging.pk).context["figure"]

    assert (usual.carried, usual.shared, usual.each, usual.quantity) == (11200, 11200, 40, 280)
    assert (disaster.carried, disaster.shared, disaster.each) == (11200, 11004, 39)


def test_shares_are_told_in_words(owner, client_as):
    """A hanging of 300 of the 300 stems kept says so; so does a growing lot of 400 of 500 expected."""
    thread = spin_thread(owner, cleared=False)
    page = opened(client_as(owner), "lot", thread.lot.pk, "2024-08-01").content.decode()

    assert "400 of 500 stems" in page
    assert "Provisional" in page


def test_purchase_line_leads_to_its_purchase(owner, client_as):
    """The seed on the planting's figure opens the bill it stands on."""
    thread = spin_thread(owner)
    line = PurchaseLine.objects.get()
    page = opened(client_as(owner), "planting", thread.planting.pk).content.decode()
    answer = client_as(owner).get(reverse("costing:purchase_line", args=[line.pk]))

    assert "seed, Seed house" in page
    assert answer.url == line.purchase.get_absolute_url()


def test_too_early_to_say_is_said(owner, client_as):
    """Without an expectation a growing planting's lot claims no cost."""
    thread = spin_thread(owner, cleared=False)
    for expectation in thread.planting.expectations.standing():
        undo_expectation(by=owner, expectation=expectation)

    assert "Too early to say" in opened(client_as(owner), "lot", thread.lot.pk, "2024-08-01").content.decode()


def test_fragment_shows_the_figure(owner, client_as):
    """The fragment other pages load shows the amount and opens the page."""
    thread = spin_thread(owner)
    answer = client_as(owner).get(reverse("costing:figure", args=["batch", thread.batch.pk]))

    assert "124.00" in answer.content.decode()
    assert reverse("costing:node", args=["batch", thread.batch.pk]) in answer.content.decode()


def test_roles_without_costs_are_refused(hand, seller, owner, client_as):
    """Hand and seller open no figure, by page or fragment."""
    thread = spin_thread(owner)
    for person in (hand, seller):
        for name in ("costing:node", "costing:figure"):
            assert client_as(person).get(reverse(name, args=["batch", thread.batch.pk])).status_code == 403


def test_unknown_record_is_not_found(owner, client_as):
    """A number no record has is not found, and is no page of noughts."""
    for number in (999, 10**20):
        assert opened(client_as(owner), "batch", number).status_code == 404


def test_overheads_are_planned_and_undone(owner, client_as):
    """A year's overheads are entered on a page, listed, and undone."""
    client = client_as(owner)
    fill(
        client, reverse("costing:plan_overheads"), year=2024, overheads="100", usual_idle_and_luck="10", usual_base="1000",
        on="2024-01-01",
    )
    plan = OverheadPlan.objects.get()
    assert "1000.00" in client.get(reverse("costing:overheads")).content.decode()
    fill(client, reverse("costing:undo_overheads", args=[plan.pk]))

    assert not OverheadPlan.objects.standing().exists()


def test_overheads_join_the_cost_to_the_shelf(owner):
    """Overheads of 100.00 on a usual base of 1,000.00 add a tenth of what a bunch cost up to its box."""
    thread = spin_thread(owner)
    actions.plan_overheads(
        by=owner, on=date(2024, 1, 1), year=2024, overheads=10000, usual_idle_and_luck=5000, usual_base=100000
    )
    sheet = cost_sheet(thread.line, date(2024, 12, 31))

    assert sheet.shelf_cost - sheet.stock_cost == sheet.layers[-2].shelf + sheet.layers[-1].shelf
    assert abs(sheet.layers[-2].shelf * 10 - sheet.stock_cost) <= 10
    assert abs(sheet.layers[-1].shelf * 20 - sheet.stock_cost) <= 20


def test_how_far_a_provisional_figure_may_move_is_said(owner, client_as):
    """All expected stems come and nobody planned more spending: the least is what it is now; with no stem more it is dearer."""
    thread = spin_thread(owner, cleared=False)
    client = client_as(owner)
    lot = ("lot", thread.lot.pk)
    page = opened(client, *lot, "2024-08-01").content.decode()
    said = client.get(reverse("costing:how_far", args=lot), {"on": "2024-08-01"})

    assert reverse("costing:how_far", args=lot) in page
    assert said.context["figure"].least == said.context["figure"].carried < said.context["figure"].most
    assert "if nothing more comes" in said.content.decode()


def test_a_figure_is_asked_for_as_it_was_known(owner, client_as):
    """Before anything was entered nothing was known, whatever the day asked for."""
    thread = spin_thread(owner)
    figure = client_as(owner).get(
        reverse("costing:node", args=["lot", thread.lot.pk]), {"on": "2024-12-31", "known": "2020-01-01T12:00"}
    ).context["figure"]

    assert (figure.carried, figure.known_at.year) == (0, 2020)


def test_a_figure_is_paper_at_every_level(owner, client_as):
    """Batch, run, hanging, lot and planting each print with their total."""
    thread = spin_thread(owner)
    for kind, number in (("batch", thread.batch.pk), ("lot", thread.lot.pk), ("planting", thread.planting.pk)):
        answer = client_as(owner).get(reverse("costing:node_paper", args=[kind, number]), {"on": "2024-12-31"})
        assert answer.status_code == 200
        assert answer.content[:5] == b"%PDF-"
