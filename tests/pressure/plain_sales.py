"""Orders, parcels and sales kept apart from the program, on the plain book of stock."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from .plain_book import Book, Fact, Place, insist, least


@dataclass
class OrderLine:
    """So many of a line asked for in an order, and promised when it was taken."""

    order: int
    line: int
    asked: int
    promised: int


@dataclass
class Account(Book):
    """The whole account. An order line is known by the key of what it keeps."""

    order_lines: dict[int, OrderLine] = field(default_factory=dict)
    parcels: dict[int, int] = field(default_factory=dict)

    # How an order line stands

    def packings(self, of: int | None = None, parcel: int | None = None) -> list[Fact]:
        """Packings that stand, of a line or in a parcel; those of a line in parcels not sent."""
        found = [one for one in self.facts.values() if one.kind == "packing" and one.stands]
        if parcel is not None:
            return [one for one in found if one.more["parcel"] == parcel]
        return [one for one in found if one.more["of"] == of and not self.is_sent(one.more["parcel"])]

    def dispatches(self) -> list[Fact]:
        return [one for one in self.facts.values() if one.kind == "dispatch" and one.stands]

    def is_sent(self, parcel: int) -> bool:
        return any(one.more["parcel"] == parcel for one in self.dispatches())

    def sum_of(self, of: int, *whys: str) -> int:
        return sum(one.bunches for one in self.changes(of) if not whys or one.why in whys)

    def figures(self, of: int) -> dict[str, int]:
        """Asked, still wanted, promised, given back, left short, kept, packed and sent of an order line."""
        return {
            "asked": self.order_lines[of].asked, "wanted": self.wanted(of), "entered": self.sum_of(of, "promised"),
            "short": self.short(of),
            "given_back": -self.sum_of(of, "released"), "kept": self.sum_of(of),
            "packed": sum(one.more["n"] for one in self.packings(of)),
            "sent": sum(n for one in self.dispatches() for its, n in one.more["lines"] if its == of),
        }

    def wanted(self, of: int) -> int:
        fewer = [one.more["n"] for one in self.facts.values() if one.kind == "asked" and one.stands and one.more["of"] == of]
        return self.order_lines[of].asked - sum(fewer)

    def not_promised_of(self, of: int) -> int:
        """What is wanted of an order line and was never promised, or was given back."""
        return self.wanted(of) - self.sum_of(of, "promised") - self.sum_of(of, "released")

    # Orders

    def take_order(self, day: int, asked: list[tuple[int, int, int]]) -> int:
        """(line, asked, promised) of each."""
        order = self.fact("order", day, lines=[])
        for line, n, promised in asked:
            self.keeps[of := self.next()] = (line, day)
            self.order_lines[of] = OrderLine(order, line, n, promised)
            self.facts[order].more["lines"].append(of)
            if promised:
                self._promise(of, day, promised, "promised")
        return order

    def _promise(self, of: int, day: int, n: int, why: str) -> int:
        line, since = self.keeps[of]
        insist(day >= since, "before it was ordered")
        insist(n <= self.free(line, day), "not free")
        return self.keep(of, day, n, why)

    def _insist_ordered(self, of: int) -> None:
        insist(self.facts[self.order_lines[of].order].stands, "order undone")

    def promise_more(self, of: int, day: int, n: int) -> int:
        self._insist_ordered(of)
        insist(n <= self.not_promised_of(of), "not asked for")
        return self.fact("promise", day, change=self._promise(of, day, n, "promised"))

    def fill_again(self, of: int, day: int, n: int) -> None:
        self._insist_ordered(of)
        insist(n <= self.short(of), "not so short")
        self._promise(of, day, n, "refilled")

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

    def least_kept(self, of: int, day: int) -> int:
        return max(least([(one.day, one.bunches) for one in self.changes(of)], day), 0)

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
        rows = self.post(day, [(place, -n, "moved", None), ((place[0], parcel), n, "moved", None)])
        return self.fact("packing", day, rows, of=of, parcel=parcel, n=n, batch=place[0])

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
        used = self._use(of, dispatch.day, sum(batches.values()))
        rows = []
        for batch, n in batches.items():
            place = (batch, dispatch.more["parcel"])
            rows += self.post(dispatch.day, [(place, -n, "sold", None)], promised_too=True)
            dispatch.more["lines"].append((of, n))
        dispatch.rows += rows
        dispatch.more["used"].append((rows, used))

    def _use(self, of: int, day: int, n: int) -> list[int]:
        """What is sent comes off what is kept that day, then off what is kept later only, then off what is short."""
        that_day = min(n, self.least_kept(of, day))
        later = min(n, self.sum_of(of)) - that_day
        owed = min(n - that_day - later, self.short(of))
        last = max([day, *(one.day for one in self.changes(of))])
        uses = [(day, -that_day, "used"), (last, -later, "used"), (day, owed, "refilled"), (day, -owed, "used")]
        return [self.keep(of, at, by, why) for at, by, why in uses if by]

    def invoice(self, order: int, day: int) -> None:
        """Bill what was sent by a day and not billed; it cannot be undone."""
        sent = [one for one in self.dispatches() if one.more["order"] == order and one.day <= day and not one.more["invoiced"]]
        insist(bool(sent), "nothing to bill")
        for one in sent:
            one.more["invoiced"] = True

    # Retail

    def sell(self, day: int, line: int, n: int, box: int | None, *, beyond: bool) -> int:
        """Sell by retail, the oldest first; `beyond`: it happened, whatever the book says."""
        if not beyond:
            insist(not (box is not None and self.is_held_back(box, day)) and n <= self.free(line, day), "not free")
        picked = self._pick(day, line, n, box)
        missing = n - sum(taken for _, taken in picked)
        insist(beyond or not missing, "not there")
        if missing:
            last, taken = picked.pop() if picked else (self._latest(line, day, box), 0)
            found = self.found(last, missing, day)
        sold = [(place, -taken, "sold", None) for place, taken in picked]
        rows = [*sold, *found, (last, -taken - missing, "sold", None)] if missing else sold
        keys = self.post(day, rows, promised_too=beyond)
        return self.fact("sale", day, keys, apart=len(sold))

    def _pick(self, day: int, line: int, n: int, box: int | None) -> list[tuple[Place, int]]:
        made = {key for key, one in self.batches.items() if one.line == line and one.day <= day}
        open_to_all = [None, *(at for at in self.shelved if not self.is_held_back(at, day))]
        boxes = open_to_all if box is None else [box]
        there = [(batch, at) for batch, at in self.contents() if batch in made and at in boxes]
        picked = []
        for place in sorted(there, key=self._oldest_first):
            taken = min(n, max(least(self.in_place(place), day), 0))
            if taken:
                picked.append((place, taken))
                n -= taken
        return picked

    def _oldest_first(self, place: Place) -> tuple[int, ...]:
        batch, box = place
        return (self.batches[batch].day, batch, box is None, box or 0)

    def _latest(self, line: int, day: int, box: int | None) -> Place:
        made = [(one.day, key) for key, one in self.batches.items() if one.stands and one.line == line and one.day <= day]
        insist(bool(made), "none was made by then")
        return max(made)[1], box

    # Undoing

    def _undo_sale(self, fact: Fact, key: int) -> None:
        apart = fact.more["apart"]
        for group in [fact.rows[apart:], *([one] for one in reversed(fact.rows[:apart]))]:
            if group:
                self.unpost(group)

    def _undo_packing(self, fact: Fact, key: int) -> None:
        insist(not self.is_sent(fact.more["parcel"]), "sent")
        self.unpost(fact.rows)

    def _undo_dispatch(self, fact: Fact, key: int) -> None:
        insist(not fact.more["invoiced"], "invoiced")
        for rows, used in reversed(fact.more["used"]):
            for row in reversed(rows):
                self.unpost([row])
            self._undo_changes(used)

    def _undo_changes(self, keys: list[int]) -> None:
        """Undo changes of one order line as one: less than nothing may be left neither to promise nor kept."""
        if not keys:
            return
        changes = [self.kept[key] for key in keys]
        of, first = changes[0].of, min(one.day for one in changes)
        insist(all(one.stands for one in changes), "undone already")
        before = self._left(of, first)
        for one in changes:
            one.stands = False
        for had, has in zip(before, self._left(of, first), strict=True):
            insist(has >= min(had, 0), "promised to others, or given back")

    def _left(self, of: int, day: int) -> tuple[int, int]:
        return self.not_promised(self.keeps[of][0], day), least([(one.day, one.bunches) for one in self.changes(of)], day)

    def _undo_promise(self, fact: Fact, key: int) -> None:
        change = self.kept[fact.more["change"]]
        self._insist_ordered(change.of)
        now = self.figures(change.of)
        insist(change.bunches <= now["kept"] - now["packed"], "packed")
        self._undo_changes([change.key])

    def _undo_asked(self, fact: Fact, key: int) -> None:
        self._insist_ordered(fact.more["of"])
        self._undo_changes(fact.more["gave"])

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
