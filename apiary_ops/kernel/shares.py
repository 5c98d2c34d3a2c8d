"""Splitting a whole number of cents, nucs or frames so that the parts add up again."""

from collections.abc import Sequence

from apiary_ops.kernel.rounding import Exact, exact


def shares(total: int, weights: Sequence[Exact]) -> list[int]:
    """`total` split in proportion to `weights` by largest remainder (Hamilton's method).

    Each part is its exact share rounded down or up; what is left over goes one by one to the largest
    remainders, to the earlier weight where two are equal. A negative total is split as its positive
    mirror. Raises ValueError for a negative weight or when no weight is above zero, TypeError for floats.
    """
    if type(total) is not int:
        raise TypeError(f"Only a whole number can be shared out, got {type(total).__name__}.")
    if total < 0:
        return [-part for part in shares(-total, weights)]
    exact_weights = [exact(weight) for weight in weights]
    if any(weight < 0 for weight in exact_weights):
        raise ValueError("A share cannot have a negative weight.")
    whole = sum(exact_weights)
    if not whole:
        raise ValueError("At least one share needs a weight above zero.")
    parts, remainders = [], []
    for weight in exact_weights:
        part, remainder = divmod(total * weight, whole)
        parts.append(part)
        remainders.append(remainder)
    # sorted() is stable, so equal remainders keep the order of the weights.
    by_remainder = sorted(range(len(parts)), key=remainders.__getitem__, reverse=True)
    for place in by_remainder[: total - sum(parts)]:
        parts[place] += 1
    return parts
