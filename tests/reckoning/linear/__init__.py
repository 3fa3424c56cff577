"""The same season as a linear system: one unknown a node, x = own spending + sum of share x source.

Written apart from the cost book's graph and in other terms: shares are plain
fractions of counts, days and areas, numpy solves for every node and place of
rest at once, and nothing is rounded. The book rounds to a millionth at every
parting, so the two may differ by one millionth for each parting passed
through; how many those are, weighted as costs are, the same system tells.
"""

from ledger.reckoning.book import Book, CostFacts

from .ground import grow
from .path import follow
from .spending import lay_spending
from .store import use_materials
from .system import Solved, System

__all__ = ["differences", "solved"]


def solved(facts: CostFacts) -> Solved:
    """What every node carries and every place of rest holds, by element, unrounded."""
    system = System()
    spending = use_materials(system, facts)
    lay_spending(system, facts, spending)
    grow(system, facts)
    follow(system, facts)
    return system.solve()


def differences(book: Book) -> list[str]:
    """Where the book and the linear system differ by more than a millionth a parting.

    Plots and drying places pass on year by year here, so what is compared of
    them is what they were charged to and what rests.
    """
    answer = solved(book.facts)
    carried = {key: node.carried for key, node in book.graph.nodes.items()}
    resting = {("rest", place): amounts for place, amounts in book.places.items()}
    known = {**carried, **resting}
    found = []
    for node in {*known, *answer.rows}:
        if node[0].split()[0] in {"plot", "place"}:
            continue
        for element in {*known.get(node, {}), *answer.elements}:
            here, there = known.get(node, {}).get(element, 0), answer.amount(node, element)
            if abs(here - there) > answer.partings(node) + 1e-3:
                found.append(f"{node} {element}: {here} and {there}")
    return sorted(found)
