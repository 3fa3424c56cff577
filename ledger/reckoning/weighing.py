"""How many stems there are where the whole was weighed and a sample counted."""


def stems_by_weight(fresh_g: int, *, sample_stems: int, sample_g: int) -> int:
    """Return the stems in `fresh_g` grams of which `sample_stems` weigh `sample_g`.

    Halves up. Raises ValueError where the sample has no stems or no weight, or
    weighs more than the whole.

    >>> stems_by_weight(5000, sample_stems=20, sample_g=410)
    244
    """
    if sample_stems < 1 or sample_g < 1:
        raise ValueError("a sample has stems and a weight")
    if sample_g > fresh_g:
        raise ValueError(f"a sample of {sample_g} g is heavier than the whole of {fresh_g} g")
    return (2 * fresh_g * sample_stems + sample_g) // (2 * sample_g)
