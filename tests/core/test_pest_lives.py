"""The life of each pest, held against what is published of it."""

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from rounds.core.biology.day import mean_matrix
from rounds.core.biology.process import make_process
from rounds.core.body import make_body
from rounds.core.inference.answer import answer
from rounds.core.inference.evidence import gather
from rounds.core.parameters import Biology
from rounds.service.logbook.parameters import load_parameters
from tests.core.inference.logs import facts, on, tally, whole

PARAMETERS = load_parameters()
BODY = make_body("leafy-plant", "medium", False, PARAMETERS)
PESTS = tuple(PARAMETERS.pests)
KINDS = ("citrus-mealybug", "longtailed-mealybug")
"""mealybugs that live above the medium"""


def growth(pest: str, celsius: float) -> float:
    """Growth a day of a settled infestation: the logarithm of the greatest eigenvalue of a day."""
    day = make_process(BODY.zones, PARAMETERS, pest).day(celsius, celsius)
    return math.log(max(abs(np.linalg.eigvals(mean_matrix(day)))))


def days(pest: str, celsius: float, first: str, last: str) -> float:
    """Days a female takes from the beginning of one stage to the end of another."""
    biology = PARAMETERS.pests[pest]
    codes = [stage.code for stage in biology.stages]
    some = biology.stages[codes.index(first) : codes.index(last) + 1]
    warmth = min(celsius, biology.warmth.upper_cutoff_c) - biology.warmth.lower_threshold_c
    return sum(stage.degree_days or 0 for stage in some) / warmth


# (a day, least, greatest) by temperature, degC
PUBLISHED: Mapping[str, tuple[tuple[float, float, float], ...]] = {
    # Heidari 2001 (Ps. comstocki): .05 at 18, .07 at 22. .0802 at 28: Yuzuncu Yil Univ. J Agric
    # Sci, Sept 2021; .138 at 28 on the best host: Polat, Ulgenturk & Kaydan 2007/2008.
    "mealybug": ((18, 0.045, 0.055), (22, 0.065, 0.075), (28, 0.080, 0.138)),
    "citrus-mealybug": ((18, 0.045, 0.055), (22, 0.065, 0.075), (28, 0.080, 0.138)),
    # Herbert 1981, Can Entomol: .069, .156 at 15, 18. Bounfour & Tanigoshi 2001: .08 at 15, .321 at
    # 30. At 21 Herbert's .372 is above what the other found at 30: it lies below.
    "spider-mite": ((15, 0.069, 0.10), (18, 0.14, 0.16), (21, 0.156, 0.372), (30, 0.31, 0.33)),
    # Jpn J Appl Entomol Zool 41(4) 1997: .198 at 30.
    "thrips": ((30, 0.19, 0.21),),
}


@pytest.mark.parametrize("pest", PUBLISHED)
def test_it_grows_as_was_read(pest: str) -> None:
    found = {celsius: growth(pest, celsius) for celsius, _, _ in PUBLISHED[pest]}
    assert all(low <= found[celsius] <= high for celsius, low, high in PUBLISHED[pest]), found


def test_every_pest_grows_faster_where_it_is_warmer() -> None:
    for pest in PESTS:
        assert 0 < growth(pest, 16) < growth(pest, 20) < growth(pest, 24), pest


@pytest.mark.parametrize(
    ("pest", "celsius", "first", "last", "least", "most"),
    [
        # nymphs 42, 35, 28, 25 d at 18, 20, 23, 25: from Santa-Cecilia et al. 2011
        ("longtailed-mealybug", 18, "L1", "L3", 41, 43),
        ("longtailed-mealybug", 25, "L1", "L3", 24, 26),
        # cycle about 6 weeks in summer, 12 in winter: Mo 2003
        ("longtailed-mealybug", 25, "egg", "P", 41, 43),
        ("longtailed-mealybug", 15, "egg", "P", 80, 105),
        # EPPO Reporting Service 2002/133: eggs about 9 d, a generation 61 to 90 d at 21
        ("root-mealybug", 21, "egg", "egg", 8.5, 9.5),
        ("root-mealybug", 21, "egg", "P", 61, 90),
        # Herbert 1981: 144 degree-days above 10; development 5-20 d: UF/IFAS
        ("spider-mite", 20, "egg", "L3", 13.5, 15),
        ("spider-mite", 25, "egg", "L3", 9, 10),
        # observed 19.2 and 12.1 d at 20 and 25: Jpn J Appl Entomol Zool 41(4) 1997
        ("thrips", 20, "egg", "L3", 17.5, 21),
        ("thrips", 25, "egg", "L3", 11.5, 13.5),
        # 25-30 d at 21, 22-25 d at 24: Capinera
        ("whitefly", 21, "egg", "L3", 25, 30.5),
        ("whitefly", 24, "egg", "L3", 22, 25),
    ],
)
def test_it_takes_the_days_that_were_read(
    pest: str, celsius: float, first: str, last: str, least: float, most: float
) -> None:
    assert least <= days(pest, celsius, first, last) <= most


def test_four_in_five_young_of_the_longtailed_mealybug_grow_up() -> None:
    # Santa-Cecilia et al. 2011, Coffee Science 6(2):91-97: 80 % at 20 and 25 degC
    lived = 1.0
    for stage in PARAMETERS.pests["longtailed-mealybug"].stages[1:4]:
        lived *= stage.daily_survival ** ((stage.degree_days or 0) / 14)
    assert lived == pytest.approx(0.80, abs=0.03)


def test_of_unknown_kind_waits_for_the_slowest_above_the_medium() -> None:
    unknown = PARAMETERS.pests["mealybug"]
    for pest in KINDS:
        known = PARAMETERS.pests[pest]
        for name, rules in known.rules.items():
            assert rules.degree_days <= unknown.rules[name].degree_days
            assert rules.days_apart <= unknown.rules[name].days_apart
        for celsius in (18, 22, 25):
            assert days(pest, celsius, "egg", "P") <= days("mealybug", celsius, "egg", "P")


def test_a_root_mealybug_takes_longer_and_is_looked_for_out_of_the_pot() -> None:
    root, above = PARAMETERS.pests["root-mealybug"], PARAMETERS.pests["mealybug"]
    for name, rules in root.rules.items():
        asked = above.rules[name]
        assert 61 <= rules.days_apart <= 90
        assert rules.days_apart > asked.days_apart
        assert rules.degree_days > asked.degree_days
        assert (rules.root_looks or 0) > (asked.root_looks or 0)
    process = make_process(BODY.zones, PARAMETERS, "root-mealybug")
    adults = process.start_mean * process.of_stages(("P", "A"))
    from_outside = np.zeros((2, len(BODY.zones)))
    from_outside[0, :-1] = 1.0
    out_of_pot = np.zeros((2, len(BODY.zones)))
    out_of_pot[1, -1] = 1.0
    found = [
        float(adults @ (1 - process.unseen(times))) / adults.sum()
        for times in (from_outside, out_of_pot)
    ]
    # without unpotting .05, out of the pot .75 of those on the roots: assumptions both
    assert found == pytest.approx([0.05, 0.75 * 0.8], abs=0.02)


def _whole(biology: Biology) -> list[float]:
    weights = [sum(biology.zones.weight.values())] if biology.zones else []
    return [sum(stage.make_up for stage in biology.stages), *weights]


def test_shares_make_one_whole_and_recorded_stages_are_its_own() -> None:
    for pest, biology in PARAMETERS.pests.items():
        assert _whole(biology) == pytest.approx([1] * len(_whole(biology))), pest
        codes = {stage.code for stage in biology.stages}
        told = {code for some in biology.recorded.values() for code in some}
        assert told <= codes or pest in ("mealybug", "citrus-mealybug")
        assert set(biology.rules) == {"lenient", "default", "strict"}


def test_one_that_bears_live_young_has_neither_eggs_nor_an_egg_mass() -> None:
    longtailed = PARAMETERS.pests["longtailed-mealybug"]
    assert set(longtailed.recorded) == {"young", "adult"}
    process = make_process(BODY.zones, PARAMETERS, "longtailed-mealybug")
    assert float(process.day(22, 22).wander @ process.of_stages(("egg",))) > 0
    assert days("longtailed-mealybug", 18, "egg", "egg") <= 1


def test_at_least_so_many_leaves_more_than_just_so_many() -> None:
    found = whole(0, {"undersides": [tally(20, "left", pest="spider-mite")]})
    known = replace(facts([*found, *whole(1), *whole(2)], arrived=False), pest="spider-mite")
    mite = replace(PARAMETERS.pests["spider-mite"], counted_from=())
    exactly = replace(PARAMETERS, pests={"spider-mite": mite})
    more, fewer = (
        float(answer(gather(known, on(2), table).log, 4096).mean.sum())
        for table in (PARAMETERS, exactly)
    )
    assert more > fewer > 15
