"""Rounding a whole table for screen and paper, so that it adds up along every row and down every column.

Amounts come in millionths of a minor unit and leave as whole minor units. The totals of what was sold, of its cost to the
shelf and of what was left depend on their exact sums alone, so that tables which tell the same sales in other rows or
columns end in the same figures.
"""

from collections.abc import Sequence

from .sharing import MILLION, printed

Cell = tuple[int, int]


def printed_costs(rows: Sequence[tuple[int, Sequence[int]]]) -> list[tuple[int, list[int]]]:
    """Return the cost to the shelf and the parts of what was spent besides, of each row, as whole minor units.

    All rows have as many parts. The total of the cost to the shelf, and of all cost, is its exact sum, halves up; the parts
    are fitted to what is between. A cost to the shelf is less than two minor units from the truth, a part less than four;
    but for one row of many, one unit and two.

    >>> printed_costs([(400_000, [400_000, 0]), (0, [300_000, 700_000])])
    [(0, [1, 0]), (0, [0, 1])]
    """
    goods = [(shelf, sum(parts), -shelf - sum(parts)) for shelf, parts in rows]
    shelf, cost = _half_up(sum(row[0] for row in goods)), _half_up(-sum(row[2] for row in goods))
    outer = printed_table(goods, (shelf, cost - shelf, -cost))
    fitted = [_fitted(parts, spent) for (_shelf, parts), (_goods, spent, _left) in zip(rows, outer, strict=True)]
    totals = printed([sum(column) for column in zip(*(parts for _shelf, parts in rows), strict=True)], cost - shelf)
    return [(row[0], inner) for row, inner in zip(outer, printed_table(fitted, totals), strict=True)]


def printed_table(rows: Sequence[Sequence[int]], totals: Sequence[int]) -> list[list[int]]:
    """Return rows of millionths as minor units that keep every row's sum and come to `totals` down each column.

    Every row must add up to whole minor units, and `totals`, in minor units, to as much as all rows. Each amount is rounded
    up or down, those of one row by up to one unit more: it takes what totals differ from the exact sums, and is the one least
    whole where they do, then the largest. After Cox, "A constructive procedure for unbiased controlled rounding", Journal of
    the American Statistical Association 82 (1987), always by the smaller step. Raises ValueError where the sums do not fit.

    >>> printed_table([(500_000, 500_000), (500_000, 500_000)], (1, 1))
    [[1, 0], [0, 1]]
    """
    table = _come_to(rows, totals)
    loose: list[Cell] = []
    for row, amounts in enumerate(table):
        for column in range(len(amounts)):
            _settle(table, loose, (row, column))
    if loose:
        raise ValueError(f"rows do not add up to whole minor units, or not to {list(totals)}")
    return [[amount // MILLION for amount in row] for row in table]


def _half_up(millionths: int) -> int:
    return (2 * millionths + MILLION) // (2 * MILLION)


def _fitted(parts: Sequence[int], whole: int) -> list[int]:
    """The parts, the largest that is not whole changed so that they come to a whole sum."""
    changed = max(range(len(parts)), key=lambda place: (parts[place] % MILLION > 0, abs(parts[place])))
    return [part + (whole * MILLION - sum(parts) if place == changed else 0) for place, part in enumerate(parts)]


def _come_to(rows: Sequence[Sequence[int]], totals: Sequence[int]) -> list[list[int]]:
    """A copy of the rows of which one takes what the totals differ from the exact sums."""
    table = [list(row) for row in rows]
    if table:
        short = [total * MILLION - sum(column) for total, column in zip(totals, zip(*table, strict=True), strict=True)]
        taking = max(table, key=lambda row: (_fits(row, short), sum(map(abs, row))))
        taking[:] = [amount + more for amount, more in zip(taking, short, strict=True)]
    return table


def _fits(row: Sequence[int], short: Sequence[int]) -> int:
    """In how many columns a row that is not whole could take what a total differs by."""
    return sum(amount % MILLION > 0 for amount, more in zip(row, short, strict=True) if more)


def _settle(table: list[list[int]], loose: list[Cell], cell: Cell) -> None:
    """Make a cell whole by rings through the `loose` ones, or count it among them, which never close a ring."""
    while table[cell[0]][cell[1]] % MILLION:
        ring = _ring(loose, [cell], cell[1])
        if not ring:
            loose.append(cell)
            return
        _turn(table, ring)
        loose[:] = [(row, column) for row, column in loose if table[row][column] % MILLION]


def _ring(loose: Sequence[Cell], path: list[Cell], goal: int) -> list[Cell]:
    """The path led on by turns along a row and down a column until it is back in its first column; empty where none is."""
    for along in (cell for cell in loose if cell[0] == path[-1][0] and cell != path[-1]):
        if along[1] == goal:
            return [*path, along]
        for down in (cell for cell in loose if cell[1] == along[1] and cell != along):
            found = _ring(loose, [*path, along, down], goal)
            if found:
                return found
    return []


def _turn(table: list[list[int]], ring: Sequence[Cell]) -> None:
    """Add to every other cell of a ring what the rest give, by the smaller step that makes one of them whole."""
    above = [table[row][column] % MILLION for row, column in ring]
    rise = min(MILLION - part if place % 2 == 0 else part for place, part in enumerate(above))
    fall = min(part if place % 2 == 0 else MILLION - part for place, part in enumerate(above))
    step = rise if rise <= fall else -fall
    for place, (row, column) in enumerate(ring):
        table[row][column] += step if place % 2 == 0 else -step
