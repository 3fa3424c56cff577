"""Whether quantities balance, and the running figures agree with the stock book."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from django.db.models import F, Q, Sum

from ledger.drying.models import Hanging, Loss, Oddments, TakingDown
from ledger.growing.models import Lot, Parting
from ledger.stock.models import Balance, Batch, Content, HoldChange, Movement

from .proof_runs import run_differences

STANDING = Q(undone_at__isnull=True)


def quantity_differences() -> Iterable[str]:
    """Every balance of stems and bunches that does not hold, naming the row."""
    yield from _lots()
    yield from _hangings()
    yield from run_differences()
    yield from _batches()
    yield from _contents()
    yield from _balances()
    yield from _promises()


def _summed(rows: Iterable[tuple[int, int]]) -> dict[int, int]:
    return dict(rows)


def _lots() -> Iterable[str]:
    parted = _summed(Parting.objects.filter(STANDING).values_list("lot").annotate(n=Sum("stems")).order_by("lot"))
    for lot, cut in Lot.objects.filter(STANDING).values_list("pk", "stems"):
        if parted.get(lot, 0) > cut:
            yield f"lot {lot}: {cut} cut, {parted[lot]} parted"
    for parting in Parting.objects.filter(STANDING, lot__undone_at__isnull=False).values_list("pk", flat=True):
        yield f"parting {parting}: its lot is undone"


def _hangings() -> Iterable[str]:
    yield from _hung_and_moved()
    yield from _oddments()
    lost = _summed(Loss.objects.values_list("taking").annotate(n=Sum("stems")).order_by("taking"))
    for pk, stems, sound in TakingDown.objects.filter(STANDING).values_list("pk", "stems", "sound"):
        if stems - sound != lost.get(pk, 0):
            yield f"taking down {pk}: {stems} down, {sound} sound, {lost.get(pk, 0)} lost by reason"
    first = Hanging.objects.filter(STANDING, moved_from__isnull=True)
    hung = Parting.objects.filter(STANDING, way=Parting.Way.HUNG).exclude(pk__in=first.values("parting"))
    for pk in hung.values_list("pk", flat=True):
        yield f"parting {pk}: hung, with no hanging"


def _hung_and_moved() -> Iterable[str]:
    """Stems hung are those that left the lot or another hanging; no more come down and move on than hung."""
    standing = Hanging.objects.filter(STANDING)
    down = _summed(TakingDown.objects.filter(STANDING).values_list("hanging").annotate(n=Sum("stems")).order_by("hanging"))
    moves = standing.filter(moved_from__isnull=False)
    moved = _summed(moves.values_list("moved_from").annotate(n=Sum("stems")).order_by("moved_from"))
    first = standing.filter(moved_from__isnull=True)
    for pk, stems, parted, way in first.values_list("pk", "stems", "parting__stems", "parting__way"):
        if stems != parted or way != Parting.Way.HUNG:
            yield f"hanging {pk}: {stems} hung, {parted} left the lot as {way}"
    for pk, stems in standing.values_list("pk", "stems"):
        if down.get(pk, 0) + moved.get(pk, 0) > stems:
            yield f"hanging {pk}: {stems} hung, {down.get(pk, 0)} taken down, {moved.get(pk, 0)} moved on"
    for pk in moves.exclude(moved_from__undone_at__isnull=True, parting=F("moved_from__parting")).values_list("pk", flat=True):
        yield f"hanging {pk}: moved from a hanging that is undone or of another parting"


def _oddments() -> Iterable[str]:
    """No more oddments are kept of a hanging than it lost."""
    down = TakingDown.objects.filter(STANDING)
    lost = _summed(down.values_list("hanging").annotate(n=Sum(F("stems") - F("sound"))).order_by("hanging"))
    kept = Oddments.objects.filter(STANDING).values_list("hanging").annotate(n=Sum("stems")).order_by("hanging")
    for hanging, stems in kept:
        if stems > lost.get(hanging, 0):
            yield f"hanging {hanging}: {lost.get(hanging, 0)} lost, {stems} kept as oddments"


def _batches() -> Iterable[str]:
    rows = Movement.objects.filter(STANDING, kind=Movement.Kind.MADE)
    entered = _summed(rows.values_list("batch").annotate(n=Sum("bunches")).order_by("batch"))
    for batch, made in Batch.objects.filter(STANDING).values_list("pk", "made"):
        if entered.get(batch, 0) != made:
            yield f"batch {batch}: {made} made, {entered.get(batch, 0)} in the stock book"
    for pk in Movement.objects.filter(STANDING, batch__undone_at__isnull=False).values_list("pk", flat=True):
        yield f"movement {pk}: its batch is undone"
    for pk, back, gone in _brought_back():
        if back > gone:
            yield f"movement {pk}: {gone} went out, {back} brought back"


def _brought_back() -> Iterable[tuple[int, int, int]]:
    rows = Movement.objects.filter(STANDING, brings_back__isnull=False)
    back = rows.values_list("brings_back").annotate(n=Sum("bunches"), gone=F("brings_back__bunches")).order_by("brings_back")
    return [(pk, number, -gone) for pk, number, gone in back]


def _contents() -> Iterable[str]:
    """Contents against the stock book, and never below zero on any day, receipts of a day first."""
    running: dict[tuple[int | None, int], int] = defaultdict(int)
    by_day: dict[tuple[int | None, int], dict[date, int]] = defaultdict(lambda: defaultdict(int))
    movements = Movement.objects.filter(STANDING).order_by("on", "pk")
    for box, batch, on, bunches in movements.values_list("box", "batch", "on", "bunches"):
        running[box, batch] += bunches
        by_day[box, batch][on] += bunches
    for (place, batch), days in by_day.items():
        left = 0
        for on, bunches in days.items():
            left += bunches
            if left < 0:
                yield f"box {place or '-'}, batch {batch}: {-left} more taken on {on} than were there"
    for box, batch, bunches in Content.objects.values_list("box", "batch", "bunches"):
        if running.pop((box, batch), 0) != bunches:
            yield f"content of box {box or '-'}, batch {batch}: {bunches} kept, the stock book says otherwise"
    for (place, batch), bunches in running.items():
        if bunches:
            yield f"content of box {place or '-'}, batch {batch}: missing, the stock book says {bunches}"


def _balances() -> Iterable[str]:
    rows = Movement.objects.filter(STANDING)
    on_hand = _summed(rows.values_list("batch__line").annotate(n=Sum("bunches")).order_by("batch__line"))
    changes = HoldChange.objects.filter(STANDING)
    held = _summed(changes.values_list("hold__line").annotate(n=Sum("bunches")).order_by("hold__line"))
    for line, kept, promised in Balance.objects.values_list("line", "on_hand", "held"):
        if kept != on_hand.pop(line, 0):
            yield f"balance of line {line}: {kept} on hand, the stock book says otherwise"
        if promised != held.pop(line, 0):
            yield f"balance of line {line}: {promised} held, the holds say otherwise"
        if not 0 <= promised <= kept:
            yield f"balance of line {line}: {promised} held of {kept} on hand"
    for line, number in {**on_hand, **held}.items():
        if number:
            yield f"balance of line {line}: missing"


def _promises() -> Iterable[str]:
    """Every promise covered or marked short: no hold gave, sent or is short of more than was promised."""
    changes = HoldChange.objects.filter(STANDING).values_list("hold").annotate(n=Sum("bunches")).order_by("hold")
    for hold, kept in changes:
        if kept < 0:
            yield f"hold {hold}: keeps less than nothing"
