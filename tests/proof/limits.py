"""How far the chance clean goes, and what holds it back: tables for docs/method.md.

    python -m tests.proof.limits

A medium leafy plant, whole looks of the reference seconds, under the values of the table.
"""

from collections.abc import Iterable
from dataclasses import replace

from rounds.core.inference.answer import chance_clean
from rounds.core.inference.observed import Log
from rounds.core.parameters import Parameters
from tests.core.inference.asked import chances_ahead
from tests.proof.exact_predict import PARAMETERS, evidence, exact
from tests.proof.records import Find, PlantLog
from tests.proof.sample_logs import Finds, looked_through
from tests.proof.values import ASSUMED, plant_process

PLANT = plant_process(PARAMETERS)
LEVELS = (0.90, 0.95, 0.99)
EVERY = (1, 3, 7)
PLACES_C = (16.0, 22.0, 26.0)
ROOTS_ON = 28
READ = (180, 360, 540)
MOST_DAYS = 180
THREE: Finds = {(0, "axils"): (Find("young", 2), Find("adult", 1))}


def steady(celsius: float) -> tuple[float, float]:
    """A day without a wave."""
    return celsius, celsius


def course(log: PlantLog, first: int) -> list[float]:
    """The chance clean at the end of each day from one on, in one run; no finds from there on."""
    whole = evidence(log).log
    begun = Log(whole.start, whole.landing, whole.days[: first + 1])
    return [float(chance) for chance in chances_ahead(begun, whole.days[first + 1 :])]


def days_until(chances: Iterable[float], level: float) -> str:
    """The first day on which a level is reached."""
    found = next((day for day, chance in enumerate(chances) if chance >= level), None)
    return "-" if found is None else str(found)


def three_on_arrival() -> list[str]:
    """Days from the find until each level is reached, by warmth and rhythm, roots seen once."""
    rows = ["three found on arrival: days until 90, 95, 99 in 100"]
    for celsius in PLACES_C:
        for every in EVERY:
            roots = (-(-ROOTS_ON // every) * every,)
            log = looked_through(
                PLANT, every, MOST_DAYS, THREE, weather=steady(celsius), roots_on=roots
            )
            said = course(log, 0)
            days = " ".join(f"{days_until(said, level):>5}" for level in LEVELS)
            rows.append(f"  {celsius:4.0f} degC, every {every} days  {days}")
    return rows


def levels_off() -> list[str]:
    """Where clean looks lead in the end: looks every so many days, apart and in the collection."""
    rows = [f"nothing ever found, after {MOST_DAYS} days: chance clean"]
    for name, arrivals in (
        ("apart", ASSUMED.arrivals_apart),
        ("in the collection", ASSUMED.arrivals_in_collection),
        ("near an infested plant, .01 a day", 0.01),
    ):
        for every in EVERY:
            last = MOST_DAYS // every * every
            log = looked_through(PLANT, every, last, {}, weather=steady(22.0), arrivals=arrivals)
            rows.append(f"  {name:34} every {every} days  {exact(log):.4f}")
    return rows


def roots_unseen() -> list[str]:
    """The same plant with its roots seen out of the pot, and never."""
    rows = ["three found on arrival, every 3 days, 22 degC, day 45: chance clean"]
    for name, roots in (("roots never seen", ()), ("roots seen on day 30", (30,))):
        log = looked_through(PLANT, 3, 45, THREE, weather=steady(22.0), roots_on=roots)
        rows.append(f"  {name:34} {exact(log):.4f}")
    return rows


def begun_later() -> list[str]:
    """What it changes to read a log of 540 days from 180 or 360 days before its end on."""
    shown = ", ".join(map(str, READ))
    rows = [f"an established plant, weekly, 20 degC, read from {shown} days before: chance clean"]
    one = (Find("adult", 1),)
    cases: dict[str, Finds] = {
        "nothing found": {},
        "one adult, 56 days before": {(77 * 7 - 56, "axils"): one},
        "one adult, 210 days before": {(77 * 7 - 210, "axils"): one},
    }
    for name, finds in cases.items():
        log = looked_through(
            PLANT, 7, 77 * 7, finds, weather=steady(20.0), arrivals=ASSUMED.arrivals_in_collection
        )
        log = replace(log, start=ASSUMED.established)
        said = (chance_clean(evidence(log, _reading(days)).log) for days in READ)
        rows.append(f"  {name:34} " + "  ".join(f"{chance:.6f}" for chance in said))
    return rows


def _reading(days: int) -> Parameters:
    return replace(PARAMETERS, infestation=replace(PARAMETERS.infestation, reading_days=days))


def main() -> None:
    """Prints all tables."""
    for table in (three_on_arrival, levels_off, roots_unseen, begun_later):
        print("\n".join(table()), flush=True)


if __name__ == "__main__":
    main()
