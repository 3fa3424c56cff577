"""Runs, batches and where their bunches went; materials bought, used and counted."""

from datetime import date, timedelta

from ledger.reckoning.book import BatchFact, MaterialCount, MaterialUse, MovementFact, RunFact

from .drawn import MATERIALS, Drawn


class Stock(Drawn):
    """Bunching, rework and materials of a season."""

    def bunch(self, inputs, on, *, again=True):
        """A run of what it is given, some of it lost, into one batch or two that are partly sold and reworked."""
        used = [(kind, number, self.number(1, stems)) for kind, number, stems in inputs]
        stems = self.number(1, sum(number for _, _, number in used)) if used else self.number(1, 50)
        parts = [stems, self.number(0, 20)] if self.one_of(True, False) else [stems]
        batches = [self.batch(part) for part in parts if part]
        key = self.thing("run")
        self.rows["runs"].append(RunFact(key, on, used, batches))
        self.spend(key)
        for batch in batches:
            left = self.move(batch.key, batch.made, on)
            if again and left and self.one_of(True, False):
                self.rework(batch.key, self.number(1, left), on + timedelta(30))
        return key

    def batch(self, stems):
        return BatchFact(self.key(), 1, self.number(1, 50), stems, self.one_of(None, 0, self.number(1, 1000)))

    def move(self, batch, made, on):
        """Bunches made, partly gone and partly back, some found; return what is left."""
        self.movement(on, batch, made, "made")
        gone = self.number(0, made)
        if not gone:
            return made
        day = on + timedelta(self.number(0, 9))
        out = self.movement(day, batch, -gone, self.one_of("sold", "drawn", "written_off", "made_up"))
        if self.one_of(True, False):
            self.movement(day, batch, -(made - gone), "sold") if made > gone else None
            gone = made
        back = self.number(0, gone if gone < made else 0)
        if back:
            self.movement(self.one_of(day, on + timedelta(20)), batch, back, "returned", brings_back=out)
        if self.one_of(True, False):
            self.movement(day + timedelta(1), batch, 2, "found")
        return made - gone + back

    def movement(self, on, batch, bunches, kind, **given):
        key = self.key()
        self.rows["movements"].append(MovementFact(key, on, batch, bunches, kind, **given))
        return key

    def rework(self, batch, bunches, on):
        """Bunches of one batch used in a run of their own."""
        run = self.bunch([], on, again=False)
        self.movement(on, batch, -bunches, "made_up", run=run)

    def supply(self):
        """Bills, uses and counts of materials, on anything there is."""
        things = sorted(key for key, kind in self.kinds.items() if kind != "material")
        for material in MATERIALS:
            for _ in range(self.number(0, 3)):
                self.spend(material, kinds=("inputs", "packing"), covers=None, quantity=self.number(0, 50))
            for _ in range(self.number(0, 3)):
                use = MaterialUse(self.key(), material, self.some_day(), self.number(1, 40), self.one_of(*things))
                self.rows["uses"].append(use)
            if self.one_of(True, False):
                on = self.one_of(date(2025, 8, 1), date(2025, 12, 31))
                self.rows["counts"].append(MaterialCount(self.key(), material, on, self.number(0, 60)))
