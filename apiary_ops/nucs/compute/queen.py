"""What the checks of a nuc, in order, say of the queen it was given."""

from collections.abc import Iterable

# Steps between states that no single step joins: a queen given up for lost was there after all, or the other way.
DETOURS = {("failed", "laying"): "queened", ("laying", "queened"): "failed"}


def queen_state(words: Iterable[str]) -> str:
    """The state of a nuc after what each check saw of its queen ("released", "laying", "missing", "" not looked).

    Returns "queened", "laying" or "failed". A laying queen who is merely seen later still counts as laying.
    """
    state = "queened"
    for word in words:
        if word == "laying":
            state = "laying"
        elif word == "missing":
            state = "failed"
        elif word == "released" and state == "failed":
            state = "queened"
    return state
