"""Unknowns, shares and right sides, and their solution by numpy."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

Node = tuple[str, int | str]
Element = tuple[str, str]
Totals = Callable[[Node], float]
Share = float | Callable[[Totals], float]
STEADY = 1e-12


@dataclass(frozen=True)
class Edge:
    """One node's share of another; a share that depends on amounts is worked out from the solution so far."""

    source: Node
    target: Node
    share: Share
    partings: int


@dataclass
class Solved:
    """The solution: a row a node, a column an element; and the partings each node's cost passed through."""

    rows: dict[Node, int]
    elements: list[Element]
    found: np.ndarray
    passed: np.ndarray

    def amount(self, node: Node, element: Element) -> float:
        if node not in self.rows or element not in self.elements:
            return 0.0
        return float(self.found[self.rows[node], self.elements.index(element)])

    def total(self, node: Node) -> float:
        return float(self.found[self.rows[node]].sum())

    def partings(self, node: Node) -> float:
        return float(self.passed[self.rows[node]]) if node in self.rows else 0.0


@dataclass
class System:
    """A matrix of shares and a right side of own spending, as they are written down."""

    rows: dict[Node, int] = field(default_factory=dict)
    own: dict[tuple[Node, Element], float] = field(default_factory=lambda: defaultdict(float))
    rough: dict[Node, int] = field(default_factory=lambda: defaultdict(int))
    edges: list[Edge] = field(default_factory=list)

    def row(self, node: Node) -> int:
        return self.rows.setdefault(node, len(self.rows))

    def spend(self, node: Node, element: Element, amount: float, partings: int = 0) -> None:
        """Add own spending to a node; `partings` it passed through already."""
        self.row(node)
        self.own[node, element] += amount
        self.rough[node] += partings

    def hand(self, source: Node, target: Node, share: Share, partings: int = 1) -> None:
        """Let a node take a share of another."""
        self.row(source), self.row(target)
        self.edges.append(Edge(source, target, share, partings))

    def spent(self, node: Node) -> dict[Element, float]:
        """Own spending of a node."""
        return {element: amount for (at, element), amount in self.own.items() if at == node}

    def solve(self) -> Solved:
        """Solve, work out again the shares that rest on amounts, until none moves; raises ValueError if one always does."""
        elements = sorted({element for _, element in self.own})
        right = self._right(elements)
        answer = Solved(self.rows, elements, right, np.zeros(len(self.rows)))
        shares = self._shares(answer)
        for _ in range(len(self.rows) + 2):
            answer.found = np.linalg.solve(self._matrix(shares), right)
            before, shares = shares, self._shares(answer)
            if np.allclose(shares, before, rtol=0, atol=STEADY):
                answer.passed = np.linalg.solve(self._matrix(np.abs(shares)), self._partings())
                return answer
        raise ValueError("the shares never settle")

    def _shares(self, answer: Solved) -> np.ndarray:
        return np.array([one.share if isinstance(one.share, float) else one.share(answer.total) for one in self.edges])

    def _right(self, elements: list[Element]) -> np.ndarray:
        right = np.zeros((len(self.rows), len(elements)))
        for (node, element), amount in self.own.items():
            right[self.rows[node], elements.index(element)] += amount
        return right

    def _partings(self) -> np.ndarray:
        """Partings that lead straight to each node: what takes away from one is as rough as what adds to it."""
        right = np.zeros(len(self.rows))
        for node, partings in self.rough.items():
            right[self.rows[node]] += partings
        for edge in self.edges:
            right[self.rows[edge.target]] += edge.partings
        return right

    def _matrix(self, shares: np.ndarray) -> np.ndarray:
        matrix = np.eye(len(self.rows))
        for edge, share in zip(self.edges, shares, strict=True):
            matrix[self.rows[edge.target], self.rows[edge.source]] -= share
        return matrix
