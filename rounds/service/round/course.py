"""How far a round has come: its steps, which of them are done, and the look in progress."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Self

from rounds.core.body import Body
from rounds.core.log.entries import OpenLook
from rounds.core.parameters import Parameters
from rounds.core.plan.steps import long_enough, together
from rounds.core.walks import Step, in_groups
from rounds.service.round.turns.out_of_turn import IN_TURN, OutOfTurn


@dataclass(frozen=True, slots=True)
class Course:
    """The steps of a round in walking order, and where it stands in them."""

    steps: tuple[Step, ...]
    done: frozenset[tuple[int, str]]
    """the plants and zones whose turn is over"""
    opened: OpenLook | None = None
    """the look in progress"""
    at: int = 0
    """the position of the step at hand, from 0"""
    turns: OutOfTurn = IN_TURN
    """what does not go by the order of the steps"""

    # what it tells

    @property
    def step(self) -> Step:
        """The step the round stands at."""
        return self.steps[self.at]

    @property
    def plants(self) -> list[int]:
        """The plants, in walking order."""
        return list(dict.fromkeys(step.plant_id for step in self.steps))

    @property
    def is_whole(self) -> bool:
        """Whether a zone is open that stands for others too, or for the whole plant."""
        return self.opened is not None and not self.is_detour and len(self.together()) > 1

    @property
    def is_detour(self) -> bool:
        """Whether a zone is open out of turn, and is followed by the one that was set aside."""
        return bool(self.turns.aside)

    def of_plant(self, plant_id: int) -> list[Step]:
        """The steps of one plant."""
        return [step for step in self.steps if step.plant_id == plant_id]

    def zones_at_hand(self) -> list[str]:
        """The open zone, with those that are looked at in one go with it."""
        if self.is_whole:
            return [step.zone for step in self.together()]
        return [self.opened.zone] if self.opened else []

    def together(self) -> list[Step]:
        """The step at hand, and those of its plant that are walked in one go with it."""
        shared = self.step.together
        if shared is None:
            return [self.step]
        own = self.of_plant(self.step.plant_id)
        return [s for s in own if s.together == shared and (s == self.step or self.is_to_come(s))]

    def planned_here(self) -> float:
        """Seconds planned for the open zone, and for those looked at in one go with it."""
        if self.opened is None:
            return 0.0
        here = self.together() if self.is_whole else [self.step]
        return sum(step.planned_seconds for step in here)

    def to_come(self) -> list[Step]:
        """The steps of the plant at hand that are not done, the one at hand first."""
        own = self.of_plant(self.step.plant_id)
        return [self.step, *(s for s in own if self.is_to_come(s) and s != self.step)]

    def closed_together(self) -> list[str]:
        """The zones that the rest of the plant at hand stands for, the open one first."""
        return [step.zone for step in self.to_come()]

    def is_to_come(self, step: Step) -> bool:
        """Whether the turn of a step is not over."""
        return (step.plant_id, step.zone) not in self.done

    def is_begun(self, plant_id: int) -> bool:
        """Whether a plant is at hand, or one of its zones is done or was set aside."""
        met = (*self.done, *self.turns.aside)
        return plant_id == self.step.plant_id or any(owner == plant_id for owner, _ in met)

    def holds(self, plant_id: int, zone: str) -> bool:
        """Whether a zone has a step."""
        return any((step.plant_id, step.zone) == (plant_id, zone) for step in self.steps)

    def position_of(self, plant_id: int, zone: str) -> int:
        """Where the step of a zone stands, from 0."""
        return next(
            index
            for index, step in enumerate(self.steps)
            if (step.plant_id, step.zone) == (plant_id, zone)
        )

    def following(self, *, leaving: bool = False) -> int | None:
        """The next step that is not done, after this one or else before it; None at the end.

        A zone that was set aside comes first, then plants that were not put off. `leaving` says
        that the plant at hand was put off just now: it is not gone on with.
        """
        if self.turns.aside:
            return self.position_of(*self.turns.aside[-1])
        behind = self.at + 1
        positions = (*range(behind, len(self.steps)), *range(behind))
        to_come = [at for at in positions if self.is_to_come(self.steps[at])]
        here = None if leaving else self.step.plant_id
        turns = [(self._turn(self.steps[at].plant_id, here), n, at) for n, at in enumerate(to_come)]
        first = min(((turn, n, at) for turn, n, at in turns if turn is not None), default=None)
        return first[2] if first else None

    @property
    def is_last_plant(self) -> bool:
        """Whether no other plant is to come in this round."""
        tomorrow = self.turns.to_tomorrow
        others = (s for s in self.steps if s.plant_id not in (self.step.plant_id, *tomorrow))
        return not any(self.is_to_come(step) for step in others)

    def _turn(self, plant_id: int, here: int | None) -> int | None:
        """When a plant comes: the least first; None where it comes no more today."""
        if plant_id in self.turns.to_tomorrow and plant_id != here:
            return None
        if plant_id not in self.turns.to_end:
            return 0
        return -1 if plant_id == here else 1 + self.turns.to_end.index(plant_id)

    # how it goes on

    def placed_at(self, index: int) -> Self:
        """The course standing at another step."""
        return replace(self, at=index)

    def with_open(self, opened: OpenLook | None) -> Self:
        """The course with this look in progress."""
        return replace(self, opened=opened)

    def with_done(self, zones: Iterable[str]) -> Self:
        """The course with these zones of the plant at hand done and no look in progress."""
        plant_id = self.step.plant_id
        return replace(self, opened=None, done=self.done | {(plant_id, zone) for zone in zones})

    def with_turns(self, turns: OutOfTurn) -> Self:
        """The course with other zones set aside and plants put off."""
        return replace(self, turns=turns)

    def and_step(self, step: Step) -> list[Step]:
        """The steps with one more: behind the others of its plant, else behind those at hand."""
        own = self.of_plant(step.plant_id) or self.of_plant(self.step.plant_id)
        at = 1 + max(other.position for other in own)
        return [*self.steps[: at - 1], step, *self.steps[at - 1 :]]

    def by_steps(self, steps: Sequence[Step]) -> Self:
        """The course with other steps, numbered from 1, standing at the same zone."""
        numbered = tuple(replace(step, position=number) for number, step in enumerate(steps, 1))
        moved = replace(self, steps=numbered)
        return moved.placed_at(moved.position_of(self.step.plant_id, self.step.zone))

    def zone_by_zone(
        self, here: str, had: Mapping[str, float], body: Body, parameters: Parameters
    ) -> list[Step]:
        """The steps once a find has opened the zones in one go at hand: that of the find first.

        A zone that was seen long enough on the way is looked at again all the same, for its share
        of what was planned for them together. Those that need little stay together.

        Args:
            here: the zone of the find.
            had: seconds each zone had so far.
            body: the plant's.
            parameters: from which share of its reference time on a zone counts as seen, and below
                how many seconds zones are together.
        """
        opened, others = [], []
        for step in self.of_plant(self.step.plant_id):
            is_open = step == self.step or self.is_to_come(step)
            if step.together != self.step.together or not is_open:
                others.append(step)
                continue
            needed = body.as_planned(step.zone).reference_seconds * parameters.inspection.seen_from
            # the look at the zone of the find goes on with its seconds
            left = needed - (0.0 if step.zone == here else had.get(step.zone, 0.0))
            planned = max(left, min(needed, step.planned_seconds))
            opened.append(replace(step, whole_plant=False, group=0, planned_seconds=planned))
        rest = [(s.zone, s.planned_seconds) for s in opened if s.zone != here]
        groups = [(here,), *together(rest, parameters.planning)]
        seconds = {step.zone: step.planned_seconds for step in opened}
        seconds = long_enough(seconds, groups, parameters.planning)
        opened = [replace(step, planned_seconds=seconds[step.zone]) for step in opened]
        first = 1 + max((step.group for step in others), default=0)
        return self._with_own([*in_groups(opened, groups, first=first), *others])

    def as_before(self, before: Sequence[Step]) -> list[Step]:
        """The steps once those of a plant are again as they were before a find opened them."""
        return self._with_own(before)

    def _with_own(self, own: Sequence[Step]) -> list[Step]:
        """All steps, with those of one plant where its steps stood."""
        plant_id = own[0].plant_id
        first = next(n for n, step in enumerate(self.steps) if step.plant_id == plant_id)
        before = [step for step in self.steps[:first] if step.plant_id != plant_id]
        after = [step for step in self.steps[first:] if step.plant_id != plant_id]
        return [*before, *own, *after]
