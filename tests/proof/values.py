"""The pest and the plant of the parameter table as a process.

The table gives stages, zones and seconds. What it does not hold yet stands in `Assumed`.
"""

import math
from dataclasses import dataclass

import numpy as np

from rounds.core.parameters import Parameters
from tests.proof.process import Day, Process, Values
from tests.proof.records import Group, Start, Treatment

ROOTS = "roots"
GROUP_OF: dict[str, Group] = {
    "egg": "eggs",
    "L1": "young",
    "L2": "young",
    "L3": "young",
    "P": "adult",
    "A": "adult",
}


NEW_ARRIVAL = Start(infested=0.25, mean=3.0, shape=0.5)
ESTABLISHED = Start(infested=0.03, mean=3.0, shape=0.5)
CONTACT_SPRAY = Treatment(in_reach=0.55)
ROOT_CLEAN_OUT = Treatment(in_pot=0.90)


@dataclass(frozen=True, slots=True)
class Assumed:
    """Values beside the table; assumptions all, but for the spray's range."""

    reference_day: float = 14.0
    """degree-days of the day that survival is given for"""
    eggs_a_day: float = 11.0
    warm_day: float = 15.0
    """degree-days from which laying goes no faster"""
    leaves: float = 0.02
    stays: float = 0.5
    killed: float = 0.95
    sac_gone: float = 0.7
    new_arrival: Start = NEW_ARRIVAL
    established: Start = ESTABLISHED
    arrivals_apart: float = 2e-4
    arrivals_in_collection: float = 1e-3
    contact_spray: Treatment = CONTACT_SPRAY
    root_clean_out: Treatment = ROOT_CLEAN_OUT


ASSUMED = Assumed()


def plant_process(
    parameters: Parameters,
    form: str = "leafy-plant",
    size: str = "medium",
    assumed: Assumed = ASSUMED,
) -> Process:
    """A growth form in a size under the table's values."""
    pest = parameters.pests["mealybug"]
    stages, shares = pest.stages, parameters.forms[form]
    sub_stages = [stage.sub_stages for stage in stages]

    def each(values: list[float]) -> Values:
        return np.repeat(np.asarray(values, np.float64), sub_stages)

    weight = np.array([share.weight for share in shares])
    outside = np.array([share.zone != ROOTS for share in shares])
    seconds = parameters.inspection.reference_seconds[size] * weight / weight[outside].sum()
    tucked_share = np.array([share.tucked_share for share in shares])
    groups = tuple(GROUP_OF[stage.code] for stage in stages for _ in range(stage.sub_stages))
    landing = np.stack([weight * (1 - tucked_share), weight * tucked_share], axis=1)
    arrival = np.zeros((len(groups), len(shares), 2))
    arrival[groups.count("eggs")] = landing
    lengths = [math.inf if s.degree_days is None else s.degree_days / s.sub_stages for s in stages]
    return Process(
        zones=tuple(share.zone for share in shares),
        weight=weight,
        tucked_share=tucked_share,
        reference_seconds=np.where(outside, seconds, parameters.inspection.roots_reference_seconds),
        groups=groups,
        make_up=each([s.make_up / s.sub_stages for s in stages]),
        exchange=each([s.daily_exchange for s in stages]),
        found_in_reach=each([s.found_in_reach for s in stages]),
        found_out_of_pot=each([s.found_out_of_pot for s in stages]),
        day=DayOfTable(each([s.daily_survival for s in stages]), each(lengths), assumed),
        arrival=arrival,
        leaves=assumed.leaves,
        stays=assumed.stays,
        killed=assumed.killed,
        sac_gone=assumed.sac_gone,
        lower_c=pest.warmth.lower_threshold_c,
        upper_c=pest.warmth.upper_cutoff_c,
    )


@dataclass(frozen=True, eq=False)
class DayOfTable:
    """A day of life from its degree-days: cold slows death, growth, laying and moving alike."""

    survival: Values
    lengths: Values
    """degree-days of each sub-stage"""
    assumed: Assumed

    def __call__(self, degree_days: float) -> Day:
        """The chances of such a day."""
        return Day(
            survive=self.survival ** (degree_days / self.assumed.reference_day),
            advance=np.minimum(1.0, degree_days / self.lengths),
            eggs=self.assumed.eggs_a_day * min(1.0, degree_days / self.assumed.warm_day),
            moving=min(1.0, degree_days / self.assumed.reference_day),
        )
