"""Plants let go too early if the assumed values do not hold: which share of them is infested.

    python -m tests.proof.wrong_values --lots 6 --seed 601
    python -m tests.proof.wrong_values --write

The sums go on with the values of the table while the insects live by others. Newly arrived plants,
growers who look daily, every third day or weekly, at the roots out of the pot every four weeks;
asked about once a week. Counted are the plants found on that first reach a chance clean of 95 in
100, those that first meet the whole default rule, and the same of plants on which nothing was ever
found. `--write` puts the table into docs/method.md.

Left out are plants found on so often that they need more than `crossings.MOST` coefficients.
"""

import argparse
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from math import sqrt
from pathlib import Path

import numpy as np

from tests.proof.backwards import Life, chances_clean
from tests.proof.calibrate import plant
from tests.proof.crossings import asked_together, question_days
from tests.proof.logs import EVERY, Grower, Lot, happened, log_until, random_grower
from tests.proof.process import Process
from tests.proof.release import DAYS
from tests.proof.values import ASSUMED

PAGE = Path(__file__).parents[2] / "docs" / "method.md"
COMMAND = "`python -m tests.proof.wrong_values --write`"
LOTS, PLANTS, SEED = 6, 5_000, 601
LEVEL, WAIVED_FROM = 0.95, 0.99
APART, WARMTH, LOOKS, LATELY, WITHIN, ROOTS_AFTER = 30, 485.0, 8, 2, 7, 21
"""the default rule, written out once more: days, degree-days, clean looks, roots"""
KINDS = ("found", "found, rule", "never", "never, rule")
HEAD = (
    "infested, in 100              found on: at 95   whole rule   never found: at 95   whole rule"
)


@dataclass(frozen=True, slots=True)
class Truth:
    """How the world differs from what the sums suppose."""

    detection: float = 1.0
    """times the rate at which a second of looking finds"""
    exchange: float = 1.0
    """times the daily exchange"""

    def of(self, known: Process) -> Process:
        """The life of the insects in it."""
        return replace(
            known,
            exchange=known.exchange * self.exchange,
            found_in_reach=1 - (1 - known.found_in_reach) ** self.detection,
            found_out_of_pot=1 - (1 - known.found_out_of_pot) ** self.detection,
        )


TRUTHS = {
    "as assumed": Truth(),
    "an eye half as good": Truth(detection=0.5),
    "half the exchange": Truth(exchange=0.5),
    "both": Truth(0.5, 0.5),
}


@dataclass
class LetGo:
    """Plants let go: how many, how many of them infested, how many the sums expected to be."""

    plants: int = 0
    infested: int = 0
    expected: float = 0.0
    spread: float = 0.0

    def add(self, infested: np.ndarray | list[bool], said: float) -> None:
        """Some plants of one chance clean."""
        self.plants += len(infested)
        self.infested += int(np.sum(infested))
        self.expected += len(infested) * (1 - said)
        self.spread += len(infested) * said * (1 - said)

    @property
    def share(self) -> float:
        """Infested among them."""
        return self.infested / max(1, self.plants)

    @property
    def error(self) -> float:
        """Standard error of the share."""
        return sqrt(self.share * (1 - self.share) / max(1, self.plants))

    @property
    def z(self) -> float:
        """Distance from what was expected, in standard errors; 0 where no plant was let go."""
        return (self.infested - self.expected) / sqrt(self.spread) if self.spread else 0.0


@dataclass
class Counted:
    """What came of the plants of one truth, by kind."""

    by_kind: dict[str, LetGo] = field(default_factory=lambda: {kind: LetGo() for kind in KINDS})


def lived(truth: Truth, lots: int, plants: int, seed: int) -> Counted:
    """So many lots of so many plants in a world, judged by sums that suppose the table."""
    supposed = plant()
    life, counted = Life(supposed), Counted()
    for number, stream in enumerate(np.random.SeedSequence(seed).spawn(lots)):
        rng = np.random.default_rng(stream)
        # of every six growers the last three look at the roots: daily, every third day, weekly
        grower = random_grower(supposed, len(EVERY) + number % len(EVERY), rng, DAYS)
        start, arrivals = ASSUMED.new_arrival, ASSUMED.arrivals_apart
        lot = happened(truth.of(supposed), start, arrivals, grower, rng, plants)
        _found_on(life, lot, counted)
        _never_found_on(life, lot, counted, plants)
    return counted


def _found_on(life: Life, lot: Lot, counted: Counted) -> None:
    waiting = {one: {"found", "found, rule"} for one in lot.found}
    for day in question_days(lot.grower):
        for some in asked_together(lot, day, [one for one in sorted(waiting) if waiting[one]]):
            logs = [
                log_until(lot, one, day, ASSUMED.new_arrival, ASSUMED.arrivals_apart)
                for one in some
            ]
            for one, log, said in zip(some, logs, chances_clean(life, logs), strict=True):
                met = {"found": said >= LEVEL}
                met["found, rule"] = met["found"] and rule_met(life, lot, day, log.last_find)
                for kind in [kind for kind in sorted(waiting[one]) if met[kind]]:
                    waiting[one].discard(kind)
                    counted.by_kind[kind].add([bool(lot.left[day][one])], float(said))


def _never_found_on(life: Life, lot: Lot, counted: Counted, plants: int) -> None:
    """All of them have one log, that of a plant nothing was found on."""
    first_found = {one: min(day for day, _ in finds) for one, finds in lot.found.items()}
    waiting = {"never", "never, rule"}
    for day in question_days(lot.grower):
        clean = replace(lot, found={-1: {}})
        log = log_until(clean, -1, day, ASSUMED.new_arrival, ASSUMED.arrivals_apart)
        said = float(chances_clean(life, [log])[0])
        met = {"never": said >= LEVEL}
        met["never, rule"] = met["never"] and rule_met(life, lot, day, None, said)
        never = [one for one in range(plants) if first_found.get(one, day + 1) > day]
        for kind in [kind for kind in sorted(waiting) if met[kind]]:
            waiting.discard(kind)
            counted.by_kind[kind].add(lot.left[day][never] > 0, said)


def rule_met(life: Life, lot: Lot, day: int, last_find: int | None, said: float = 0.0) -> bool:
    """Whether the default rule but for the chance is met; every look is complete here."""
    since, grower = last_find or 0, lot.grower
    clean = [on for on in grower.looks if since <= on <= day and on != last_find]
    warmth = sum(life.process.degree_days(*grower.temperatures[on]) for on in range(since, day))
    is_waived = last_find is None and said >= WAIVED_FROM
    roots = [on for on in clean if on >= since + ROOTS_AFTER and _roots_seen(grower, on)]
    return (
        day - since >= APART
        and (warmth >= WARMTH or is_waived)
        and len(clean) >= LOOKS
        and sum(on >= day - WITHIN for on in clean) >= LATELY
        and bool(roots)
    )


def _roots_seen(grower: Grower, day: int) -> bool:
    return any(look.unpotted for look in grower.looks[day].looks)


def table_lines(counted: dict[str, Counted]) -> Iterator[str]:
    """The table, a row for each truth: shares in 100 with their standard errors."""
    yield HEAD
    for name, of in counted.items():
        cells = [of.by_kind[kind] for kind in KINDS]
        shares = [f"{100 * cell.share:5.2f} ±{100 * cell.error:4.2f}" for cell in cells]
        yield f"{name:28}{shares[0]:>19}{shares[1]:>13}{shares[2]:>21}{shares[3]:>13}"
    yield ""
    yield "plants, and where all is as assumed how far from what was said, in standard errors"
    for name, of in counted.items():
        cells = [of.by_kind[kind] for kind in KINDS]
        told = [f"{cell.plants}" for cell in cells]
        if name == next(iter(TRUTHS)):
            told = [f"{cell.plants} ({cell.z:.1f})" for cell in cells]
        yield f"{name:28}{told[0]:>19}{told[1]:>13}{told[2]:>21}{told[3]:>13}"


def with_table(page: str, table: str) -> str:
    """A page with the table in place of what stands in the fence after the command.

    Raises:
        ValueError: the command does not stand on it once.
    """
    before, command, rest = page.partition(COMMAND)
    if not command or COMMAND in rest:
        raise ValueError(f"{COMMAND} is to stand on the page once")
    opened, fence, body = rest.partition("```\n")
    _, _, after = body.partition("```\n")
    return f"{before}{command}{opened}{fence}{table}```\n{after}"


def main(progress: Callable[[str], None] = print) -> None:
    """Runs what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lots", type=int, default=LOTS)
    parser.add_argument("--plants", type=int, default=PLANTS, help="of a lot")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--write", action="store_true", help=f"into {PAGE.name}")
    asked = parser.parse_args()
    counted = {}
    for name, truth in TRUTHS.items():
        counted[name] = lived(truth, asked.lots, asked.plants, asked.seed)
        progress(f"lived: {name}")
    table = "".join(f"{line}".rstrip() + "\n" for line in table_lines(counted))
    if asked.write:
        PAGE.write_text(with_table(PAGE.read_text("utf-8"), table), "utf-8", newline="\n")
    else:
        progress(table)


if __name__ == "__main__":
    main()
