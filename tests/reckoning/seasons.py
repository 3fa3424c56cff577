"""Whole seasons made up at random, for properties of the cost book."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import strategies as st

from ledger.reckoning.book import (
    BatchFact,
    Calendar,
    CostFacts,
    HangingFact,
    LotFact,
    MovementFact,
    PartingFact,
    PlantingFact,
    RunFact,
    SpaceFact,
    Spending,
)

START = date(2025, 3, 1)
PLOT, PLACE, HOLDING = 1, 2, 3


@st.composite
def seasons(draw):
    """A season of a few plantings, each cut, hung, bunched and partly sold, as of some day."""
    drawn = Season(draw)
    for number in range(draw(st.integers(1, 3))):
        drawn.plant(100 * (number + 1))
    return drawn.facts(draw(st.dates(date(2025, 6, 1), date(2026, 6, 1))))


class Season:
    """The facts of a season as they are drawn; keys of one planting share its hundred."""

    def __init__(self, draw):
        self.draw = draw
        self.kinds = {PLOT: "plot", PLACE: "place", HOLDING: "holding"}
        self.rows = {name: [] for name in ("spending", "plantings", "lots", "partings", "hangings", "runs", "movements")}
        self.spend(PLOT)
        self.spend(PLACE)
        self.spend(HOLDING)

    def number(self, least, most):
        return self.draw(st.integers(least, most))

    def spend(self, spent_on):
        kind = self.draw(st.sampled_from(["labour", "unpaid", "inputs"]))
        on = START + timedelta(self.number(0, 300))
        entry = ("purchase", len(self.rows["spending"]))
        covers = self.draw(st.none() | st.sampled_from([(START, date(2026, 2, 28)), (date(2024, 7, 1), date(2025, 6, 30))]))
        self.rows["spending"].append(Spending(spent_on, on, kind, self.number(0, 10**9), entry, covers))

    def plant(self, key):
        cleared = self.draw(st.none() | st.sampled_from([date(2025, 11, 1), date(2026, 1, 1), date(2026, 4, 1)]))
        expected = self.draw(st.sampled_from([{}, {2025: (self.number(1, 500), None)}, {2025: (200, 2000)}]))
        self.kinds[key] = "planting"
        self.rows["plantings"].append(
            PlantingFact(
                key, PLOT, START, cleared, self.number(100, 5000), self.draw(st.sampled_from([2025, 2026])),
                perennial=self.draw(st.booleans()), productive_seasons=self.number(1, 3), expected=expected,
            )
        )
        self.spend(key)
        self.spend(key)
        for place in range(self.number(0, 2)):
            self.cut(key, key + 10 * (place + 1))

    def cut(self, planting, key):
        stems, on = self.number(1, 300), START + timedelta(self.number(60, 120))
        hung, thrown = self.number(0, stems), 0
        thrown = self.number(0, stems - hung)
        self.kinds[key] = "lot"
        self.rows["lots"].append(LotFact(key, planting, on, stems))
        self.spend(key)
        if thrown:
            self.rows["partings"].append(PartingFact(key + 1, key, on, "thrown_out", thrown))
        if hung:
            self.rows["partings"].append(PartingFact(key + 2, key, on, "hung", hung))
            self.hang(key + 3, key + 2, hung, on)

    def hang(self, key, parting, stems, on):
        down = self.number(0, stems)
        sound = self.number(0, down)
        day = on + timedelta(10)
        self.kinds[key] = "hanging"
        marked = self.draw(st.none() | st.integers(0, 5000))
        takings = [(day, down, sound)] if down else []
        self.rows["hangings"].append(
            HangingFact(key, parting, PLACE, on, stems, 1, norm_bp=self.number(0, 5000), disaster_bp=marked, takings=takings)
        )
        self.spend(key)
        if sound:
            self.bunch(key + 1, key, sound, day)

    def bunch(self, key, hanging, sound, on):
        used = self.number(1, sound)
        value = self.draw(st.none() | st.integers(1, 1000))
        made = self.number(1, 50)
        self.kinds[key] = "run"
        self.rows["runs"].append(RunFact(key, on, [("hanging", hanging, used)], [BatchFact(key + 1, 1, made, used, value)]))
        self.spend(key)
        self.move(key + 1, made, on)

    def move(self, batch, made, on):
        rows, key = self.rows["movements"], batch * 1000
        rows.append(MovementFact(key, on, batch, made, "made"))
        sold = self.number(0, made)
        if sold:
            rows.append(MovementFact(key + 1, on + timedelta(self.number(0, 9)), batch, -sold, "sold"))
            if self.draw(st.booleans()):
                rows.append(MovementFact(key + 2, on + timedelta(20), batch, self.number(1, sold), "returned", key + 1))

    def facts(self, on):
        """What of it stands by a day."""
        rows = self.rows
        shown = {name: [row for row in rows[name] if row.on <= on] for name in rows}
        shown["plantings"] = [
            replace(one, cleared=None) if one.cleared and one.cleared > on else one for one in shown["plantings"]
        ]
        return CostFacts(
            on=on, calendar=Calendar(), kinds_of=self.kinds, unbooked=5,
            spaces=[SpaceFact(PLOT, "plot", 10_000, {2025: (10**8, 900_000)}), SpaceFact(PLACE, "place", 20)], **shown,
        )


def scaled(facts, times):
    """The same season with every amount of money so many times larger."""
    return replace(
        facts,
        unbooked=facts.unbooked * times,
        spending=[replace(one, amount=one.amount * times) for one in facts.spending],
        spaces=[replace(one, years={y: (c * times, n) for y, (c, n) in one.years.items()}) for one in facts.spaces],
        plantings=[_planned(one, times) for one in facts.plantings],
        lots=[replace(one, values={way: value * times for way, value in one.values.items()}) for one in facts.lots],
        oddments=[replace(one, value=one.value * times) for one in facts.oddments],
        runs=[replace(run, batches=[_valued(batch, times) for batch in run.batches]) for run in facts.runs],
    )


def _planned(one, times):
    return replace(one, expected={s: (stems, planned and planned * times) for s, (stems, planned) in one.expected.items()})


def _valued(batch, times):
    return replace(batch, unit_value=batch.unit_value and batch.unit_value * times)
