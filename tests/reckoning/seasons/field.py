"""Plantings and lots: trays and beds, perennials re-estimated, divided and cut over, stems going every way."""

from datetime import date, timedelta

from ledger.reckoning.book import Division, Ground, LotFact, PartingFact, PlantingFact

from .drawn import OTHER_PLOT, PLOT, START
from .loft import Loft

KEPT = ("hung", "sold_fresh", "cut_dry", "drawn", "made_up")


class Field(Loft):
    """The beds of a season, and what is cut in them."""

    def plant(self):
        """A planting in a bed or from trays, its ground changing, cut up to three times."""
        key, area = self.thing("planting"), 2 * self.number(50, 2500)
        perennial, cleared = self.one_of(True, False), self.one_of(None, date(2025, 11, 1), date(2026, 1, 1), date(2026, 4, 1))
        plot, ground = self.ground(area)
        self.rows["plantings"].append(
            PlantingFact(
                key, plot, START, cleared, area if plot else 0, self.one_of(2025, 2026), perennial=perennial,
                productive_seasons=self.number(1, 4), expected=self.expected(), ground=ground,
                **(self.life() if perennial else {}),
            )
        )
        self.spend(key)
        self.spend(key)
        for _ in range(self.number(0, 2)):
            self.cut(key, self.some_day(60, 120))
        if cleared is None:
            self.cut(key, self.some_day(400, 440))

    def expected(self):
        return self.one_of({}, {2025: (self.number(1, 500), None)}, {2025: (200, 2000), 2026: (100, None)})

    def ground(self, area):
        """The plot it begins in (None: trays), and how its ground changes."""
        later, cleared = Ground(OTHER_PLOT, START + timedelta(40), area), Ground(PLOT, START + timedelta(90), -area // 2)
        return self.one_of((PLOT, ()), (None, ()), (None, (later,)), (PLOT, (cleared,)), (PLOT, (later, cleared)))

    def life(self):
        lives = self.one_of((), ((date(2025, 9, 1), self.number(1, 6)),), ((date(2025, 9, 1), 5), (date(2026, 2, 1), 2)))
        over = self.one_of((), (), (date(2025, 8, 15),))
        divisions = (self.divided(),) if self.one_of(True, False, False) else ()
        return {"lives": lives, "cut_over": over, "divisions": divisions}

    def divided(self):
        """A daughter of part of the plants."""
        key, on = self.thing("planting"), self.one_of(START, date(2025, 4, 15), date(2025, 9, 1))
        self.rows["plantings"].append(
            PlantingFact(key, OTHER_PLOT, on, None, 500, self.one_of(2025, 2026), perennial=True, productive_seasons=2)
        )
        self.spend(key)
        return Division(key, on, self.number(1, 3), 4)

    def cut(self, planting, on):
        """A lot whose stems go every way there is; some stay in water."""
        key, stems = self.thing("lot"), self.number(1, 300)
        worth = {way: self.number(1, 500) for way in KEPT}
        values = self.one_of({}, worth, worth, {"hung": 3, "sold_fresh": 0})
        self.rows["lots"].append(LotFact(key, planting, on, stems, values))
        self.spend(key)
        for way in (*KEPT, "thrown_out"):
            part = self.number(0, stems) if self.one_of(True, False) else 0
            stems -= part
            if part:
                self.leave(key, on, way, part)

    def leave(self, lot, on, way, stems):
        parting = PartingFact(self.key(), lot, on, way, stems)
        self.rows["partings"].append(parting)
        if way == "hung":
            self.hang(parting.key, stems, on)
        elif way == "made_up" or (way == "cut_dry" and self.one_of(True, False)):
            self.bunch([("parting", parting.key, stems)], on)
