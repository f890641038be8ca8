"""How the chance clean came to be what it is: the same sums at the end of earlier days."""

from collections.abc import Generator, Sequence
from datetime import date

from rounds.core.inference.answer import chance_clean
from rounds.core.inference.evidence import gather
from rounds.core.inference.facts import PlantFacts
from rounds.core.parameters import Parameters


def days_before(first: date, on: date, most: int) -> list[date]:
    """At most so many days from `first` to before `on`, evenly spread; the first among them."""
    days = (on - first).days
    step = max(1, -(-days // most))
    return sorted(date.fromordinal(first.toordinal() + at) for at in range(0, days, step))


def chances_at(
    facts: PlantFacts, days: Sequence[date], parameters: Parameters, budget: int
) -> Generator[None, None, list[float]]:
    """The chance clean at the end of each day, from the looks up to it; a pause before each.

    Args:
        facts: of the plant.
        days: not before its first.
        parameters: the table.
        budget: coefficients of each of the runs.

    Raises:
        ImpossibleEntry: something was entered that cannot happen.
    """
    found = []
    for day in days:
        yield
        found.append(chance_clean(gather(facts, day, parameters).log, budget))
    return found
