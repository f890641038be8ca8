"""What a season came to: kept beside the world and the grower, seen by neither."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from tests.bench.evidence.records import APART, ROOTS, Decisions, Look, Stand
from tests.bench.evidence.world import World

KNOWN_DAYS = 7
"""a find is known for so long, unless the plant went home since"""
SEEN_WITHIN = 2
"""days after a find, for its neighbours"""
WHOLE_SHARE = 1 / 3
"""of the reference seconds of each zone, from which a plant was seen whole"""

Figures = dict[str, tuple[float, float]]
"""By measure: a sum, and over how many things it was summed. Means are of sums of seasons."""


@dataclass
class Near:
    """A plant beside one on which something was found."""

    code: str
    found_on: int
    looked_on: int | None = None
    whole_on: int | None = None
    seconds: dict[str, float] = field(default_factory=dict)
    """of looking since, by zone"""


@dataclass
class Ledger:
    """Counts of one season; `world` is read, never changed."""

    world: World
    days: int
    found_on: dict[str, int] = field(default_factory=dict)
    """the last day of a find, by plant; forgotten when it goes home"""
    longest_wait: int = 0
    seconds: float = 0.0
    visits: int = 0
    lost: int = 0
    clean_days_apart: int = 0
    left_out: int = 0
    known_alive: int = 0
    _ever_found: set[str] = field(default_factory=set)
    _infested_since: dict[str, int] = field(default_factory=dict)
    """since when a plant has insects that were not found yet"""
    _is_found: set[str] = field(default_factory=set)
    """plants whose insects were found at least once since the first of them came"""
    _days_to_find: list[int] = field(default_factory=list)
    _near: list[Near] = field(default_factory=list)
    _seen_on: dict[str, int] = field(default_factory=dict)
    _infested: list[int] = field(default_factory=list)
    _insects: list[int] = field(default_factory=list)
    _released: list[tuple[bool, bool]] = field(default_factory=list)
    """each: was it infested, was anything ever found on it"""

    def morning(self, day: int) -> None:
        """Insects have come, or died out unseen."""
        for code in self.world.pots:
            self._seen_on.setdefault(code, day)
            if not self.world.insects(code):
                self._infested_since.pop(code, None)
                self._is_found.discard(code)
            elif code not in self._is_found:
                self._infested_since.setdefault(code, day)

    def planned(self, day: int, in_round: set[str]) -> None:
        """Whether those on which insects were found lately are in the round."""
        known = {code for code, found in self.found_on.items() if day - found <= KNOWN_DAYS}
        self.known_alive += len(known)
        self.left_out += len(known - in_round)

    def walked(self, day: int, looks: Iterable[Look], seconds: float) -> None:
        """A round, look by look in its order."""
        self.seconds += seconds
        codes = set()
        for look in looks:
            codes.add(look.code)
            self._neighbour(day, look)
            if look.count:
                self._found(day, look.code)
        for code in codes:
            self.longest_wait = max(self.longest_wait, day - self._seen_on[code])
            self._seen_on[code] = day
        self.visits += len(codes)

    def _found(self, day: int, code: str) -> None:
        stand = self.world.stands[code]
        if stand.place != APART and self.found_on.get(code) != day:
            self._near += [Near(c, day) for c, s in self.world.stands.items() if _next(stand, s)]
        self.found_on[code] = day
        self._ever_found.add(code)
        self._is_found.add(code)
        since = self._infested_since.pop(code, None)
        if since is not None:
            self._days_to_find.append(day - since)

    def _neighbour(self, day: int, look: Look) -> None:
        for near in self._near:
            if near.code != look.code or near.whole_on is not None:
                continue
            if near.looked_on is None:
                near.looked_on = day
            near.seconds[look.zone] = near.seconds.get(look.zone, 0.0) + look.seconds
            outside = self.world.reference_seconds(look.code)
            if all(
                near.seconds.get(zone, 0.0) >= WHOLE_SHARE * reference - 1e-6
                for zone, reference in outside.items()
                if zone != ROOTS
            ):
                near.whole_on = day

    def evening(self, decided: Decisions) -> None:
        """Before plants are carried: how it stands, and who goes home."""
        insects = {code: self.world.insects(code) for code in self.world.pots}
        self._infested.append(sum(number > 0 for number in insects.values()))
        self._insects.append(sum(insects.values()))
        self.clean_days_apart += sum(
            stand.place == APART and not insects[code] for code, stand in self.world.stands.items()
        )
        for code in decided.back:
            self._released.append((insects[code] > 0, code in self._ever_found))
            self.found_on.pop(code, None)

    def dead(self, day: int, code: str) -> None:
        """A plant was lost."""
        self.lost += 1
        self.longest_wait = max(self.longest_wait, day - self._seen_on.pop(code))
        self.found_on.pop(code, None)
        since = self._infested_since.pop(code, None)
        if since is not None:
            self._days_to_find.append(day - since)

    def figures(self) -> Figures:
        """By measure. What did not happen by the end counts as the days until then."""
        end = self.days
        found = [*self._days_to_find, *(end - since for since in self._infested_since.values())]
        near = [n for n in self._near if n.found_on + SEEN_WITHIN < end]
        looked = [(n.looked_on if n.looked_on is not None else end) - n.found_on for n in near]
        whole = [(n.whole_on if n.whole_on is not None else end) - n.found_on for n in near]
        waits = [end - 1 - seen for code, seen in self._seen_on.items() if code in self.world.pots]
        never = [infested for infested, was_found in self._released if not was_found]
        return {
            "days-to-find": _of(found),
            "near-in-time": _of([days <= SEEN_WITHIN for days in looked]),
            "near-looked": _of(looked),
            "near-whole": _of(whole),
            "known-left-out": (self.left_out, self.known_alive),
            "longest-wait": (max([self.longest_wait, *waits]), 1),
            "infested-worst": (max(self._infested), 1),
            "infested-end": (self._infested[-1], 1),
            "insects-worst": (max(self._insects), 1),
            "insects-end": (self._insects[-1], 1),
            "lost": (self.lost, 1),
            "released-infested": _of([infested for infested, _ in self._released]),
            "never-found-infested": _of(never),
            "releases": (len(self._released), 1),
            "clean-days-apart": (self.clean_days_apart, 1),
            "visits": (self.visits, end),
            "minutes": (round(self.seconds / 60, 3), end),
        }


def _of(values: list[int] | list[bool]) -> tuple[float, float]:
    return sum(values), len(values)


def _next(stand: Stand, other: Stand) -> bool:
    return stand.place == other.place and abs(stand.spot - other.spot) == 1
