"""What every part of a made-up season needs: numbers, keys and rows."""

from datetime import date, timedelta

from hypothesis import strategies as st

from ledger.reckoning.book import Spending

START = date(2025, 3, 1)
PLOT, OTHER_PLOT, PLACE, OTHER_PLACE, HOLDING, STALL = 1, 2, 3, 4, 5, 6
MATERIALS = (7, 8)
COVERS = [None, None, (START, date(2026, 2, 28)), (date(2024, 7, 1), date(2025, 6, 30))]
ROWS = ("spending", "plantings", "lots", "partings", "hangings", "oddments", "runs", "movements", "uses", "counts")


class Drawn:
    """The facts of a season as they are drawn, in rows of their kind; one count gives every key."""

    def __init__(self, draw):
        self.draw, self.last_key = draw, 10
        self.kinds = {
            PLOT: "plot", OTHER_PLOT: "plot", PLACE: "place", OTHER_PLACE: "place", HOLDING: "holding", STALL: "stall_day",
        } | dict.fromkeys(MATERIALS, "material")
        self.rows = {name: [] for name in ROWS}

    def number(self, least, most):
        return self.draw(st.integers(least, most))

    def one_of(self, *choices):
        return self.draw(st.sampled_from(choices))

    def some_day(self, least=0, most=300):
        return START + timedelta(self.number(least, most))

    def key(self):
        self.last_key += 1
        return self.last_key

    def thing(self, kind):
        """The key of something that can be spent on."""
        key = self.key()
        self.kinds[key] = kind
        return key

    def spend(self, spent_on, *, kinds=("labour", "unpaid", "inputs"), **given):
        entry = ("purchase", len(self.rows["spending"]))
        fixed = {"kind": self.one_of(*kinds), "amount": self.number(0, 10**9), "covers": self.one_of(*COVERS)}
        self.rows["spending"].append(Spending(spent_on=spent_on, on=self.some_day(), entry=entry, **{**fixed, **given}))
