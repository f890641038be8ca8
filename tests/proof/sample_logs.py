"""A few invented logs of the plant of the parameter table, each with something of its own in it.

`LIKELY` are logs that an infested plant gives at least once in a thousand times, so that plain
rejection from the start reaches them within a test.
"""

from tests.proof.process import Process
from tests.proof.records import DayLooks, Find, PlantLog, Start, ZoneLook
from tests.proof.values import ASSUMED

LIKELY = ("one on arrival", "weekly, the second time", "left and killed in place")

Finds = dict[tuple[int, str], tuple[Find, ...]]
MILD = (18.0, 26.0)
COOL = (12.0, 18.0)
HEAVY = Start(infested=1.0, mean=12.0, shape=1.5)
"""so that rare finds are reached by enough replicates"""


def looked_through(
    process: Process,
    every: int,
    last_day: int,
    finds: Finds,
    *,
    weather: tuple[float, float] = MILD,
    efforts: float = 1.0,
    roots_on: tuple[int, ...] = (),
    treated: dict[int, DayLooks] | None = None,
    arrivals: float = ASSUMED.arrivals_apart,
    start: Start = ASSUMED.new_arrival,
) -> PlantLog:
    """A new arrival, all outside zones for their reference seconds, roots out of the pot."""
    days = []
    for day in range(0, last_day + 1, every):
        looks = []
        for zone, seconds in zip(process.zones, process.reference_seconds, strict=True):
            if zone == "roots" and day not in roots_on:
                continue
            found = finds.get((day, zone), ())
            looks.append(ZoneLook(zone, efforts * float(seconds), zone == "roots", found))
        treatments = treated[day].treatments if treated and day in treated else ()
        days.append(DayLooks(day, tuple(looks), treatments))
    return PlantLog(tuple(days), last_day, (weather,) * last_day, start, arrivals)


def sample_logs(process: Process) -> dict[str, PlantLog]:
    """The logs by name."""
    axils, sheaths, roots = "axils", "sheaths", "roots"

    def log(every: int, last_day: int, finds: Finds, **said: object) -> PlantLog:
        return looked_through(process, every, last_day, finds, **said)  # type: ignore[arg-type]

    one = (Find("unknown", 1),)
    sprayed = {7: DayLooks(7, (), (ASSUMED.contact_spray,))}
    cleaned = {14: DayLooks(14, (), (ASSUMED.root_clean_out,))}
    return {
        "one on arrival": log(7, 21, {(0, axils): (Find("adult", 1),)}),
        "weekly, the second time": log(7, 28, {(7, axils): one}, efforts=0.5),
        "left and killed in place": log(
            7,
            14,
            {(0, axils): (Find("adult", 1, "left"),), (7, axils): (Find("adult", 1, "killed"),)},
        ),
        "a sac on arrival, some left": log(
            7, 14, {(0, axils): (Find("egg-mass", 1),), (7, axils): (Find("adult", 1, "left"),)}
        ),
        "first found on day 14": log(1, 14, {(14, axils): one}, weather=(22.0, 22.0)),
        "clean a fortnight since": log(1, 28, {(14, axils): one}, weather=(22.0, 22.0)),
        "clean four weeks since": log(1, 42, {(14, axils): one}, weather=(22.0, 22.0)),
        "killed in place and sprayed": log(
            7,
            35,
            {
                (0, axils): (Find("young", 2, "killed"),),
                (7, sheaths): (Find("young", 1, "killed"), Find("adult", 1, "left")),
            },
            treated=sprayed,
            start=HEAVY,
        ),
        "roots out of the pot": log(
            7,
            42,
            {(7, roots): (Find("unknown", 2),)},
            roots_on=(7, 14, 28),
            treated=cleaned,
            start=HEAVY,
        ),
        "a cool place": log(
            3, 60, {(0, axils): (Find("eggs", 1), Find("young", 1)), (9, axils): one}, weather=COOL
        ),
        "sprayed twice, roots cleaned": log(
            7,
            28,
            {(7, axils): (Find("unknown", 1, "left"),)},
            roots_on=(21,),
            treated={
                7: DayLooks(7, (), (ASSUMED.contact_spray,)),
                14: DayLooks(14, (), (ASSUMED.contact_spray, ASSUMED.root_clean_out)),
            },
            start=HEAVY,
        ),
        "in the collection": log(3, 30, {(3, axils): one}, arrivals=0.02),
    }
