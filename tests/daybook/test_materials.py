"""Materials bought, used and counted."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.daybook.actions import (
    add_material,
    count_material,
    note_work,
    record_purchase,
    rename_material,
    undo_material_count,
    undo_material_use,
    undo_purchase,
    use_material,
)
from ledger.daybook.models import Material, MaterialUse, PurchaseLine
from ledger.daybook.queries import on_hand
from ledger.facts.models import CostObject
from tests.factories.daybook import bought, rated_worker, the_holding
from tests.factories.growing import PlantingFactory
from tests.refusals import refused

pytestmark = pytest.mark.django_db
MARCH_1, MARCH_2, MARCH_3 = date(2024, 3, 1), date(2024, 3, 2), date(2024, 3, 3)


def twine(by, **given) -> Material:
    """A material in centimetres, unless said otherwise."""
    return add_material(by=by, **{"name": "Twine", "unit": "cm", **given})


def buy(by, material, quantity, on=MARCH_1, **given):
    """A bill of 10.00 for so many units."""
    line = bought("twine", spent_on=[(material.cost_object, 1)], quantity=quantity, tax=0, **given)
    return record_purchase(by=by, on=on, supplier="Rope walk", lines=[line])


def use(by, material, quantity, on=MARCH_2):
    """So many units used for the holding."""
    return use_material(by=by, material=material, on=on, quantity=quantity, spent_on=the_holding()[0][0])


def test_what_is_on_hand_is_bought_less_used(owner, hand):
    """500 bought on the 1st and 120 used on the 2nd leave 500, then 380."""
    material = twine(owner)
    buy(owner, material, 500)
    use(hand, material, 120)

    assert [on_hand(material, on) for on in (date(2024, 2, 29), MARCH_1, MARCH_2)] == [0, 500, 380]


def test_a_missing_purchase_blocks_no_use(hand):
    """Seven used of what was never entered as bought: seven below nothing, and no refusal."""
    material = twine(hand)
    use(hand, material, 7)

    assert on_hand(material, MARCH_2) == -7


def test_a_count_says_what_there_is_at_the_end_of_its_day(owner):
    """400 counted on the 2nd, whatever was bought and used until then; later use comes off that."""
    material = twine(owner)
    buy(owner, material, 500)
    use(owner, material, 120)
    count = count_material(by=owner, material=material, on=MARCH_2, counted=400)
    use(owner, material, 30, on=MARCH_3)

    assert [on_hand(material, on) for on in (MARCH_1, MARCH_2, MARCH_3)] == [500, 400, 370]
    undo_material_count(by=owner, count=count)
    assert on_hand(material, MARCH_3) == 350


def test_the_later_count_of_one_day_holds(owner):
    """Counted twice, it is as counted last."""
    material = twine(owner)
    for counted in (400, 410):
        count_material(by=owner, material=material, on=MARCH_2, counted=counted)

    assert on_hand(material, MARCH_2) == 410


def test_what_was_undone_is_neither_bought_nor_used(owner):
    """Use and bill undone leave nothing of either."""
    material = twine(owner)
    purchase, used = buy(owner, material, 500), use(owner, material, 120)

    undo_material_use(by=owner, use=used)
    assert on_hand(material, MARCH_2) == 500
    undo_purchase(by=owner, purchase=purchase)
    assert on_hand(material, MARCH_2) == 0


def test_each_material_has_its_own(owner):
    """Two materials, bought and used on the same days, are never added up."""
    first, second = twine(owner), twine(owner, name="Wire")
    for material, quantity in ((first, 500), (second, 90)):
        buy(owner, material, quantity)
        buy(owner, material, quantity)
        use(owner, material, 10)

    found = {one.name: one.on_hand for one in Material.objects.with_on_hand(MARCH_2)}
    assert found == {"Twine": 990, "Wire": 170}


@pytest.mark.parametrize(("given", "code"), [
    ({"quantity": None}, "material_quantity"), ({"quantity": 0}, "material_quantity"),
    ({"quantity": 5, "covers_from": MARCH_1, "covers_to": MARCH_3}, "material_stretch"),
])
def test_a_bill_for_a_material_says_how_many_came(owner, given, code):
    """A number, and no stretch of days."""
    material = twine(owner)

    with refused(code):
        buy(owner, material, **given)
    assert not PurchaseLine.objects.exists()


def test_a_material_is_bought_by_a_line_of_its_own(owner):
    """One price for twine and the holding together tells no price of the twine."""
    shared = bought(spent_on=[(twine(owner).cost_object, 1), *the_holding()], quantity=5)

    with refused("material_alone"):
        record_purchase(by=owner, on=MARCH_1, supplier="Rope walk", lines=[shared])


def test_what_is_no_material_has_no_number(owner):
    """A bill for the holding buys nothing by number."""
    with refused("no_material"):
        record_purchase(by=owner, on=MARCH_1, supplier="Rope walk", lines=[bought(quantity=5)])


def test_neither_time_nor_a_material_goes_into_a_material(owner):
    """What costs is spent on what is grown and made; the cost of a material is what was paid for it."""
    material = twine(owner)

    with refused("on_material"):
        note_work(by=owner, worker=rated_worker(), on=MARCH_1, minutes=5, task="office", spent_on=[(material.cost_object, 1)])
    with refused("on_material"):
        use_material(by=owner, material=material, on=MARCH_1, quantity=1, spent_on=twine(owner, name="Wire").cost_object)


@pytest.mark.parametrize(("given", "code"), [
    ({"name": ""}, "blank"), ({"unit": "miles"}, "invalid_choice"), ({"name": "Twine"}, "unique"),
])
def test_a_material_has_a_name_of_its_own_and_a_unit(owner, given, code):
    """Nothing is left behind by a refusal."""
    twine(owner)
    before = CostObject.objects.count()

    with refused(code):
        twine(owner, **{"name": "Wire", **given})
    assert (Material.objects.count(), CostObject.objects.count()) == (1, before)


def test_a_material_is_renamed_wherever_it_is_offered(owner, hand):
    """Its name is the one to choose it by; another's is refused, and so is one changed meanwhile."""
    material = twine(owner)
    twine(owner, name="Wire")

    renamed = rename_material(by=hand, material=material, name="Jute twine", seen={"name": "Twine"})

    assert (renamed.name, CostObject.objects.get(pk=material.pk).label) == ("Jute twine", "Jute twine")
    with refused("stale_form"):
        rename_material(by=hand, material=material, name="Sisal", seen={"name": "Twine"})
    with refused("unique"):
        rename_material(by=hand, material=material, name="Wire")


@pytest.mark.parametrize(("given", "code"), [
    ({"quantity": 0}, "min_value"), ({"quantity": -3}, "min_value"), ({"on": date(2050, 1, 1)}, "not_yet"),
])
def test_absurd_use_is_refused(owner, given, code):
    """One unit at least, on a day that has come."""
    with refused(code):
        use(owner, twine(owner), **{"quantity": 5, **given})


def test_a_count_below_nothing_is_refused(owner):
    """Nothing left is a count; less is not."""
    material = twine(owner)

    with refused("min_value"):
        count_material(by=owner, material=material, on=MARCH_1, counted=-1)
    assert count_material(by=owner, material=material, on=MARCH_1, counted=0).stands


def test_the_second_press_uses_once(owner):
    """One form, one use."""
    given = {"material": twine(owner), "on": MARCH_1, "quantity": 5, "spent_on": PlantingFactory().cost_object, "key": "a-form"}

    assert use_material(by=owner, **given) == use_material(by=owner, **given)
    assert MaterialUse.objects.count() == 1


def test_sellers_use_no_materials(seller, owner):
    """Materials are for those whose role allows work."""
    material = twine(owner)

    with pytest.raises(PermissionDenied):
        use(seller, material, 5)
    with pytest.raises(PermissionDenied):
        count_material(by=seller, material=material, on=MARCH_1, counted=1)
