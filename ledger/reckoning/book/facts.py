"""What the cost book is reckoned from: the facts of the path as plain numbers and days.

A key names a node of the path: its kind and the record's number. Money is in
millionths of a minor unit. Every list holds only what stands on the day asked.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from ledger.reckoning.joint import joint_weights

Key = tuple[str, int]
Element = tuple[str, str]


@dataclass(frozen=True)
class Calendar:
    """The holding's books' year and season."""

    year_end_month: int = 12
    year_end_day: int = 31
    season_first_month: int = 1


@dataclass(frozen=True)
class Spending:
    """One entry's share spent on one thing: `entry` names the work entry or purchase line.

    `covers` (first and last day, both within) is the stretch a bill is for;
    None: its own day. `quantity`: the units of a material bought with it.
    """

    spent_on: int
    on: date
    kind: str
    amount: int
    entry: Key
    covers: tuple[date, date] | None = None
    quantity: int = 0


@dataclass(frozen=True)
class MaterialUse:
    """So many units of a material used on one thing."""

    key: int
    material: int
    on: date
    quantity: int
    spent_on: int


@dataclass(frozen=True)
class MaterialCount:
    """Units of a material counted at the end of a day; what is missing was used and not noted."""

    key: int
    material: int
    on: date
    counted: int


@dataclass(frozen=True)
class SpaceFact:
    """A plot or drying place; `years`: year -> (expected cost, normal unit-days), `room` in its unit."""

    key: int
    kind: str
    room: int
    years: Mapping[int, tuple[int, int]] = field(default_factory=dict)


@dataclass(frozen=True)
class Ground:
    """A planting's area in one plot growing (+) or shrinking (-) from a day on, in hundredths of m2."""

    plot: int
    on: date
    area: int


@dataclass(frozen=True)
class Division:
    """`parts` of `of_parts` of a perennial's plants went into a planting of their own."""

    daughter: int
    on: date
    parts: int
    of_parts: int


@dataclass(frozen=True)
class PlantingFact:
    """A planting; area in hundredths of m2, `plot` None while it stands in no bed.

    `expected`: season -> (stems, planned cost of that season or None).
    `ground`: beds taken later, and parts cleared. `lives`: from a day on so
    many productive seasons are expected, in order of days. `cut_over`: days
    from which work is for the next season.
    """

    key: int
    plot: int | None
    on: date
    cleared: date | None
    area: int
    season: int
    perennial: bool = False
    productive_seasons: int = 1
    expected: Mapping[int, tuple[int, int | None]] = field(default_factory=dict)
    ground: Sequence[Ground] = ()
    lives: Sequence[tuple[date, int]] = ()
    cut_over: Sequence[date] = ()
    divisions: Sequence[Division] = ()


@dataclass(frozen=True)
class LotFact:
    """Stems cut from one planting on one day; `values` of a hundred stems by way, kept for the split."""

    key: int
    planting: int
    on: date
    stems: int
    values: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class PartingFact:
    """Stems that left a lot: hung, sold_fresh, cut_dry, made_up, drawn or thrown_out."""

    key: int
    lot: int
    on: date
    way: str
    stems: int


@dataclass(frozen=True)
class HangingFact:
    """A hanging with its takings (day, stems, sound); `disaster_bp`: the norm kept with its mark, None unmarked.

    `moved_from`: the hanging its stems came from by moving; `moves`: (day,
    stems) moved on from it, worked out from the others' `moved_from`.
    """

    key: int
    parting: int
    place: int
    on: date
    stems: int
    room: int
    norm_bp: int = 0
    disaster_bp: int | None = None
    takings: Sequence[tuple[date, int, int]] = ()
    moved_from: int | None = None
    moves: Sequence[tuple[date, int]] = ()

    @cached_property
    def moved(self) -> int:
        """Stems moved on to another hanging."""
        return sum(stems for _, stems in self.moves)

    @cached_property
    def down(self) -> int:
        """Stems taken down."""
        return sum(stems for _, stems, _ in self.takings)

    @cached_property
    def sound(self) -> int:
        """Stems taken down sound."""
        return sum(sound for _, _, sound in self.takings)

    @cached_property
    def last_day_up(self) -> date | None:
        """The day its last stem came down or was moved on, None while any is up."""
        if self.down + self.moved < self.stems:
            return None
        return max([day for day, _, _ in self.takings] + [day for day, _ in self.moves])


@dataclass(frozen=True)
class OddmentsFact:
    """Lost stems of a hanging kept as oddments, worth `value` in all, in millionths."""

    key: int
    hanging: int
    on: date
    stems: int
    value: int


@dataclass(frozen=True)
class BatchFact:
    """`made` units of one line out of `stems` stems; `unit_value` kept for the split, in millionths."""

    key: int
    line: int
    made: int
    stems: int
    unit_value: int | None = None


@dataclass(frozen=True)
class RunFact:
    """A run: stems in, as (kind, number, stems) of a hanging, a parting or oddments, and the batches out."""

    key: int
    on: date
    inputs: Sequence[tuple[str, int, int]]
    batches: Sequence[BatchFact]
    bought_in: bool = False

    @property
    def weights(self) -> Sequence[int]:
        """What the run's cost is shared by over its batches: kept values, else stems."""
        values = [None if batch.unit_value is None else batch.unit_value * batch.made for batch in self.batches]
        return joint_weights([batch.stems for batch in self.batches], values)


@dataclass(frozen=True)
class MovementFact:
    """One row of the stock book, moves between boxes left out; `run`: the run that used those bunches."""

    key: int
    on: date
    batch: int
    bunches: int
    kind: str
    brings_back: int | None = None
    run: int | None = None


@dataclass(frozen=True)
class CostFacts:
    """All the facts of the path as of one day.

    `kinds_of` gives the kind of each cost object (plot, planting, lot, ...);
    `unbooked` what was paid and not booked (negative: pay not yet entered).
    """

    on: date
    calendar: Calendar
    kinds_of: Mapping[int, str]
    spending: Sequence[Spending] = ()
    unbooked: int = 0
    spaces: Sequence[SpaceFact] = ()
    plantings: Sequence[PlantingFact] = ()
    lots: Sequence[LotFact] = ()
    partings: Sequence[PartingFact] = ()
    hangings: Sequence[HangingFact] = ()
    oddments: Sequence[OddmentsFact] = ()
    runs: Sequence[RunFact] = ()
    movements: Sequence[MovementFact] = ()
    uses: Sequence[MaterialUse] = ()
    counts: Sequence[MaterialCount] = ()
