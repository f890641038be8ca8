"""Habits without a tool: who is looked at in which order, and a rule for going home."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from rounds.core.body import ZoneReference, make_body
from rounds.core.parameters import Parameters
from tests.bench.evidence.records import Decisions, Look, Pot, Visit

SHARE = 0.5
"""of the reference seconds, for each zone: from there on it counts as seen"""
RECENT_DAYS = 14
LONGEST_SHARE = 3.0


@dataclass(frozen=True, slots=True)
class Rule:
    """When a plant goes home."""

    days_apart: int = 0
    """since it came or was put apart"""
    days_clean: int = 0
    """since the last find, too"""


APART_30 = Rule(days_apart=30)
CLEAN_42 = Rule(days_clean=42)


@dataclass
class Known:
    """What is remembered of a plant."""

    pot: Pot
    zones: tuple[ZoneReference, ...]
    apart_since: int | None
    found_on: int | None = None
    count: int = 0
    """found at the last look"""
    seen_on: int | None = None
    to_do: list[ZoneReference] = field(default_factory=list)
    """zones left when the last round broke off in its midst"""

    @property
    def reference_seconds(self) -> float:
        """Of a whole look."""
        return sum(zone.reference_seconds for zone in self.zones)


class FixedOrder:
    """Goes on where it stopped; each zone for half its reference seconds."""

    every = 1

    def __init__(self, parameters: Parameters, rule: Rule) -> None:
        self._parameters = parameters
        self._rule = rule
        self._known: dict[str, Known] = {}
        self._turn: list[str] = []
        """whose turn it is, all plants"""

    def comes(self, pot: Pot) -> None:
        """It is looked at after all others."""
        body = make_body("leafy-plant", pot.size, False, self._parameters)
        since = pot.came_on if pot.is_new else None
        self._known[pot.code] = Known(pot, body.outside, since)
        self._turn.append(pot.code)

    def goes(self, day: int, code: str) -> None:
        """It is remembered no longer."""
        del self._known[code]
        self._turn.remove(code)

    def morning(self, day: int, seconds: float) -> tuple[Visit, ...]:
        """All plants, in their turn."""
        return tuple(self._visit(self._known[code]) for code in self._order(day))

    def _order(self, day: int) -> list[str]:
        return self._turn

    def _visit(self, known: Known, share: float = SHARE) -> Visit:
        zones = known.to_do or known.zones
        return Visit(known.pot.code, tuple((z.zone, share * z.reference_seconds) for z in zones))

    def saw(self, day: int, looks: tuple[Look, ...]) -> None:
        """Who was looked at whole has the last turn now."""
        for code, here in _by_plant(looks):
            known = self._known[code]
            self._remember(known, day, sum(look.count for look in here))
            seen = {look.zone for look in here}
            left = [zone for zone in known.to_do or known.zones if zone.zone not in seen]
            known.to_do = left
            if not left:
                self._turn.remove(code)
                self._turn.append(code)

    def _remember(self, known: Known, day: int, count: int) -> None:
        known.seen_on, known.count = day, count
        if count:
            known.found_on = day

    def evening(self, day: int, least_c: float, greatest_c: float) -> Decisions:
        """Who was found on today is put apart; others go home."""
        apart, back = [], []
        for code, known in self._known.items():
            if known.apart_since is None:
                if known.found_on == day:
                    known.apart_since = day
                    apart.append(code)
            elif self._may_go_home(known, day):
                known.apart_since = None
                back.append(code)
        return Decisions(tuple(apart), tuple(back))

    def _may_go_home(self, known: Known, day: int) -> bool:
        """Long enough apart, long enough clean, and nothing at the last look, which there was."""
        since = known.apart_since
        if since is None or known.seen_on is None or known.seen_on < since or known.count:
            return False
        clean_since = max(since, -1 if known.found_on is None else known.found_on)
        rule = self._rule
        return day - since >= rule.days_apart and day - clean_since >= rule.days_clean

    def close(self) -> None:
        """Nothing is open."""


class WorstFirst(FixedOrder):
    """Where most was found at the last look of two weeks first; then in fixed order."""

    def _order(self, day: int) -> list[str]:
        worst = sorted(
            (k for k in self._known.values() if _is_recent(k, day) and k.count),
            key=lambda known: -known.count,
        )
        first = [known.pot.code for known in worst]
        return [*first, *(code for code in self._turn if code not in first)]


class Weekly(FixedOrder):
    """Everything on one day of the week, each plant for its share of the minutes of seven days."""

    every = 7

    def morning(self, day: int, seconds: float) -> tuple[Visit, ...]:
        """All plants in the order they came."""
        planning = self._parameters.planning
        plants = list(self._known.values())
        apart = sum(known.apart_since is not None for known in plants)
        ways = planning.walk_seconds * len(plants) + planning.hygiene_seconds * apart
        share = (seconds - ways) / sum(known.reference_seconds for known in plants)
        for known in plants:
            known.to_do = []
        return tuple(self._visit(known, min(max(share, 0.0), LONGEST_SHARE)) for known in plants)


def _is_recent(known: Known, day: int) -> bool:
    return known.found_on is not None and day - known.found_on <= RECENT_DAYS


def _by_plant(looks: tuple[Look, ...]) -> Iterator[tuple[str, list[Look]]]:
    by_code: dict[str, list[Look]] = {}
    for look in looks:
        by_code.setdefault(look.code, []).append(look)
    yield from by_code.items()
