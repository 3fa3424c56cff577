"""Pages of rework, making up, recipes, buying in, and bunches that come down as bunches."""

from datetime import date

from django.urls import reverse

from ledger.daybook.models import Purchase
from ledger.facts.models import CostKind
from ledger.stock.actions import Output, buy_in, make_up, set_recipe
from ledger.stock.models import Recipe, Run
from tests.factories.drying import HangingFactory, LotFactory
from tests.factories.made_up import MaterialFactory, cut_dry, oddments, wreath
from tests.factories.stock import LineFactory, sound_hanging, there
from tests.stock.browsing import listed, press, words

AUGUST_5 = date(2024, 8, 5)


def key(thing):
    """What a choice of it is sent as."""
    return f"{thing._meta.model_name}-{thing.pk}"


def test_tens_are_reworked_into_fives(as_owner, batch, box):
    """Opened from their box all its bunches are proposed; material, lost stems and values are said beside them."""
    fives, dye = LineFactory(variety=batch.line.variety, stems=5), MaterialFactory(unit="ml")
    content = batch.contents.get()
    assert 'value="20"' in words(as_owner, "stock:rework", box=box.pk)

    answer = press(
        as_owner, "stock:rework", query=f"?box={box.pk}", lost=5, content_1=key(content), bunches_1=6,
        material_1=key(dye), quantity_1=30, line_1=fives.pk, made_1=11, box_1=box.pk, value_1="2.50",
    )

    run = Run.objects.get(kind="rework")
    assert answer["Location"] == run.get_absolute_url()
    assert (run.lost, run.batches.get().unit_value, run.drawn.get().bunches) == (5, 250, -6)
    page = words(as_owner, "stock:run", run.pk)
    for told in ("Reworked", str(batch), "Stems lost", str(dye), "30 ml"):
        assert told in page
    assert run in listed(as_owner, "stock:runs", kind="rework")


def test_a_row_half_said_keeps_what_was_typed(as_owner, batch):
    """Which without how many is refused beside it, also in a row beyond the first two."""
    content = batch.contents.get()

    answer = press(as_owner, "stock:rework", content_4=key(content), line_1=batch.line.pk, made_1=1)

    assert answer.status_code == 422 and answer.context["form"].errors["bunches_4"]
    assert answer.context["form"]["content_4"].value() == key(content)


def test_what_is_gone_is_refused_in_words(as_owner, batch):
    """A box emptied since the form was opened."""
    answer = press(as_owner, "stock:rework", content_1="content-999999", bunches_1=1, line_1=batch.line.pk, made_1=1)

    assert "no longer there to be chosen" in str(answer.context["form"].errors["content_1"])


def test_making_up_begins_with_the_recipe(as_owner, batch, box):
    """Two wreaths: four bunches, the oldest first, thirty stems of which ten are missing, two rings."""
    hanging, ring, ready = sound_hanging(20), MaterialFactory(), wreath()
    variety = hanging.parting.lot.planting.variety
    set_recipe(by=batch.recorded_by, on=AUGUST_5, line=ready, parts=[(batch.line, 2), (variety, 15), (ring, 1)])

    page = words(as_owner, "stock:make_up", line=ready.pk, made=2)

    form = as_owner.get("/stock/runs/make-up/", {"line": ready.pk, "made": 2}).context["form"]
    said = {name: form[name].value() for name in ("content_1", "bunches_1", "source_1", "loose_1", "material_1", "quantity_1")}
    assert said == {
        "content_1": key(batch.contents.get()), "bunches_1": 4, "source_1": key(hanging), "loose_1": 20,
        "material_1": key(ring), "quantity_1": 2,
    }
    assert f"10 more of {variety}" in page


def test_goods_are_made_up_freely(as_owner, batch, box):
    """Bunches, oddments, fresh stems and a ring, with no recipe."""
    kept, lot, ring, ready = oddments(9), LotFactory(stems=12), MaterialFactory(), wreath()
    assert "No recipe is written" in words(as_owner, "stock:make_up", line=ready.pk, made=1)

    press(
        as_owner, "stock:make_up", line_1=ready.pk, made_1=2, box_1=box.pk, content_1=key(batch.contents.get()), bunches_1=3,
        source_1=key(kept), loose_1=9, lot_1=key(lot), fresh_1=5, material_1=key(ring), quantity_1=2,
    )

    run = Run.objects.get(kind="making_up")
    assert there(run.batches.get()) == [(box.code, 2)]
    page = words(as_owner, "stock:run", run.pk)
    for told in ("Made up", "fresh", "oddments", str(lot), str(ring)):
        assert told in page
    assert str(batch) in words(as_owner, "stock:batch", run.batches.get().pk)


def test_a_run_of_making_up_is_undone_on_its_page(as_owner, owner):
    """With all that went into it."""
    run = make_up(by=owner, on=AUGUST_5, outputs=[Output(wreath(), 1)], materials=[(MaterialFactory(), 1)])

    press(as_owner, "stock:undo_run", run.pk)

    assert "counts nowhere" in words(as_owner, "stock:run", run.pk)


def test_a_recipe_is_written_changed_and_undone(as_owner, line):
    """A line's page leads to it; changing begins with what stands."""
    ready, ring = wreath(), MaterialFactory()
    assert "Write its recipe" in words(as_owner, "stock:line", ready.pk)

    press(
        as_owner, "stock:set_recipe", ready.pk, of_line_1=key(line), bunches_1=2, variety_1=key(line.variety), loose_1=15,
        material_1=key(ring), quantity_1=1, note="as in the book",
    )

    recipe = Recipe.objects.get()
    assert [part.quantity for part in recipe.parts.all()] == [2, 15, 1]
    page = words(as_owner, "stock:recipe", recipe.pk)
    assert "15 stems" in page and "2 ×" in page and str(ring) in page
    assert listed(as_owner, "stock:recipes") == [recipe]
    assert 'value="15"' in words(as_owner, "stock:set_recipe", ready.pk)
    press(as_owner, "stock:undo_recipe", recipe.pk, number=2)
    assert "Write its recipe" in words(as_owner, "stock:line", ready.pk)


def test_an_empty_recipe_is_refused(as_owner):
    """It says what is missing."""
    answer = press(as_owner, "stock:set_recipe", wreath().pk)

    assert "Say what goes into one." in answer.content.decode()


def test_bunches_are_bought_in(as_owner, line, box):
    """Ten tens for 40.00 and 8.00 tax; the run and the purchase both show it."""
    kind = CostKind.objects.get(code="plants")

    press(
        as_owner, "stock:buy_in", supplier="Sorrel Farm", net="40.00", tax="8.00", kind=kind.pk, line_1=line.pk, made_1=10,
        box_1=box.pk,
    )

    run = Run.objects.get(kind="bought_in")
    assert there(run.batches.get()) == [(box.code, 10)]
    page = words(as_owner, "stock:run", run.pk)
    assert "Bought in" in page and str(Purchase.objects.get()) in page


def test_a_hand_is_not_offered_to_undo_what_was_bought(as_owner, hand, client_as, line):
    """A purchase is money."""
    kind = CostKind.objects.get(code="plants")
    press(as_owner, "stock:buy_in", supplier="Sorrel Farm", net="40.00", kind=kind.pk, line_1=line.pk, made_1=10)
    run = Run.objects.get(kind="bought_in")

    assert "Undo this buying in" in words(as_owner, "stock:run", run.pk)
    assert "Undo this buying in" not in words(client_as(hand), "stock:run", run.pk)


def test_bunches_are_brought_down_as_bunches(hand, client_as):
    """All twenty are proposed; eighteen came down and twenty stems were mouldy."""
    hung, client = HangingFactory(stems=200, bunch_stems=10), client_as(hand)
    assert "No line of this variety has 10 stems" in words(client, "stock:bring_down_bunches", hung.pk)
    tens = LineFactory(variety=hung.parting.lot.planting.variety, stems=10)
    page = words(client, "stock:bring_down_bunches", hung.pk)
    assert 'value="20"' in page and f'value="{tens.pk}" selected' in page

    press(client, "stock:bring_down_bunches", hung.pk, bunches=18, line=tens.pk, lost_1=20, reason_1="mould")

    assert (Run.objects.get().batches.get().made, hung.takings.get().sound) == (18, 180)


def test_stems_lost_without_a_reason_are_refused(as_owner):
    """Losses teach by their reasons."""
    hung = HangingFactory(stems=200, bunch_stems=10)
    tens = LineFactory(variety=hung.parting.lot.planting.variety, stems=10)

    answer = press(as_owner, "stock:bring_down_bunches", hung.pk, bunches=18, line=tens.pk, lost_1=20)

    assert answer.context["form"].errors["reason_1"]


def test_stems_cut_dry_and_oddments_are_bunched(as_owner):
    """They stand beside the hangings; mixed, they go into a line with a name."""
    dry, kept, mixed = cut_dry(50), oddments(10), LineFactory(variety=None, name="Meadow mix", stems=10)
    page = words(as_owner, "stock:make_run", parting=dry.pk)
    assert "cut dry" in page and "Mix with other varieties" in page and 'value="50"' in page

    press(as_owner, "stock:make_run", **{f"dry_{dry.pk}": 50, f"kept_{kept.pk}": 10, "line_1": mixed.pk, "made_1": 6})

    run = Run.objects.get()
    assert {used.source for used in run.inputs.all()} == {dry, kept}
    assert "Meadow mix" in words(as_owner, "stock:run", run.pk)


def test_a_line_with_a_name_is_added_found_and_labelled(as_owner, owner, box):
    """No variety: by its name, on its page, in the list, on the label."""
    press(as_owner, "stock:add_line", name="Wreath 30 cm", grade="firsts", finish="natural", unit="piece")

    ready = listed(as_owner, "stock:lines", name="wreath")[0]
    assert listed(as_owner, "stock:lines", state="named") == [ready]
    make_up(by=owner, on=AUGUST_5, outputs=[Output(ready, 1, box=box)], materials=[(MaterialFactory(), 1)])
    assert "Wreath 30 cm, piece" in words(as_owner, "stock:box", box.pk)
    assert as_owner.get(f"/stock/boxes/{box.pk}/label/").headers["Content-Type"] == "application/pdf"


def test_a_line_without_variety_and_name_is_refused(as_owner):
    """It says what would do."""
    answer = press(as_owner, "stock:add_line", grade="firsts", finish="natural", unit="piece")

    assert answer.context["form"].errors["variety"]


def test_a_buying_in_is_undone_on_its_page_by_the_bookkeeper(bookkeeper, client_as, line):
    """The run leads there."""
    client, kind = client_as(bookkeeper), CostKind.objects.get(code="plants")
    run = buy_in(by=bookkeeper, on=AUGUST_5, supplier="Merchant", outputs=[Output(line, 3)], net=900, tax=0, kind=kind)
    assert reverse("stock:undo_buying_in", args=[run.pk]) in words(client, "stock:run", run.pk)

    press(client, "stock:undo_buying_in", run.pk)

    assert "counts nowhere" in words(client, "stock:run", run.pk)
    assert not Purchase.objects.standing().exists()


def test_a_run_that_was_not_bought_in_has_no_such_page(as_owner, owner):
    """Its own page undoes it."""
    run = make_up(by=owner, on=AUGUST_5, outputs=[Output(wreath(), 1)], materials=[(MaterialFactory(), 1)])

    assert as_owner.get(reverse("stock:undo_buying_in", args=[run.pk])).status_code == 404
    assert reverse("stock:undo_buying_in", args=[run.pk]) not in words(as_owner, "stock:run", run.pk)
