"""How sure it is that nothing is there, and how much looking it takes to be as sure as asked."""

from rounds import words
from rounds.core.estimates import freedom as sums
from rounds.core.estimates.freedom import AT_PLATEAU, Sample
from rounds.errors import BadInput
from rounds.service.calculate.calculated import (
    Calculated,
    check_above,
    check_chance,
    check_share,
    check_within,
    note,
)

MOST_PERIODS = 1000
MOST_UNITS = 10_000_000
SAMPLE_METHODS = ("hypergeometric", "approximate", "binomial")


def freedom(sensitivity: float, introduction: float, prior: float, periods: int) -> Calculated:
    """The chance after each period without a find. BadInput for what are no chances."""
    check_chance("sensitivity", sensitivity)
    check_chance("introduction", introduction)
    check_chance("prior", prior)
    check_above("periods", periods, MOST_PERIODS)
    chances = list(sums.freedom(prior, [introduction] * periods, sensitivity))
    plateau = sums.plateau(introduction, sensitivity, prior)
    there = [n for n, chance in enumerate(chances, 1) if abs(chance - plateau) <= AT_PLATEAU]
    return Calculated(
        calculation="freedom",
        method="martin-cameron-greiner",
        inputs={
            "sensitivity": sensitivity,
            "introduction": introduction,
            "prior": prior,
            "periods": periods,
        },
        result={
            "chances": chances,
            "plateau": plateau,
            "first_period_at_plateau": next(iter(there), None),
        },
        no_estimate_reason=None,
        warnings=(note("independent"),),
        source=words.say("sums.source.freedom"),
    )


def sample_size(
    units: int | None, prevalence: float, confidence: float, sensitivity: float, method: str
) -> Calculated:
    """How many units to look at, by one of `SAMPLE_METHODS`. BadInput for what are no chances."""
    check_share("prevalence", prevalence)
    check_within("confidence", confidence)
    check_share("sensitivity", sensitivity)
    if units is not None:
        check_above("units", units, MOST_UNITS)
    elif method != "binomial":
        raise BadInput("needs-units", method=method, field="units")
    found = _sample(units or 0, prevalence, confidence, sensitivity, method)
    return Calculated(
        calculation="sample-size",
        method=method,
        inputs={
            "units": units,
            "prevalence": prevalence,
            "confidence": confidence,
            "sensitivity": sensitivity,
        },
        result={"samples": found.samples, "infested_units": found.infested_units},
        no_estimate_reason=(
            words.section("sums.no-estimate")["not-even-all"] if found.samples is None else None
        ),
        warnings=(note("at-random"),),
        source=words.section("sums.source.sample-size")[method],
    )


def _sample(
    units: int, prevalence: float, confidence: float, sensitivity: float, method: str
) -> Sample:
    if method == "binomial":
        return sums.binomial_sample(prevalence, confidence, sensitivity)
    of_known = {
        "hypergeometric": sums.hypergeometric_sample,
        "approximate": sums.approximate_sample,
    }
    return of_known[method](units, prevalence, confidence, sensitivity)


def clean_visits(detection: float, prior: float, target: float) -> Calculated:
    """Visits without a find in a row. BadInput for what are no chances."""
    check_share("detection", detection)
    check_within("prior", prior)
    check_within("target", target)
    found = sums.clean_visits(detection, prior, target)
    return Calculated(
        calculation="clean-visits",
        method="prior-odds",
        inputs={"detection": detection, "prior": prior, "target": target},
        result={"visits": found.visits, "exact": found.exact},
        no_estimate_reason=None,
        warnings=(note("independent"),),
        source=words.say("sums.source.clean-visits"),
    )
