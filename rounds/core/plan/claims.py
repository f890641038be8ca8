"""What a plant is owed: by when it is looked at again, and for how long at the least."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from rounds.core.parameters import ClaimRules

ClaimCode = Literal["alive", "near", "clearing", "watch", "unseen"]
Exposed = Literal["touching", "spot", "bench", "place"]

ALIVE: ClaimCode = "alive"
NEAR: ClaimCode = "near"
CLEARING: ClaimCode = "clearing"
WATCH: ClaimCode = "watch"
UNSEEN: ClaimCode = "unseen"

ORDER: tuple[ClaimCode, ...] = (ALIVE, NEAR, CLEARING, WATCH, UNSEEN)
NEAREST: tuple[Exposed, ...] = ("touching", "spot", "bench", "place")
"""How near a plant stands to a find, the nearest first."""

BESIDE: tuple[Exposed, ...] = ("touching", "spot")
"""So near that a crawler walks over."""

IN_ONE_GO = (NEAR, UNSEEN)
"""Claims that a look over the whole plant serves."""

QUARANTINE = "quarantine"


@dataclass(frozen=True, slots=True)
class Exposure:
    """Finds near a plant that was not gone over since."""

    how: Exposed
    code: str
    """of the nearest plant with a find"""
    found_on: date
    """the day of the last find there"""
    since: date
    """since when it is owed a look: the first of all these finds, or the day it came"""


@dataclass(frozen=True, slots=True)
class ClaimFacts:
    """What is known of a plant at the end of a day, as far as a claim rests on it."""

    standing: str
    since: date
    """the day it came, or began to stand so where that was later"""
    gone_over_on: date | None
    """last day all of it was looked at, however shortly"""
    found_on: date | None
    """last day it was found alive on"""
    is_left: bool
    """what was found last at some zone was left there alive"""
    exposure: Exposure | None
    sign_on: date | None
    """last day on which signs of insects were seen, where that still counts"""
    looks_by: date | None
    """the day from which on the looks that quarantine asks for would hold it up"""
    chance_clean: float | None = None
    """that no living insect is left; None where that is not worked out"""


@dataclass(frozen=True, slots=True)
class Claim:
    """What a plant is owed at the end of a day."""

    code: ClaimCode
    latest_on: date
    """the day it is looked at at the latest"""
    is_due: bool
    """waiting for the next round would pass that day"""
    starves_in_days: int
    """from then on nobody has looked at it for far too long"""
    days_past: int
    """since the latest day; negative before it"""
    is_new: bool
    """it is in quarantine, and nobody has gone over it yet"""
    share: float
    """of the reference seconds of each zone, that it gets at the least"""
    in_one_go: bool
    """a look over the whole plant serves it"""
    exposure: Exposure | None
    is_probable: bool = False
    """alive by the sums alone: the last find is longer ago"""

    @property
    def is_starving(self) -> bool:
        """Due, and nobody has looked at it for far too long."""
        return self.is_due and self.starves_in_days <= 0

    @property
    def days_left(self) -> int:
        """Until the latest day; none where it is due."""
        return 0 if self.is_due else -self.days_past

    @property
    def has_turn(self) -> bool:
        """It comes before all but those with insects: starving, beside a find, or new."""
        if not self.is_due or self.code == ALIVE:
            return False
        return self.is_starving or self.is_new or self.is_beside

    @property
    def is_beside(self) -> bool:
        """It is due because of a find right beside it."""
        how = self.exposure.how if self.exposure else None
        return self.is_due and self.code == NEAR and how in BESIDE

    @property
    def order(self) -> tuple[int, int, int]:
        """Whom a round takes first, of those that are due: the least one."""
        if not self.is_due:
            return 5, 0, 0
        near = NEAREST.index(self.exposure.how) if self.code == NEAR and self.exposure else 0
        if self.code == ALIVE:
            return 0, int(self.is_probable), -self.days_past
        # few stand beside a find, and a day more is little to those that have waited for nine
        if self.is_beside and self.days_past >= 0:
            return 1, -self.days_past, near
        if self.is_starving:
            return 2, self.starves_in_days, near
        return 3 if self.code == NEAR or self.is_new else 4, -self.days_past, near


def claim_of(facts: ClaimFacts, on: date, next_on: date, rules: ClaimRules) -> Claim:
    """The claim of a plant at the end of a day: of those that are due the first, else the next.

    Args:
        facts: of the plant.
        on: the day.
        next_on: of the next round.
        rules: how long each may wait, and what it gets.
    """
    found = dict(_latest(facts, on, rules))
    # what stands near a find is looked at as soon as the minutes allow: many are at once
    due = [code for code in ORDER if code in found and (code == NEAR or next_on > found[code])]
    code = due[0] if due else min(found, key=lambda code: (found[code], ORDER.index(code)))
    of = due or [code]
    latest = min(found[code] for code in of)
    waited = (on - (facts.gone_over_on or facts.since)).days
    return Claim(
        code=code,
        latest_on=latest,
        is_due=bool(due),
        starves_in_days=min(_longest(k, rules) for k in of) - waited,
        days_past=(on - latest).days,
        is_new=facts.standing == QUARANTINE and facts.gone_over_on is None,
        share=max(rules.short_share if k in IN_ONE_GO else rules.whole_share for k in of),
        in_one_go=all(k in IN_ONE_GO for k in of),
        exposure=facts.exposure,
        is_probable=code == ALIVE and not known_alive(facts, on, rules),
    )


def _longest(code: ClaimCode, rules: ClaimRules) -> int:
    """Days after which a plant's turn has come, whatever else is due.

    Where it is looked at every few days, twice as many: longer gaps hold its clean looks back.
    """
    every = {CLEARING: rules.clearing_days, WATCH: rules.watch_days}
    return min(rules.starving_days, 2 * every.get(code, rules.starving_days))


def known_alive(facts: ClaimFacts, on: date, rules: ClaimRules) -> bool:
    """Whether insects are known to live on it: found lately, or left there."""
    found = facts.found_on
    return facts.is_left or (found is not None and (on - found).days <= rules.alive_days)


def is_alive(facts: ClaimFacts, on: date, rules: ClaimRules) -> bool:
    """Whether insects live on it: that is known, or it was found on and the sums still say so."""
    chance = facts.chance_clean
    is_probable = facts.found_on is not None and chance is not None and chance < rules.alive_below
    return is_probable or known_alive(facts, on, rules)


def _latest(facts: ClaimFacts, on: date, rules: ClaimRules) -> Iterator[tuple[ClaimCode, date]]:
    """The latest day of each claim it has."""
    seen = facts.gone_over_on
    if facts.exposure is not None:
        yield NEAR, facts.exposure.since + timedelta(rules.near_days)
    if is_alive(facts, on, rules):
        found = facts.found_on or facts.since
        next_day = seen + timedelta(rules.alive_every_days) if seen else found
        yield ALIVE, max(next_day, found)
    elif facts.standing == QUARANTINE:
        usual = seen + timedelta(rules.clearing_days) if seen else facts.since
        yield CLEARING, min(usual, facts.looks_by) if facts.looks_by and seen else usual
    elif facts.standing == WATCH:
        yield WATCH, seen + timedelta(rules.watch_days) if seen else facts.since
    else:
        usual = (seen or facts.since) + timedelta(rules.unseen_days)
        signs = facts.sign_on and max(facts.sign_on, seen or facts.sign_on) + timedelta(1)
        yield UNSEEN, min(usual, signs) if signs else usual
