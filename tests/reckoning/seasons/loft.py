"""Hangings: taken down in steps, moved on, lost, kept as oddments, bunched."""

from datetime import timedelta

from ledger.reckoning.book import HangingFact, OddmentsFact

from .drawn import OTHER_PLACE, PLACE
from .stock import Stock


class Loft(Stock):
    """The loft of a season."""

    def hang(self, parting, stems, on, moved_from=None):
        """Stems hung: some down after ten days, some then moved on, some of the rest down later."""
        key, day = self.thing("hanging"), on + timedelta(10)
        first = self.taking(stems, day)
        moved = self.number(0, stems - first[1]) if moved_from is None else 0
        later = self.taking(stems - first[1] - moved, day + timedelta(self.number(0, 5)))
        takings = [one for one in (first, later) if one[1]]
        self.rows["hangings"].append(
            HangingFact(
                key, parting, self.one_of(PLACE, OTHER_PLACE), on, stems, self.number(1, 9), norm_bp=self.number(0, 5000),
                disaster_bp=self.one_of(None, None, self.number(0, 5000)), takings=takings, moved_from=moved_from,
            )
        )
        self.spend(key)
        if moved:
            self.hang(parting, moved, day + timedelta(self.number(0, 2)), moved_from=key)
        self.use(key, takings)

    def taking(self, stems, day):
        down = self.number(0, stems)
        return (day, down, self.number(0, down))

    def use(self, key, takings):
        """Sound stems bunched, lost ones kept for a little."""
        inputs, day = [], max((on for on, _, _ in takings), default=None)
        sound = sum(number for _, _, number in takings)
        lost = sum(down for _, down, _ in takings) - sound
        if sound:
            inputs.append(("hanging", key, sound))
        for _ in range(min(lost, self.number(0, 2))):
            kept = OddmentsFact(self.key(), key, day, 1, self.number(0, 10**9))
            self.rows["oddments"].append(kept)
            inputs.append(("oddments", kept.key, 1))
        if inputs and self.one_of(True, False):
            self.bunch(inputs, day + timedelta(self.number(0, 3)))
