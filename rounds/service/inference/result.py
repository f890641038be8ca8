"""What the log says of one plant, each part worked out when it is first asked for.

What works it out is imported only then: where all is kept, no sum is done, and nothing slow read.
"""

from collections.abc import Callable, Generator, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from rounds.core.body import Body
from rounds.core.inference.facts import PlantFacts
from rounds.core.parameters import Parameters, Risk
from rounds.core.plan.score import Neighbour, Part, PlantRisk
from rounds.errors import Refused
from rounds.service.inference.kept import dated, digest, kept_or_worked_out, known, knows
from rounds.service.inference.steps import finished
from rounds.service.logbook.book import Logbook
from rounds.store.numbers_text import numbers_of, text_of_numbers

if TYPE_CHECKING:
    # slow to load, and not needed where all is kept
    from rounds.core.biology.day import Values
    from rounds.core.biology.process import Process
    from rounds.core.inference.answer import Joint
    from rounds.core.inference.band import Band as BandFound
    from rounds.core.inference.evidence import Evidence
    from rounds.core.plan.risk import Harm
    from rounds.service.logbook.entry_ids import EntryName

Method = Literal["exact", "pooled"]
AnswerWithLeft = tuple[dict[str, Any], dict[str, int]]
"""a figure with its means, and the interval of the number left, as they are kept"""


@dataclass(frozen=True, slots=True)
class Band:
    """Lowest and highest chance over the refits."""

    low: float
    high: float
    low_why: str
    """code of what is assumed otherwise at the low end; empty where nothing lowers the chance"""
    fits: Mapping[str, float] = field(default_factory=dict)
    """by code of what is assumed otherwise, the logarithm of how much likelier the log then is"""


@dataclass(frozen=True, slots=True)
class Left:
    """Insects probably left: mean, and least and greatest number of a 90 % interval."""

    mean: float
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class AtRisk:
    """What a risk rests on besides what is left."""

    celsius: float
    worth: float
    worth_near: float
    """of the plants it may infest, each by the share of crawlers that reaches it"""
    days_until_look: int


@dataclass(frozen=True, slots=True)
class Basis:
    """What a result is worked out from. What takes long to read is read when it is asked for."""

    logbook: Logbook
    plant_id: int
    code: str
    on: date
    pest: str
    body: Body
    parameters: Parameters
    """with what the grower is known to find"""
    kept_as: str
    """prefix of the names under which results are kept"""
    read_facts: Callable[[], PlantFacts]
    read_at_risk: Callable[[], AtRisk]
    name_of: Callable[[int], "EntryName"]
    """of a tally"""
    read_key: Callable[[], str]
    """digest of all that the result rests on; some of it may have to be worked out first"""


class PlantResult:
    """One plant and pest."""

    def __init__(self, basis: Basis) -> None:
        self.basis = basis

    @cached_property
    def key(self) -> str:
        """Stands for all that the result rests on."""
        return self.basis.read_key()

    @property
    def pest(self) -> str:
        """The code of the pest."""
        return self.basis.pest

    @property
    def facts(self) -> PlantFacts:
        """What the evidence rests on: the same object while few others are asked for."""
        return self.basis.read_facts()

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

        return values_of(numbers_of(self._answer["mean"]))

    @cached_property
    def process(self) -> "Process":
        """The types the means are of."""
        from rounds.core.biology.process import make_process

        return make_process(self.basis.body.zones, self.basis.parameters, self.pest)

    @cached_property
    def band(self) -> Band:
        """How far the chance moves with what is assumed."""
        return self._band_kept(lambda: finished(self._work_out_band()))

    def band_in_steps(self) -> Iterator[None]:
        """Work the band out where it is not kept, pausing often enough that no key press waits."""
        if not self.is_band_known():
            found = yield from self._work_out_band()
            self.band = self._band_kept(lambda: found)

    def work_out_with_left(self) -> None:
        """Work out figure, means and interval from one run, where the figure is not kept."""
        if not self.is_known():
            self.take_with_left(self.with_left())

    def with_left(self) -> AnswerWithLeft:
        """Figure, means and interval as plain data, from one run; nothing is kept."""
        found = self._run()
        # first, as its moments bring the means with them
        left = self._interval(found.chance_clean, found)
        return _plain_joint(found), left

    def take_with_left(self, found: AnswerWithLeft) -> None:
        """Take them, and keep them."""
        answer, left = found
        self._answer = self._kept("answer", lambda: answer)
        self.left = self._left_kept(lambda: left)

    def is_band_known(self) -> bool:
        """Whether the band is there already, or kept."""
        basis = self.basis
        return "band" in self.__dict__ or knows(
            basis.logbook, basis.plant_id, self._name("band"), self.key
        )

    def take_band(self, found: "BandFound") -> None:
        """Take the band worked out in a batch, or without the figure that it goes along with."""
        from rounds.core.inference.band import moved_along

        self.band = self._band_kept(lambda: self._plain_band(moved_along(found, self.chance_clean)))

    def _band_kept(self, work_out: Callable[[], dict[str, Any]]) -> Band:
        kept = self._kept("band", work_out)
        return Band(kept["low"], kept["high"], kept["low_why"], kept["fits"])

    @cached_property
    def left(self) -> Left:
        """How many are left on the whole plant."""
        return self._left_kept(self._work_out_left)

    def _left_kept(self, work_out: Callable[[], dict[str, int]]) -> Left:
        kept = self._kept("left", work_out)
        return Left(sum(numbers_of(self._answer["mean"])), kept["low"], kept["high"])

    @cached_property
    def left_by_zone(self) -> dict[str, float]:
        """Mean number left at each zone."""
        found: dict[str, float] = self._kept("zones", self._work_out_zones)
        return found

    @cached_property
    def risk(self) -> PlantRisk:
        """What leaving it alone may cost."""
        at = self._at_risk
        # as plain numbers, since the text of a record takes ten times as long
        known = at.celsius, at.worth, at.worth_near, at.days_until_look
        key = dated(self.basis.on, digest(self.key, known))
        kept = self._kept("risk", self._work_out_risk, key)
        parts = tuple(Part(code, value) for code, value in kept["parts"])
        return PlantRisk(kept["value"], kept["word"], parts)

    @cached_property
    def harm(self) -> "Harm":
        """What leaving one insect of each type alone may cost."""
        from rounds.core.plan.risk import harm_of_one

        at_risk = self._at_risk
        return harm_of_one(
            self.process, at_risk.celsius, self._risk, at_risk.worth,
            (Neighbour(1.0, at_risk.worth_near),), at_risk.days_until_look,
        )  # fmt: skip

    @cached_property
    def _at_risk(self) -> AtRisk:
        return self.basis.read_at_risk()

    @property
    def _risk(self) -> Risk:
        return self.basis.parameters.risk

    @cached_property
    def reach(self) -> dict[str, list[float]]:
        """Insect-days that what is in reach would cause, by zone: one number for each stage."""
        celsius = self._at_risk.celsius
        found: dict[str, list[float]] = self._kept(
            "reach", lambda: self._work_out_reach(celsius), digest(self.key, celsius)
        )
        return found

    @cached_property
    def in_reach(self) -> dict[str, list[float]]:
        """Expected number in reach, by zone: one for each stage."""
        found: dict[str, list[float]] = self._kept("in reach", self._work_out_in_reach)
        return found

    def is_known(self) -> bool:
        """Whether the chance and the means are there already, or kept."""
        if "_answer" not in self.__dict__:
            name = self._name("answer")
            kept = known(self.basis.logbook, self.basis.plant_id, name, self.key)
            if kept is None:
                return False
            self._answer = kept
        return True

    def take(self, chance_clean: float, mean: "Values") -> None:
        """Take the chance and means (T,) worked out in a batch of plants without finds."""
        self._answer = self._kept("answer", lambda: _plain(chance_clean, "exact", mean))

    def evidence(self) -> "Evidence":
        """What the inference reads of the plant."""
        from rounds.core.inference.evidence import gather

        return gather(self.facts, self.basis.on, self.basis.parameters)

    @cached_property
    def _answer(self) -> dict[str, Any]:
        found: dict[str, Any] = self._kept("answer", self._work_out)
        return found

    def _work_out_risk(self) -> dict[str, Any]:
        from rounds.core.plan.risk import plant_risk

        found = plant_risk(self.harm, self.mean, self._risk)
        parts = [(part.code, part.value) for part in found.parts]
        return {"value": found.value, "word": found.word, "parts": parts}

    def _work_out_zones(self) -> dict[str, float]:
        mean, process = self.mean, self.process
        return {zone: float(mean @ process.of_zone(zone)) for zone in process.zone_codes}

    def _work_out_reach(self, celsius: float) -> dict[str, list[float]]:
        from rounds.core.plan.risk import harm_in_reach

        return self._by_zone(harm_in_reach(self.process, self.mean, celsius, self._risk.days_ahead))

    def _work_out_in_reach(self) -> dict[str, list[float]]:
        from rounds.core.plan.risk import number_in_reach

        return self._by_zone(number_in_reach(self.process, self.mean))

    def _by_zone(self, by_stage: "Values") -> dict[str, list[float]]:
        return {
            zone: [float(number) for number in row]
            for zone, row in zip(self.process.zone_codes, by_stage, strict=True)
        }

    def _work_out(self) -> dict[str, Any]:
        return _plain_joint(self._run())

    def _run(self) -> "Joint":
        """The run that all figures rest on."""
        from rounds.core.inference.answer import joint
        from rounds.core.inference.observed import ImpossibleEntry
        from rounds.core.inference.scale import ChanceOutOfRange

        try:
            return joint(self.evidence().log)
        except ImpossibleEntry as fault:
            entry = self.basis.name_of(fault.entry)
            raise Refused("entry-impossible", code=self.basis.code, entry=entry) from fault
        except ChanceOutOfRange as fault:
            raise Refused("entries-too-rare", code=self.basis.code) from fault

    def _work_out_band(self) -> Generator[None, None, dict[str, Any]]:
        from rounds.core.inference.band import band_in_steps

        # what cannot have happened is refused by the figure itself, with the entry that did it
        chance, basis = self.chance_clean, self.basis
        found = yield from band_in_steps(self.facts, basis.on, basis.parameters, figure=chance)
        return self._plain_band(found)

    def _plain_band(self, found: "BandFound") -> dict[str, Any]:
        # the figure has a larger budget than its refits, and may lie beyond them
        chance = self.chance_clean
        why = found.low_why if found.low < chance else ""
        return {
            "low": min(found.low, chance),
            "high": max(found.high, chance),
            "low_why": why,
            "fits": dict(found.fits),
        }

    def _work_out_left(self) -> dict[str, int]:
        return self._interval(self.chance_clean, None)

    def _interval(self, chance_clean: float, known: "Joint | None") -> dict[str, int]:
        from rounds.core.inference.answer import left_interval, left_of_clean
        from rounds.core.inference.left import LEVEL
        from rounds.core.inference.side_by_side import is_clean

        # with this chance that nothing is left both ends are 0: no sum is needed
        if chance_clean >= 1 - (1 - LEVEL) / 2:
            return {"low": 0, "high": 0}
        log = self.evidence().log
        if known is None and is_clean(log):
            found = left_of_clean(log, chance_clean, float(self.mean.sum()))
        else:
            found = left_interval(log, known=known)
        return {"low": found.low, "high": found.high}

    def _kept(self, what: str, work_out: Callable[[], Any], key: str | None = None) -> Any:
        basis, name = self.basis, self._name(what)
        return kept_or_worked_out(basis.logbook, basis.plant_id, name, key or self.key, work_out)

    def _name(self, what: str) -> str:
        return f"{self.basis.kept_as}{what} {self.pest}"


def _plain_joint(found: "Joint") -> dict[str, Any]:
    return _plain(found.chance_clean, found.method, found.mean)


def _plain(chance_clean: float, method: Method, mean: "Values") -> dict[str, Any]:
    return {
        "chance_clean": chance_clean,
        "method": method,
        "mean": text_of_numbers(mean),
    }
