"""What of the entries still stands; every sum reads the log through this module."""

from collections import defaultdict
from collections.abc import Callable, Container, Iterable
from dataclasses import dataclass
from datetime import date

from rounds.core.log.entries import (
    LIVE_KINDS,
    VERDICTS,
    Look,
    OpenLook,
    PlantEntries,
    Tally,
    Withdrawal,
)


@dataclass(frozen=True, slots=True)
class EffectiveTally:
    """A count as it stands today: its stage may have been given later, its doubt settled."""

    id: int
    kind: str
    stage: str | None
    pest: str
    count: int
    at_ms: int
    settled_as: str | None = None

    @property
    def is_live(self) -> bool:
        """Found alive: lifted, killed, left there, or a doubt that turned out to be alive."""
        return self.kind in LIVE_KINDS or self.settled_as == "alive"

    @property
    def is_open_doubt(self) -> bool:
        """Woolly, and nobody has said yet what it was."""
        return self.kind == "doubtful" and self.settled_as is None


@dataclass(frozen=True, slots=True)
class EffectiveSign:
    """Ants, stickiness or soot as it stands today."""

    id: int
    kind: str


@dataclass(frozen=True, slots=True)
class EffectiveLook:
    """A look that stands, with the tallies that stand. `is_open`: still in progress."""

    id: int
    day: date
    zone: str
    round_id: int
    began_at: int
    seconds: float
    outcome: str
    reason: str | None
    unpotted: bool
    is_open: bool
    tallies: tuple[EffectiveTally, ...]
    signs: tuple[EffectiveSign, ...] = ()
    second_to: int | None = None
    """the look at the same zone it was made straight after, to learn how much is seen"""

    def live(self, pest: str | None = None) -> int:
        """Insects found alive, of one pest or of all."""
        return sum(t.count for t in self.tallies if t.is_live and pest in (None, t.pest))

    def open_doubts(self, pest: str | None = None) -> int:
        """Doubtful specks not yet settled."""
        return sum(t.count for t in self.tallies if t.is_open_doubt and pest in (None, t.pest))

    def counted(self) -> int:
        """All that was counted, each of which took time to lift and look at."""
        return sum(t.count for t in self.tallies)


class Corrections:
    """Which entries of one plant stand, given its withdrawals up to a day."""

    def __init__(self, withdrawals: Iterable[Withdrawal]) -> None:
        by_target: dict[int, list[Withdrawal]] = defaultdict(list)
        for entry in withdrawals:
            by_target[entry.target_id].append(entry)
        self._by_target = {
            target: sorted(found, key=lambda w: w.id) for target, found in by_target.items()
        }

    def against(self, target_id: int) -> Withdrawal | None:
        """The newest withdrawal of an entry that still stands, if any; verdicts are left out."""
        return self._newest(target_id, verdicts=False)

    def verdict(self, tally_id: int) -> str | None:
        """What a doubt was settled as, if it was."""
        found = self._newest(tally_id, verdicts=True)
        return found.why if found else None

    def stands(self, entry_id: int) -> bool:
        """Not withdrawn, or withdrawn and the withdrawal taken back."""
        return entry_id not in self._by_target or self.against(entry_id) is None

    def heir(self, look_id: int) -> int | None:
        """The look that holds a look's tallies now: itself, the one it was reopened as, or none."""
        while (withdrawal := self.against(look_id)) is not None:
            if withdrawal.replaced_by is None:
                return None
            look_id = withdrawal.replaced_by
        return look_id

    def holder(self, look_id: int, known: Container[int]) -> int:
        """Of the looks known, the one that holds the entries of a look now, or held them last."""
        while (against := self.against(look_id)) is not None:
            if against.replaced_by is None or against.replaced_by not in known:
                break
            look_id = against.replaced_by
        return look_id

    def _newest(self, target_id: int, *, verdicts: bool) -> Withdrawal | None:
        for entry in reversed(self._by_target.get(target_id, ())):
            if (entry.why in VERDICTS) is verdicts and self.stands(entry.id):
                return entry
        return None


def effective_log(entries: PlantEntries, on: date) -> tuple[EffectiveLook, ...]:
    """The looks of one plant that stand at the end of `on`, oldest first.

    A withdrawal carries the day of what it corrects, so a past `on` sees today's corrections of
    that past. A look still open counts as partial: its finds at once, its time not yet.
    """
    corrections = Corrections(w for w in entries.withdrawals if w.day <= on)
    tallies = _tallies_by_look(entries, corrections, on)
    signs = _signs_by_look(entries, corrections, on)
    second_to = _second_to(entries, corrections, on)
    closed = {look.id for look in entries.looks}
    still_open = [look for look in entries.open_looks if look.id not in closed]
    entered: tuple[Look | OpenLook, ...] = (*entries.looks, *still_open)
    found = [
        _effective_look(look, tallies, signs, second_to)
        for look in entered
        if look.day <= on and corrections.stands(look.id)
    ]
    return tuple(sorted(found, key=lambda look: (look.day, look.id)))


def first_entered(entries: PlantEntries) -> Callable[[int], int]:
    """A function from the id of a look to that of the first look in its chain of replacements."""
    replaces = {w.replaced_by: w.target_id for w in entries.withdrawals if w.replaced_by}

    def first(look_id: int) -> int:
        while look_id in replaces:
            look_id = replaces[look_id]
        return look_id

    return first


def _tallies_by_look(
    entries: PlantEntries, corrections: Corrections, on: date
) -> dict[int, list[EffectiveTally]]:
    stages: dict[int, str] = {}
    for given in sorted(entries.stages, key=lambda s: s.id):
        if given.day <= on and corrections.stands(given.id):
            stages[given.tally_id] = given.stage
    by_look: dict[int, list[EffectiveTally]] = defaultdict(list)
    for tally in sorted(entries.tallies, key=lambda t: t.id):
        if tally.day > on or not corrections.stands(tally.id):
            continue
        heir = corrections.heir(tally.look_id)
        if heir is not None:
            by_look[heir].append(_effective_tally(tally, stages, corrections))
    return by_look


def _signs_by_look(
    entries: PlantEntries, corrections: Corrections, on: date
) -> dict[int, list[EffectiveSign]]:
    by_look: dict[int, list[EffectiveSign]] = defaultdict(list)
    for sign in sorted(entries.signs, key=lambda s: s.id):
        heir = corrections.heir(sign.look_id)
        if sign.day <= on and corrections.stands(sign.id) and heir is not None:
            by_look[heir].append(EffectiveSign(sign.id, sign.kind))
    return by_look


def _second_to(entries: PlantEntries, corrections: Corrections, on: date) -> dict[int, int]:
    """Ids of first looks by ids of second looks, each the look that stands in its place now."""
    found = {}
    for second in entries.second_looks:
        look, first = corrections.heir(second.id), corrections.heir(second.first_id)
        if second.day <= on and look is not None and first is not None:
            found[look] = first
    return found


def _effective_tally(
    tally: Tally, stages: dict[int, str], corrections: Corrections
) -> EffectiveTally:
    return EffectiveTally(
        id=tally.id,
        kind=tally.kind,
        stage=stages.get(tally.id, tally.stage),
        pest=tally.pest,
        count=tally.count,
        at_ms=tally.at_ms,
        settled_as=corrections.verdict(tally.id) if tally.kind == "doubtful" else None,
    )


def _effective_look(
    look: Look | OpenLook,
    tallies: dict[int, list[EffectiveTally]],
    signs: dict[int, list[EffectiveSign]],
    second_to: dict[int, int],
) -> EffectiveLook:
    return EffectiveLook(
        id=look.id,
        day=look.day,
        zone=look.zone,
        round_id=look.round_id,
        began_at=look.began_at,
        seconds=look.seconds,
        outcome=look.outcome if isinstance(look, Look) else "partial",
        reason=look.reason if isinstance(look, Look) else None,
        unpotted=look.unpotted,
        is_open=isinstance(look, OpenLook),
        tallies=tuple(tallies.get(look.id, ())),
        signs=tuple(signs.get(look.id, ())),
        second_to=second_to.get(look.id),
    )
