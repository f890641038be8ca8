"""What a treatment achieved, against plants that went without."""

from rounds import words
from rounds.core.estimates.efficacy import Counts, abbott, henderson_tilton
from rounds.service.calculate.calculated import Calculated, check_count, note

MOST_COUNTED = 1e9


def efficacy(
    before_treated: float, after_treated: float, before_control: float, after_control: float
) -> Calculated:
    """Efficacy by both formulas, 0 to 1; None where the counts do not allow it.

    Where more are left than without the treatment it is 0, and a note says so. BadInput for what
    are no counts.
    """
    inputs = {
        "before_treated": before_treated,
        "after_treated": after_treated,
        "before_control": before_control,
        "after_control": after_control,
    }
    check_count("before_treated", before_treated, MOST_COUNTED)
    check_count("after_treated", after_treated, MOST_COUNTED)
    check_count("before_control", before_control, MOST_COUNTED)
    check_count("after_control", after_control, MOST_COUNTED)
    counts = Counts(before_treated, after_treated, before_control, after_control)
    found = {"abbott": abbott(counts), "henderson_tilton": henderson_tilton(counts)}
    told = [value for value in found.values() if value is not None]
    return Calculated(
        calculation="efficacy",
        method="abbott-and-henderson-tilton",
        inputs=inputs,
        result={name: None if of is None else max(0.0, of) for name, of in found.items()},
        no_estimate_reason=None if told else words.section("sums.no-estimate")["nothing-left"],
        warnings=(note("worse"),) if any(value < 0 for value in told) else (),
        source=words.say("sums.source.efficacy"),
    )
