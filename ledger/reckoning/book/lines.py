"""What each bunch line holds, gathered over its batches."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .amounts import Amounts, added
from .facts import BatchFact, CostFacts
from .graph import Graph, Node


@dataclass(frozen=True)
class LineHeld:
    """What units of a line rest on: the batches with units on hand that carry a cost, else the last one made.

    `amounts` is what those `units` carry. Bunches only found say nothing of cost.
    """

    batches: Sequence[int]
    units: int
    amounts: Amounts
    final: bool
    known: bool


def lines_held(graph: Graph, facts: CostFacts) -> Mapping[int, LineHeld]:
    """Every line of which a batch was made, with what it holds."""
    by_line: dict[int, list[BatchFact]] = defaultdict(list)
    for run in facts.runs:
        for batch in run.batches:
            by_line[batch.line].append(batch)
    return {line: _held(graph, batches) for line, batches in by_line.items()}


def _held(graph: Graph, batches: Sequence[BatchFact]) -> LineHeld:
    nodes = [(batch, graph.nodes[("batch", batch.key)]) for batch in batches]
    holding = [(batch, node) for batch, node in nodes if any(_boxed(node))]
    if not holding:
        batch, node = nodes[-1]
        return LineHeld([batch.key], batch.made, node.carried, node.final, node.known)
    standings = [at for _, node in holding for at in node.standings if at.place == "boxed"]
    return LineHeld(
        batches=[batch.key for batch, _ in holding],
        units=sum(at.quantity for at in standings),
        amounts=added(*(at.amounts for at in standings)),
        final=all(node.final for _, node in holding),
        known=all(node.known for _, node in holding),
    )


def _boxed(node: Node) -> list[Amounts]:
    """What is in boxes of one batch, where it carries a cost."""
    return [at.amounts for at in node.standings if at.place == "boxed" and at.amounts]
