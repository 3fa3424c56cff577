"""A newcomer takes a stem from an empty ledger to the valuation, through the pages alone."""

import pytest

from tests.browser.conftest import asked
from tests.browser.steps import beginning
from tests.browser.walking import Walk

pytestmark = [pytest.mark.browser, pytest.mark.filterwarnings("ignore::ResourceWarning")]


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_one_stem_from_an_empty_ledger_to_the_year_end(newcomer: Walk, empty_ledger, size):
    """Every stage of the path is entered on its page, and the ledger proves."""
    folder, link = empty_ledger
    beginning.set_up(newcomer, link)
    beginning.add_worker(newcomer, "Juniper", "12.00")
    beginning.lay_out_ground(newcomer)
    beginning.name_the_plant(newcomer)
    beginning.plant(newcomer)
    planting = newcomer.page.url
    beginning.work_on_it(newcomer, "Juniper", 150, "sowing, planting", "2024-04-02")
    newcomer.open(planting)
    beginning.buy_for_it(newcomer, "Plug plants", "Plants", "40.00", "8.00", "2024-04-02")

    assert asked(folder, "prove")["ok"]
