"""How a time for looking is best split over places: random search, one kind in each place."""

from collections.abc import Sequence

import numpy as np

from rounds.core.plan.effort import Zones, fill


def best_split(
    values: Sequence[float], rates: Sequence[float], total: float
) -> tuple[list[float], list[float]]:
    """The time of each place, and the chance to find there what is there.

    de Guenin 1961; Charnes & Cooper 1958; random search: Koopman 1946.

    Args:
        values: what finding it in a place is worth, such as its chance to be there; not negative.
        rates: chance to find it, per unit of time, while little was looked; above 0.
        total: the time there is; not negative.
    """
    nothing = np.zeros(len(values))
    zones = Zones(
        harm=np.array(values, dtype=float)[:, None],
        rates=np.array(rates, dtype=float)[:, None],
        least=nothing,
        most=np.full(len(values), np.inf),
        handling=nothing,
    )
    times = fill(zones, total) if any(values) and total else nothing
    return times.tolist(), (-np.expm1(-zones.rates[:, 0] * times)).tolist()
