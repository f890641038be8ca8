"""How many insects there were, from what passes over the same plant took off one after another."""

from collections.abc import Callable, Mapping, Sequence

from rounds import words
from rounds.core.estimates import removal as sums
from rounds.core.estimates.removal import NoEstimate, Removal
from rounds.errors import BadInput
from rounds.service.calculate.calculated import Calculated, Note, check_count, note

MOST_COUNTED = 1_000_000
MOST_PASSES = 100
IMPRECISE = 0.25
"""share of the estimate beyond which its standard error is told to be wide; an assumption"""

METHODS: Mapping[str, Callable[[Sequence[int]], Removal]] = {
    "carle-strub": sums.carle_strub,
    "likelihood": sums.likelihood,
    "two-pass": sums.two_pass,
    "three-pass": sums.three_pass,
    "robson-regier": sums.robson_regier,
    "unequal-first": sums.unequal_first,
}


def removal(catches: Sequence[int], method: str) -> Calculated:
    """The number before the first pass, with a 95 % interval. BadInput for what are no catches.

    `method` is one of `METHODS`.
    """
    if not 2 <= len(catches) <= MOST_PASSES:
        raise BadInput("too-few-passes", most=MOST_PASSES, field="catches")
    for count in catches:
        check_count("catches", count, MOST_COUNTED)
    try:
        found, reason = METHODS[method](catches), None
    except NoEstimate as trouble:
        found, reason = None, words.section("sums.no-estimate")[trouble.reason]
    return Calculated(
        calculation="removal",
        method=method,
        inputs={"catches": list(catches)},
        result=_fields(found, sum(catches)),
        no_estimate_reason=reason,
        warnings=tuple(_warnings(found, method)),
        source=words.section("sums.source.removal")[method],
    )


def _fields(found: Removal | None, removed: int) -> dict[str, float | int | None]:
    of = found and {
        "estimate": found.estimate,
        "standard_error": found.standard_error,
        "low": found.low,
        "high": found.high,
        "detection": found.detection,
        "remaining": found.remaining,
        "first_detection": found.first_detection,
        "chi_square": found.chi_square,
        "p_value": found.p_value,
    }
    names = (
        "estimate", "standard_error", "low", "high", "detection", "removed", "remaining",
        "first_detection", "chi_square", "p_value",
    )  # fmt: skip
    known = {**(of or {}), "removed": removed}
    return {name: known.get(name) for name in names}


def _warnings(found: Removal | None, method: str) -> list[Note]:
    if found is None:
        return []
    told = [note("closed-but-first" if method == "unequal-first" else "closed")]
    error = found.standard_error
    if found.high is None or (error is not None and error > IMPRECISE * found.estimate):
        told.append(note("imprecise"))
    return told
