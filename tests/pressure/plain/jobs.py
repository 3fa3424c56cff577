"""Jobs: what is kept and taken for them, what comes back, and their end."""

from __future__ import annotations

from dataclasses import dataclass, field

from .book import Fact, insist
from .papers import Papers


@dataclass
class Account(Papers):
    """The whole account. What is kept of a line for a job is `kept_for[job, line]`."""

    kept_for: dict[tuple[int, int], int] = field(default_factory=dict)

    def open_job(self, day: int) -> int:
        return self.fact("job", day)

    def stands_as(self, job: int) -> str:
        return next((kind for kind in ("cancelled", "done") if self.those(kind, job=job)), "asked")

    def _insist_standing(self, job: int, day: int) -> None:
        insist(self.facts[job].stands and day >= self.facts[job].day, "job undone, or not asked about yet")

    def _insist_to_do(self, job: int, day: int) -> None:
        self._insist_standing(job, day)
        insist(self.stands_as(job) == "asked", "job over")

    # Keeping for a job

    def keep_for_job(self, job: int, line: int, day: int, n: int) -> list[int]:
        """First what it is short of is filled again; where nothing of an earlier keeping stands it is begun anew."""
        self._insist_to_do(job, day)
        of = self.kept_for.get((job, line))
        if of is None or not self.changes(of):
            of = self.kept_for[job, line] = self.begin_to_keep(line, day)
        again = min(n, self.short(of))
        keeps = [(again, "refilled"), (n - again, "promised")]
        return [self.fact("kept", day, job=job, changes=[self.promise(of, day, by, why)]) for by, why in keeps if by]

    def free_from_job(self, job: int, line: int, day: int, n: int) -> list[int]:
        """First what is kept is freed; beyond that, what it is short of is owed no more."""
        self._insist_standing(job, day)
        of = self.kept_for[job, line]
        kept, short = self.sum_of(of), self.short(of)
        insist(n <= kept + short and day >= self.keeps[of][1], "neither kept nor short")
        freed, owed = min(n, kept), n - min(n, kept)
        insist(freed <= self.least_kept(of, day), "not kept then")
        gives = [[(-freed, "released")], [(-owed, "released"), (owed, "refilled")]]
        changes = [[self.keep(of, day, by, why) for by, why in some if by] for some in gives]
        return [self.fact("kept", day, job=job, changes=some, freed=True) for some in changes if some]

    def _undo_kept(self, fact: Fact, key: int) -> None:
        insist(self.facts[fact.more["job"]].stands, "job undone")
        insist("freed" not in fact.more or self.stands_as(fact.more["job"]) == "asked", "job over")
        self.undo_changes(fact.more["changes"])

    # Taking for a job

    def take_for_job(self, job: int, line: int, day: int, n: int, box: int | None) -> int:
        """Taken as sold, whatever the book says; what is kept for the job is used first."""
        self._insist_standing(job, day)
        insist(self.stands_as(job) != "cancelled", "job over")
        of = self.kept_for.get((job, line))
        used = self.use(of, max(day, self.keeps[of][1]), n) if of else []
        keys, apart = self.take_as_sold(day, line, n, box, beyond=True)
        return self.fact("taken", day, keys, job=job, of=of, apart=apart, used=used)

    def _undo_taken(self, fact: Fact, key: int) -> None:
        """What was used is kept again; once the job is over it is given up as its end gave up the rest."""
        insist(not self.those("came_back", taken=key), "came back")
        self._undo_sale(fact, key)
        self.undo_changes(fact.more["used"])
        ends = [*self.those("done", job=fact.more["job"]), *self.those("cancelled", job=fact.more["job"])]
        if ends and fact.more["used"]:
            ends[0].more["gave"].append(self.give_all_up(fact.more["of"], ends[0].day))

    def come_back_from(self, taken: int, day: int, n: int, box: int | None) -> int:
        """Those taken last first, each row by itself."""
        insist(self.facts[taken].stands, "undone")
        out = [(key, self.still_out(key)) for key in reversed(self.facts[taken].rows) if self.rows[key].kind == "sold"]
        insist(n <= sum(left for _, left in out), "not out")
        rows = []
        for key, left in out:
            if min(left, n) > 0:
                rows += self.come_back(day, key, min(left, n), box)
            n -= min(left, n)
        return self.fact("came_back", day, rows, taken=taken)

    def _undo_came_back(self, fact: Fact, key: int) -> None:
        for row in reversed(fact.rows):
            self.unpost([row])

    # The end of a job

    def do_job(self, job: int, day: int) -> int:
        return self._end_job("done", job, day)

    def cancel_job(self, job: int, day: int) -> int:
        insist(all(one.day <= day for one in self.those("taken", job=job)), "something was taken later")
        return self._end_job("cancelled", job, day)

    def _end_job(self, kind: str, job: int, day: int) -> int:
        self._insist_to_do(job, day)
        kept = [of for (its, _line), of in self.kept_for.items() if its == job]
        return self.fact(kind, day, job=job, gave=[self.give_all_up(of, day) for of in kept])

    def _undo_done(self, fact: Fact, key: int) -> None:
        gave = [change for some in fact.more["gave"] for change in some]
        for of in {self.kept[change].of for change in gave}:
            self.undo_changes([change for change in gave if self.kept[change].of == of])

    _undo_cancelled = _undo_done

    def _undo_job(self, fact: Fact, key: int) -> None:
        insist(not self.those("taken", job=key) and self.stands_as(key) == "asked", "something came of it")
        for (its, _line), of in self.kept_for.items():
            for change in self.changes(of) if its == key else ():
                change.stands = False
