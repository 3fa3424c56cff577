"""Whether what went into runs was there, and came out again to the stem."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import F, Q, Sum

from ledger.drying.models import Oddments, TakingDown
from ledger.growing.models import Parting
from ledger.stock.models import Batch, Line, Movement, Run, RunInput

STANDING = Q(undone_at__isnull=True)
COUNTED = {Run.Kind.BUNCHING, Run.Kind.REWORK}


def run_differences() -> Iterable[str]:
    """Every run that used more stems than there were, or whose stems do not add up, naming the row."""
    yield from _used_up()
    yield from _made_up()
    yield from _added_up()
    for pk in Movement.objects.filter(STANDING, run__undone_at__isnull=False).values_list("pk", flat=True):
        yield f"movement {pk}: the run that used it is undone"


def _used_up() -> Iterable[str]:
    down = TakingDown.objects.filter(STANDING).values_list("hanging").annotate(n=Sum("sound")).order_by("hanging")
    dry = Parting.objects.filter(STANDING, way__in=[Parting.Way.CUT_DRY, Parting.Way.MADE_UP]).values_list("pk", "stems")
    kept = Oddments.objects.filter(STANDING).values_list("pk", "stems")
    for kind, said, rows in (("hanging", "sound", down), ("parting", "left the lot", dry), ("oddments", "kept", kept)):
        there = dict(rows)
        used = RunInput.objects.filter(run__undone_at__isnull=True, **{f"{kind}__isnull": False})
        for key, stems in used.values_list(kind).annotate(n=Sum("stems")).order_by(kind):
            if stems > there.get(key, 0):
                yield f"{kind} {key}: {there.get(key, 0)} {said}, {stems} bunched"


def _made_up() -> Iterable[str]:
    """Fresh stems that left their lot to be made up are the stems of one standing run."""
    fresh = Parting.objects.filter(STANDING, way=Parting.Way.MADE_UP)
    whole = fresh.filter(run_inputs__run__undone_at__isnull=True, run_inputs__stems=F("stems"))
    for pk in fresh.exclude(pk__in=whole.values("pk")).values_list("pk", flat=True):
        yield f"parting {pk}: made up, in no run"


def _added_up() -> Iterable[str]:
    """Runs of bunching, and those of rework where each line says its stems."""
    inputs = RunInput.objects.values_list("run").annotate(n=Sum("stems")).order_by("run")
    went_in: dict[int, int] = defaultdict(int, dict(inputs))
    weights = Batch.objects.filter(STANDING, run__kind=Run.Kind.REWORK).exclude(line__unit=Line.Unit.BUNCH)
    uncounted = set(weights.values_list("run", flat=True))
    drawn = Movement.objects.filter(STANDING, run__isnull=False)
    for run, unit, size, bunches in drawn.values_list("run", "batch__line__unit", "batch__line__stems", "bunches"):
        if unit == Line.Unit.BUNCH:
            went_in[run] -= bunches * (size or 0)
        else:
            uncounted.add(run)
    made = dict(Batch.objects.filter(STANDING).values_list("run").annotate(n=Sum("stems")).order_by("run"))
    for run, lost in Run.objects.filter(STANDING, kind__in=COUNTED).exclude(pk__in=uncounted).values_list("pk", "lost"):
        if went_in[run] != made.get(run, 0) + lost:
            yield f"run {run}: {went_in[run]} stems in, {made.get(run, 0)} in batches, {lost} lost"
