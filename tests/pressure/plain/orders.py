"""Orders, what is kept for them, and parcels packed and sent."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from .book import Fact, Place, Wanted, insist
from .promises import Promises


@dataclass
class OrderLine:
    """So many of a line asked for in an order, and promised when it was taken."""

    order: int
    line: int
    asked: int
    promised: int


@dataclass
class Orders(Promises):
    """An order line is known by the key of what it keeps."""

    order_lines: dict[int, OrderLine] = field(default_factory=dict)
    parcels: dict[int, int] = field(default_factory=dict)

    # How an order line stands

    def packings(self, of: int | None = None, parcel: int | None = None) -> list[Fact]:
        """Packings that stand, of a line or in a parcel; those of a line in parcels not sent."""
        if parcel is not None:
            return self.those("packing", parcel=parcel)
        return [one for one in self.those("packing", of=of) if not self.is_sent(one.more["parcel"])]

    def is_sent(self, parcel: int) -> bool:
        return bool(self.those("dispatch", parcel=parcel))

    def figures(self, of: int) -> dict[str, int]:
        """Asked, still wanted, promised, given back, left short, kept, packed and sent of an order line."""
        return {
            "asked": self.order_lines[of].asked, "wanted": self.wanted(of), "entered": self.sum_of(of, "promised"),
            "short": self.short(of),
            "given_back": -self.sum_of(of, "released"), "kept": self.sum_of(of),
            "packed": sum(one.more["n"] for one in self.packings(of)),
            "sent": sum(n for one in self.those("dispatch") for its, n in one.more["lines"] if its == of),
        }

    def wanted(self, of: int) -> int:
        return self.order_lines[of].asked - sum(one.more["n"] for one in self.those("asked", of=of))

    def not_promised_of(self, of: int) -> int:
        """What is wanted of an order line and was never promised, or was given back."""
        return self.wanted(of) - self.sum_of(of, "promised") - self.sum_of(of, "released")

    # Orders

    def take_order(self, day: int, asked: list[tuple[int, int, int]]) -> int:
        """(line, asked, promised) of each."""
        order = self.fact("order", day, lines=[])
        for line, n, promised in asked:
            of = self.begin_to_keep(line, day)
            self.order_lines[of] = OrderLine(order, line, n, promised)
            self.facts[order].more["lines"].append(of)
            if promised:
                self.promise(of, day, promised, "promised")
        return order

    def _insist_ordered(self, of: int) -> None:
        insist(self.facts[self.order_lines[of].order].stands, "order undone")

    def promise_more(self, of: int, day: int, n: int) -> int:
        self._insist_ordered(of)
        insist(n <= self.not_promised_of(of), "not asked for")
        return self.fact("promise", day, change=self.promise(of, day, n, "promised"))

    def fill_again(self, of: int, day: int, n: int) -> None:
        self._insist_ordered(of)
        insist(n <= self.short(of), "not so short")
        self.promise(of, day, n, "refilled")

    def cancel(self, of: int, day: int, n: int) -> int:
        """So many fewer are wanted: first what is not promised, then what was left short, then what is kept and not packed."""
        self._insist_ordered(of)
        now, not_promised = self.figures(of), self.not_promised_of(of)
        insist(day >= self.keeps[of][1], "before it was ordered")
        insist(n <= now["kept"] - now["packed"] + not_promised + now["short"], "packed")
        owed = min(max(n - not_promised, 0), now["short"])
        back = n - min(n, not_promised)
        insist(back - owed <= self.least_kept(of, day), "not kept then")
        gives = [(-back, "released"), (owed, "refilled")]
        return self.fact("asked", day, of=of, n=n, gave=[self.keep(of, day, by, why) for by, why in gives if by])

    # Packing and sending

    def pack(self, of: int, day: int, place: Place, n: int) -> int:
        self._insist_ordered(of)
        insist(self.batches[place[0]].line == self.keeps[of][0] and day >= self.keeps[of][1], "another line, or too early")
        now = self.figures(of)
        insist(n <= min(now["kept"], self.least_kept(of, day)) - now["packed"], "not promised")
        order = self.order_lines[of].order
        unsent = [parcel for parcel, its in self.parcels.items() if its == order and not self.is_sent(parcel)]
        parcel = unsent[-1] if unsent else self.next()
        self.parcels[parcel] = order
        moved: list[Wanted] = [(place, -n, "moved", None), ((place[0], parcel), n, "moved", None)]
        return self.fact("packing", day, self.post(day, moved), of=of, parcel=parcel, n=n, batch=place[0])

    def send(self, order: int, day: int) -> int:
        insist(self.facts[order].stands, "order undone")
        ready = [one for one, its in self.parcels.items() if its == order and self.packings(parcel=one) and not self.is_sent(one)]
        insist(bool(ready), "nothing packed")
        packed: Counter[tuple[int, int]] = Counter()
        for one in self.packings(parcel=ready[0]):
            insist(day >= one.day, "packed later")
            packed[one.more["of"], one.more["batch"]] += one.more["n"]
        dispatch = self.fact("dispatch", day, parcel=ready[0], order=order, lines=[], used=[], invoiced=False)
        for of in sorted({of for of, _ in packed}):
            self._send_line(self.facts[dispatch], of, {batch: n for (its, batch), n in sorted(packed.items()) if its == of})
        return dispatch

    def _send_line(self, dispatch: Fact, of: int, batches: dict[int, int]) -> None:
        used = self.use(of, dispatch.day, sum(batches.values()))
        rows = []
        for batch, n in batches.items():
            place = (batch, dispatch.more["parcel"])
            rows += self.post(dispatch.day, [(place, -n, "sold", None)], promised_too=True)
            dispatch.more["lines"].append((of, n))
        dispatch.rows += rows
        dispatch.more["used"].append((rows, used))

    # Undoing

    def _undo_packing(self, fact: Fact, key: int) -> None:
        insist(not self.is_sent(fact.more["parcel"]), "sent")
        self.unpost(fact.rows)

    def _undo_dispatch(self, fact: Fact, key: int) -> None:
        insist(not fact.more["invoiced"], "invoiced")
        for rows, used in reversed(fact.more["used"]):
            for row in reversed(rows):
                self.unpost([row])
            self.undo_changes(used)

    def _undo_promise(self, fact: Fact, key: int) -> None:
        change = self.kept[fact.more["change"]]
        self._insist_ordered(change.of)
        now = self.figures(change.of)
        insist(change.bunches <= now["kept"] - now["packed"], "packed")
        self.undo_changes([change.key])

    def _undo_asked(self, fact: Fact, key: int) -> None:
        self._insist_ordered(fact.more["of"])
        self.undo_changes(fact.more["gave"])

    def _undo_order(self, fact: Fact, key: int) -> None:
        for of in fact.more["lines"]:
            now = self.figures(of)
            insist(not now["packed"] and not now["sent"] and now["kept"] == now["entered"], "packed, sent, given back or short")
        for of in fact.more["lines"]:
            for change in self.changes(of):
                change.stands = False
        for one in self.facts.values():
            if one.kind == "asked" and one.more["of"] in fact.more["lines"]:
                one.stands = False
