"""How far a provisional cost may still move: the book between two ends.

Bills still to come for plots and places may move it besides; nobody knows them.
"""

from dataclasses import replace

from ledger.reckoning.loss import WHOLE_BP

from .facts import CostFacts


def if_nothing_more_came(facts: CostFacts) -> CostFacts:
    """The facts as though no stem more were cut, and none of what hangs came down sound: the dearest they can become."""
    return replace(
        facts,
        plantings=[replace(one, expected={season: (1, None) for season in one.expected}) for one in facts.plantings],
        hangings=[replace(one, norm_bp=WHOLE_BP) for one in facts.hangings],
    )


def if_all_came(facts: CostFacts) -> CostFacts:
    """The facts as though all that is expected came, all of it sound, and nothing more were spent: the cheapest."""
    return replace(
        facts,
        plantings=[
            replace(one, expected={season: (stems, None) for season, (stems, _) in one.expected.items()})
            for one in facts.plantings
        ],
        hangings=[replace(one, norm_bp=0) for one in facts.hangings],
    )
