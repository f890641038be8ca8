"""The name most like one that is not known."""

from collections.abc import Iterable


def nearest(given: str, known: Iterable[str]) -> str:
    """The most alike of some names; empty where there are none."""
    # imported where something is wrong, not on the way to the first page
    import difflib

    return next(iter(difflib.get_close_matches(given, list(known), n=1, cutoff=0.0)), "")
