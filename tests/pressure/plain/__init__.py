"""Stock and sales kept apart from the program, by lists and sums: what the ledger must agree with.

Days, batches, boxes, lines and facts are small whole numbers given out here, in the order things are entered; box None is
what is not yet boxed.
"""
