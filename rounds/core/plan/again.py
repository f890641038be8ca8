"""Insects found again and again: what is removed outside may come up anew from the roots."""

from collections.abc import Sequence
from datetime import date, timedelta

from rounds.core.parameters import ClaimRules


def found_again_since(found_on: Sequence[date], on: date, rules: ClaimRules) -> date | None:
    """Since when a plant is found on again and again, up to a day; None where it is not.

    Args:
        found_on: the days of its finds up to `on`, in order.
        on: the day asked about.
        rules: how far apart such finds may be, and for how long they are alive.
    """
    if not found_on or (on - found_on[-1]).days > rules.alive_days:
        return None
    since = found_on[-1]
    for day in reversed(found_on):
        if (since - day).days > rules.again_gap_days:
            break
        since = day
    return since if since < found_on[-1] else None


def roots_asked_from(since: date, roots_seen_on: date | None, rules: ClaimRules) -> date:
    """The day from which on a look at the roots is asked for, to find what feeds the finds.

    Args:
        since: when those finds began.
        roots_seen_on: the last day the roots were looked at.
        rules: after how many days of such finds it is asked for, first and anew.
    """
    return max(since, roots_seen_on or since) + timedelta(rules.again_days)
