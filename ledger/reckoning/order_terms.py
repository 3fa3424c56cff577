"""What an order by a way comes to: quantities that would do, and the carriage due."""


def would_do(asked: int, *, least: int, multiple: int) -> tuple[int | None, int]:
    """Return the nearest numbers that are at least `least` and a multiple of `multiple`: up to `asked` (None: none), and from it.

    Both are `asked` itself where it will do. Raises ValueError for anything below one.

    >>> would_do(14, least=10, multiple=5), would_do(3, least=10, multiple=4), would_do(12, least=1, multiple=6)
    ((10, 15), (None, 12), (12, 12))
    """
    if min(asked, least, multiple) < 1:
        raise ValueError("numbers of bunches begin at one")
    first = -(-least // multiple) * multiple
    below = asked // multiple * multiple
    above = max(-(-asked // multiple) * multiple, first)
    return (below if below >= first else None), above


def carriage_due(net: int, *, carriage: int, free_from: int | None) -> int:
    """Return the carriage of an order of so much, net minor units; nil from `free_from` on (None: never free).

    >>> carriage_due(14999, carriage=850, free_from=15000), carriage_due(15000, carriage=850, free_from=15000)
    (850, 0)
    """
    return 0 if free_from is not None and net >= free_from else carriage
