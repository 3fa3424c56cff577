"""Lower of cost and net realisable value; sources in examples.json."""

from decimal import Decimal

from ledger.reckoning.realisable import lower_of, net_realisable, reversal, write_down


def cents(major):
    """A printed amount in whole cents."""
    return int(Decimal(major) * 100)


def test_nrv_01_item_by_item(published):
    """186,872 item by item; by class 41,080 and as one lump 51,815 of loss would stay hidden."""
    items, expected = published["NRV-01"]["inputs"]["items"], published["NRV-01"]["expected"]
    pairs = [(cents(Decimal(i["unit_cost"]) * i["qty"]), cents(Decimal(i["nrv"]) * i["qty"])) for i in items]
    cost = sum(pair[0] for pair in pairs)
    value = cost - write_down(pairs)
    assert (cost, value) == (cents(expected["total_cost"]), cents(expected["item_by_item"]))
    assert cents(expected["by_class"]) - value == cents(41_080)
    whole = (cost, sum(pair[1] for pair in pairs))
    assert cost - write_down([whole]) == cents(expected["whole_stock"]) == value + cents(51_815)


def test_nrv_01_by_class_hides_gains_and_losses(published):
    """Summed by class first, the published 227,952 comes out: a grouping IAS 2.29 does not allow."""
    classes = {}
    for item in published["NRV-01"]["inputs"]["items"]:
        cost, fetches = classes.get(item["cls"], (0, 0))
        classes[item["cls"]] = (
            cost + cents(Decimal(item["unit_cost"]) * item["qty"]),
            fetches + cents(Decimal(item["nrv"]) * item["qty"]),
        )
    by_class = sum(lower_of(*pair) for pair in classes.values())
    assert by_class == cents(published["NRV-01"]["expected"]["by_class"])


def test_nrv_02_offsetting_is_invisible_in_total(published):
    """Four products are written down by 40,000, their total by nothing."""
    items, expected = published["NRV-02"]["inputs"]["items"], published["NRV-02"]["expected"]
    pairs = [(cents(item["cost"]), cents(item["nrv"])) for item in items]
    assert write_down(pairs) == cents(expected["write_down"])
    assert sum(lower_of(*pair) for pair in pairs) == cents(expected["item_by_item"])
    whole = [(sum(pair[0] for pair in pairs), sum(pair[1] for pair in pairs))]
    assert write_down(whole) == cents(expected["whole_stock_write_down"])


def test_nrv_04_reversal_is_capped_at_cost(published):
    """Carried at 7.5 of cost 10.0, stock that would fetch 10.5 comes back to 10.0 only."""
    inputs, expected = published["NRV-04"]["inputs"], published["NRV-04"]["expected"]
    cost = cents(inputs["cost"])
    first, second = (
        net_realisable(cents(inputs[year]["price"]), per_unit_selling=cents(inputs[year]["selling_costs"]))
        for year in ("year_1", "year_2")
    )
    assert (first, second) == (cents(expected["year_1"]["nrv"]), cents(expected["year_2"]["nrv"]))
    assert write_down([(cost, first)]) == cents(expected["year_1"]["write_down"])
    back = reversal(cost, carried=lower_of(cost, first), realisable=second)
    assert back == cents(expected["year_2"]["reversal"])
    assert lower_of(cost, first) + back == cents(expected["year_2"]["carrying"])
