"""What the log says of one plant, each part worked out when it is first asked for.

What works it out is imported only then: where all is kept, no sum is done, and nothing slow read.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from rounds.core.inference.facts import PlantFacts
from rounds.core.plan.score import Neighbour, Part, PlantRisk
from rounds.core.quarantine.interval import usual_interval
from rounds.errors import Refused
from rounds.service.inference.kept import dated, digest, kept_or_worked_out, known
from rounds.service.inference.nearby import neighbours_of, worth

if TYPE_CHECKING:
    from rounds.core.biology.day import Values
    from rounds.core.biology.process import Process
    from rounds.core.inference.evidence import Evidence
    from rounds.core.plan.risk import Harm
    from rounds.service.logbook.entry_ids import EntryName
    from rounds.service.plant.record import PlantRecord

Method = Literal["exact", "pooled"]


@dataclass(frozen=True, slots=True)
class Band:
    """Least and greatest chance over the refits."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Left:
    """Insects probably left: mean, and least and greatest number of a 90 % interval."""

    mean: float
    low: int
    high: int


class PlantResult:
    """One plant and pest; `key` stands for all that it rests on."""

    def __init__(self, record: "PlantRecord", facts: PlantFacts, key: str) -> None:
        self.record = record
        self.facts = facts
        self.key = key

    @property
    def chance_clean(self) -> float:
        """That no living insect of any stage is left."""
        return float(self._answer["chance_clean"])

    @property
    def method(self) -> Method:
        """Whether early finds had to be taken together."""
        return "exact" if self._answer["method"] == "exact" else "pooled"

    @cached_property
    def mean(self) -> "Values":
        """(T,): expected number left of every type."""
        from rounds.core.biology.day import values_of

        return values_of(self._answer["mean"])

    @cached_property
    def process(self) -> "Process":
        """The types the means are of."""
        from rounds.core.biology.process import make_process

        return make_process(self.record.body.zones, self.record.parameters)

    @cached_property
    def band(self) -> Band:
        """How far the chance moves with the rates nobody has measured."""
        kept = self._kept("band", self._work_out_band)
        return Band(kept["low"], kept["high"])

    @cached_property
    def left(self) -> Left:
        """How many are left on the whole plant."""
        kept = self._kept("left", self._work_out_left)
        return Left(sum(self._answer["mean"]), kept["low"], kept["high"])

    @cached_property
    def left_by_zone(self) -> dict[str, float]:
        """Mean number left at each zone."""
        found: dict[str, float] = self._kept("zones", self._work_out_zones)
        return found

    @cached_property
    def risk(self) -> PlantRisk:
        """What leaving it alone may cost."""
        key = dated(self.record.on, digest(self.key, self._asked))
        kept = self._kept("risk", self._work_out_risk, key)
        parts = tuple(Part(code, value) for code, value in kept["parts"])
        return PlantRisk(kept["value"], kept["word"], parts)

    @cached_property
    def harm(self) -> "Harm":
        """What leaving one insect of each type alone may cost."""
        from rounds.core.plan.risk import harm_of_one

        asked = self._asked
        return harm_of_one(
            self.process, asked.celsius, self.record.logbook.parameters.risk, asked.worth,
            asked.near, asked.days_until_look,
        )  # fmt: skip

    @cached_property
    def _asked(self) -> "_RiskAsked":
        record, on = self.record, self.record.on
        near = neighbours_of(
            record.plant, on, record.logbook.collection(), record.logbook.parameters.risk
        )
        return _RiskAsked(
            celsius=record.temperatures.mean_c(record.lived, on),
            worth=worth(record.plant, on),
            near=tuple(near),
            days_until_look=usual_interval(record.days_by_pest[self.facts.pest], on),
        )

    @cached_property
    def reach(self) -> dict[str, list[float]]:
        """Insect-days that what is in reach would cause, by zone: one number for each stage."""
        celsius = self.record.temperatures.mean_c(self.record.plant, self.record.on)
        found: dict[str, list[float]] = self._kept(
            "reach", lambda: self._work_out_reach(celsius), digest(self.key, celsius)
        )
        return found

    def is_known(self) -> bool:
        """Whether the chance and the means are there already, or kept."""
        if "_answer" not in self.__dict__:
            name = self._name("answer")
            kept = known(self.record.logbook, self.record.plant.id, name, self.key)
            if kept is None:
                return False
            self._answer = kept
        return True

    def take(self, chance_clean: float, mean: "Values") -> None:
        """The chance and the means as they came out beside those of others: nothing was found."""
        self._answer = self._kept("answer", lambda: _plain(chance_clean, "exact", mean))

    def evidence(self) -> "Evidence":
        """What the inference reads of the plant."""
        from rounds.core.inference.evidence import gather

        return gather(self.facts, self.record.on, self.record.parameters)

    @cached_property
    def _answer(self) -> dict[str, Any]:
        found: dict[str, Any] = self._kept("answer", self._work_out)
        return found

    def _work_out_risk(self) -> dict[str, Any]:
        from rounds.core.plan.risk import plant_risk

        found = plant_risk(self.harm, self.mean, self.record.logbook.parameters.risk)
        parts = [(part.code, part.value) for part in found.parts]
        return {"value": found.value, "word": found.word, "parts": parts}

    def _work_out_zones(self) -> dict[str, float]:
        mean, process = self.mean, self.process
        return {zone: float(mean @ process.of_zone(zone)) for zone in process.zone_codes}

    def _work_out_reach(self, celsius: float) -> dict[str, list[float]]:
        from rounds.core.plan.risk import harm_in_reach

        days = self.record.logbook.parameters.risk.days_ahead
        harm = harm_in_reach(self.process, self.mean, celsius, days)
        return {
            zone: [float(number) for number in by_stage]
            for zone, by_stage in zip(self.process.zone_codes, harm, strict=True)
        }

    def _work_out(self) -> dict[str, Any]:
        from rounds.core.inference.answer import answer
        from rounds.core.inference.observed import ImpossibleEntry
        from rounds.core.inference.scale import ChanceOutOfRange

        log = self.evidence().log
        try:
            found = answer(log, with_interval=False)
        except ImpossibleEntry as fault:
            raise Refused("entry-impossible", code=self.record.plant.code,
                          entry=self._name_of(fault.entry)) from fault  # fmt: skip
        except ChanceOutOfRange as fault:
            raise Refused("entries-too-rare", code=self.record.plant.code) from fault
        return _plain(found.chance_clean, found.method, found.mean)

    def _name_of(self, tally_id: int) -> "EntryName":
        from rounds.service.logbook.entry_ids import EntryName

        day = next(k.day for k in self.facts.looks if any(t.id == tally_id for t in k.tallies))
        owner = self.record
        while owner.parent is not None and any(
            tally.id == tally_id for look in owner.inherited for tally in look.tallies
        ):
            owner = owner.parent
        return EntryName("tally", day, owner.plant.id, tally_id)

    def _work_out_band(self) -> dict[str, float]:
        from rounds.core.inference.band import band

        found = band(self.facts, self.record.on, self.record.parameters)
        low, high = min(found.low, self.chance_clean), max(found.high, self.chance_clean)
        return {"low": low, "high": high}

    def _work_out_left(self) -> dict[str, int]:
        from rounds.core.inference.answer import left_interval
        from rounds.core.inference.left import LEVEL

        # with so much for nothing left, both ends are nothing: no sum is needed
        if self.chance_clean >= 1 - (1 - LEVEL) / 2:
            return {"low": 0, "high": 0}
        found = left_interval(self.evidence().log)
        return {"low": found.low, "high": found.high}

    def _kept(self, what: str, work_out: Callable[[], Any], key: str | None = None) -> Any:
        record, name = self.record, self._name(what)
        return kept_or_worked_out(record.logbook, record.plant.id, name, key or self.key, work_out)

    def _name(self, what: str) -> str:
        return f"{self.record.day.kept_as}{what} {self.facts.pest}"


def _plain(chance_clean: float, method: Method, mean: "Values") -> dict[str, Any]:
    return {
        "chance_clean": chance_clean,
        "method": method,
        "mean": [float(number) for number in mean],
    }


@dataclass(frozen=True, slots=True)
class _RiskAsked:
    """What a risk rests on besides what is left."""

    celsius: float
    worth: float
    near: tuple[Neighbour, ...]
    days_until_look: int
