"""What must agree between the ledger and the account after every step."""

from __future__ import annotations

from hypothesis.stateful import invariant

from ledger.sales.models import Job, JobHold, OrderLine
from ledger.stock.models import Balance, Content, Hold
from ledger.stock.queries import lowest_free

from .both import Both
from .world import day


class Agreeing(Both):
    """Boxes, lines, orders and jobs."""

    @invariant()
    def boxes_agree(self) -> None:
        """What lies where is the same in both, and nowhere less than nothing."""
        names = {self.rows[key].pk: key for key in self.account.batches}
        boxes = {self.rows[key].pk: key for key in [*self.account.shelved, *self.account.parcels]}
        found = Content.objects.exclude(bunches=0).values_list("batch", "box", "bunches")
        there = {(names[batch], boxes.get(box)): n for batch, box, n in found}
        assert there == self.account.contents()
        assert all(n > 0 for n in there.values())

    @invariant()
    def lines_agree(self) -> None:
        """On hand, promised and free of each line are the same in both, and never more promised than there is."""
        for at, line in enumerate(self.world.lines):
            balance = Balance.objects.get(line=line)
            assert (balance.on_hand, balance.held) == (self.account.on_hand(at), self.account.held(at))
            assert 0 <= balance.held <= balance.on_hand
            assert lowest_free(line, day(self.on)) == self.account.free(at, self.on)

    @invariant()
    def orders_agree(self) -> None:
        """Asked, promised, given back, short, kept, packed and sent of each order line are the same in both."""
        keys = {self.rows[of].pk: of for of in self.account.order_lines}
        for line in OrderLine.objects.with_standing():
            figures = self.account.figures(keys[line.pk])
            assert {name: getattr(line, name) for name in figures} == figures
            assert min(figures.values()) >= 0

    @invariant()
    def jobs_agree(self) -> None:
        """How each job stands, what is kept and short of each line for it: the same in both, and nil once it is over."""
        jobs = {self.rows[key].pk: key for key, fact in self.account.facts.items() if fact.kind == "job"}
        stands = {jobs[pk]: state for pk, state in Job.objects.standing().with_state().values_list("pk", "stands_as")}
        assert stands == {key: self.account.stands_as(key) for key in jobs.values() if self.account.facts[key].stands}
        lines = {line.pk: at for at, line in enumerate(self.world.lines)}
        of_jobs = Hold.objects.filter(job_hold__isnull=False).with_kept().with_short()
        holds = {hold.pk: (hold.kept, hold.short) for hold in of_jobs}
        for job, line, hold in JobHold.objects.values_list("job", "line", "hold"):
            of = self.account.kept_for[jobs[job], lines[line]]
            assert holds[hold] == (self.account.sum_of(of), self.account.short(of))
            assert min(holds[hold]) >= 0 and (stands.get(jobs[job], "") == "asked" or not any(holds[hold]))
