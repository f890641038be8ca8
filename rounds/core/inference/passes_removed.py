"""What each of the last looks at a plant removed: the passes of a depletion estimate."""

from collections.abc import Sequence
from datetime import date, timedelta

from rounds.core.estimates.removal import Removal, carle_strub
from rounds.core.inference.facts import PlantFacts
from rounds.core.log.effective import EffectiveLook
from rounds.core.parameters import Parameters
from rounds.core.quarantine.days import days_looked

WITHIN_DAYS = 7
"""In a week few hatch or come; what did would count as missed before: an assumption."""
GONE = ("removed", "killed")
LEAST_PASSES = 3
"""fewer fit any share found"""
MOST_ERROR = 0.3
"""standard error, as a share of the estimate, from which on it says nothing: an assumption"""


def estimate(catches: Sequence[int]) -> Removal | None:
    """How many there were, where passes say anything: three or more that fall off, a small error.

    None elsewhere: Carle & Strub's estimate has a value for any catches, however little they say.
    """
    if len(catches) < LEAST_PASSES or not sum(catches) or catches[-1] > catches[-2]:
        return None
    found = carle_strub(catches)
    error = found.standard_error
    return found if error is not None and error <= MOST_ERROR * found.estimate else None


def removed_by_pass(facts: PlantFacts, on: date, parameters: Parameters) -> tuple[int, ...] | None:
    """Removed at each complete look of a week, from the first that removed anything.

    The week ends with the newest complete look. None where no insect was removed within the week
    before `on`: nothing is asked of passes then.
    """
    looked = days_looked(facts.looks, facts.body_on, facts.pest, parameters.inspection)
    days = [each.day for each in looked if each.complete and each.day <= on]
    counts = {day: _removed_on(facts, day) for day in days}
    since = on - timedelta(days=WITHIN_DAYS - 1)
    if not any(since <= look.day <= on and _removed(look, facts.pest) for look in facts.looks):
        return None
    first = max(days, default=on) - timedelta(days=WITHIN_DAYS - 1)
    catches = [counts[day] for day in days if day >= first]
    while catches and not catches[0]:
        catches.pop(0)
    return tuple(catches)


def _removed_on(facts: PlantFacts, day: date) -> int:
    return sum(_removed(look, facts.pest) for look in facts.looks if look.day == day)


def _removed(look: EffectiveLook, pest: str) -> int:
    gone = (tally for tally in look.tallies if tally.pest == pest and tally.kind in GONE)
    return sum(tally.count for tally in gone if tally.is_live)
