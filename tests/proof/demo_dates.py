"""When the demo's plants may leave, worked out again by plain arithmetic from its season.

    python -m tests.proof.demo_dates G07 S09 G11

Days apart, warmth, clean looks, medium and roots of the default setting, for plants that stood
apart at the stair foot since they were last found on. Nothing of the package is imported: the
season and the tables are read as data, and the rules are written out once more.
"""

import json
import math
import sys
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

PACKAGE = Path(__file__).parents[2] / "rounds"
PLANTS = ("G07", "S09", "G11")
STAIR_FOOT = "stair foot"
LATEST = 180
NEED_DAYS, NEED_WARMTH, NEED_LOOKS, ROOTS_AFTER = 30, 485.0, 8, 21
RECENT_DAYS, RECENT_LOOKS, GAP_DAYS, HELD_BACK = 7, 2, 7, 3
USUAL_LOOKS = 10

Entry = dict[str, Any]


@dataclass(frozen=True)
class Day:
    """What was seen of a plant on a day."""

    complete: bool
    live: bool
    medium: bool
    roots: bool


CLEAN_LOOK = Day(complete=True, live=False, medium=True, roots=False)
Dates = dict[str, int]
"""Day of each criterion, counted from today; absent where there is none."""


def dates(code: str) -> Dates:
    """First day, from today on, on which each criterion is met if looks go on as they have."""
    days = days_seen(code)
    clock = max([apart_since(code), *(day for day, seen in days.items() if seen.live)])
    to_come = {**days, **looks_to_come(days)}
    roots_on = max(clock + ROOTS_AFTER, 1)
    if not any(seen.roots and day >= clock + ROOTS_AFTER for day, seen in days.items()):
        on_it = to_come.get(roots_on, Day(False, False, False, False))
        to_come[roots_on] = Day(on_it.complete, False, on_it.medium, True)
    met: dict[str, Callable[[int], bool]] = {
        "days_apart": lambda day: day - clock >= NEED_DAYS,
        "degree_days": lambda day: warmth(clock, day) >= NEED_WARMTH,
        "clean_looks": lambda day: looks_enough(to_come, clock, day),
        "medium_and_roots": lambda day: roots_enough(to_come, clock, day),
    }
    ahead = range(LATEST + 1)
    first = {name: next((d for d in ahead if is_met(d)), None) for name, is_met in met.items()}
    return {name: day for name, day in first.items() if day is not None}


def warmth(first: int, before: int) -> float:
    """Degree-days of the days from one to the one before another: a sine wave above 8, below 28."""
    known = {e["day"]: e for e in season() if e["kind"] == "weather" and e["place"] == STAIR_FOOT}
    usual = next(e["usual_c"] for e in season() if e["kind"] == "place" and e["name"] == STAIR_FOOT)
    lately = [known.get(day, {"min_c": usual, "max_c": usual}) for day in range(-13, 1)]
    mean = sum((e["min_c"] + e["max_c"]) / 2 for e in lately) / len(lately)
    total = 0.0
    for day in range(first, before):
        to_come = mean if day > 0 else usual
        least, most = (known.get(day, {}).get(end, to_come) for end in ("min_c", "max_c"))
        total += of_sine(float(least), float(most))
    return total


def of_sine(least: float, most: float) -> float:
    """Mean of the wave over a day, in a thousand steps."""
    steps = [math.sin(2 * math.pi * (n + 0.5) / 1000) for n in range(1000)]
    wave = [(least + most) / 2 + (most - least) / 2 * step for step in steps]
    return math.fsum(min(max(c, 8.0), 28.0) - 8.0 for c in wave) / 1000


def run_of(days: dict[int, Day], clock: int, on: int) -> list[int]:
    """Days of the complete clean looks since the clocks began, up to a day."""
    return sorted(
        d for d, seen in days.items() if clock <= d <= on and seen.complete and not seen.live
    )


def looks_enough(days: dict[int, Day], clock: int, on: int) -> bool:
    """Enough of them, two lately, and no gap that holds the count back."""
    run = run_of(days, clock, on)
    if not run:
        return False
    inside = on - run[-1] > GAP_DAYS
    after = len(run) > 1 and run[-1] - run[-2] > GAP_DAYS
    count = min(len(run), NEED_LOOKS - HELD_BACK) if inside or after else len(run)
    return count >= NEED_LOOKS and sum(d >= on - RECENT_DAYS for d in run) >= RECENT_LOOKS


def roots_enough(days: dict[int, Day], clock: int, on: int) -> bool:
    """The roots seen late enough, and the medium in as many clean looks as are needed."""
    roots = any(
        seen.roots and not seen.live and clock + ROOTS_AFTER <= d <= on for d, seen in days.items()
    )
    return roots and sum(days[d].medium for d in run_of(days, clock, on)) >= NEED_LOOKS


def looks_to_come(days: dict[int, Day]) -> dict[int, Day]:
    """Clean looks as often as they usually were."""
    complete = sorted(day for day, seen in days.items() if seen.complete)
    lately = complete[-USUAL_LOOKS:]
    gaps = sorted(later - earlier for earlier, later in pairwise(lately))
    middle = len(gaps) // 2
    both = gaps[middle] if len(gaps) % 2 else (gaps[middle - 1] + gaps[middle]) / 2
    every = math.floor(both + 0.5)
    first = max(complete[-1] + every, 1)
    return dict.fromkeys(range(first, LATEST + 1, every), CLEAN_LOOK)


def days_seen(code: str) -> dict[int, Day]:
    """Every day on which the plant was looked at, to today."""
    plant = next(e for e in season() if e["kind"] == "plant" and e["code"] == code)
    seconds = reference_seconds(plant)
    spent: dict[int, dict[str, float]] = {}
    live: set[int] = set()
    open_doubts, alive = doubts(code)
    for day, zone, took, counts in looks(code):
        if zone == "roots" and not (plant["clear_pot"] or took < 0):
            continue
        found = sum(count for *_, count in counts)
        by_zone = spent.setdefault(day, {})
        by_zone[zone] = by_zone.get(zone, 0.0) + max(0.0, abs(took) - 8 * found)
        if any(kind != "doubtful" for _, kind, *_ in counts) or (day, zone) in alive:
            live.add(day)
    result = {}
    for day, by_zone in spent.items():
        seen = {
            zone
            for zone, credited in by_zone.items()
            if credited >= seconds[zone] / 2 - 0.01 and (day, zone) not in open_doubts
        }
        outside = sum(s for zone, s in seconds.items() if zone != "roots")
        carried = sum(seconds[zone] for zone in seen if zone != "roots") / outside
        result[day] = Day(carried >= 0.9 - 1e-9, day in live, "medium" in seen, "roots" in seen)
    return result


def looks(code: str) -> list[tuple[int, str, float, list[Any]]]:
    """Day, zone, seconds and counts of every look; seconds below nothing: out of the pot."""
    found = []
    for entry in season():
        if entry["kind"] == "roots" and entry["plant"] == code:
            found.append((entry["day"], "roots", -entry["seconds"], entry["counts"]))
        for visit in entry.get("visits", []):
            for zone, took, *counted in visit.get("looks", []) if visit["plant"] == code else []:
                hidden = isinstance(took, str)
                found.append(
                    (entry["day"], zone, 0.0 if hidden else took, counted[0] if counted else [])
                )
    return found


def doubts(code: str) -> tuple[set[tuple[int, str]], set[tuple[int, str]]]:
    """Day and zone of doubts still open, and of those that turned out to be alive."""
    settled = {
        (day, zone): verdict
        for entry in season()
        for visit in entry.get("visits", [])
        if visit["plant"] == code
        for zone, day, verdict in visit.get("settled", [])
    }
    doubted = {
        (day, zone)
        for day, zone, _, counts in looks(code)
        if any(kind == "doubtful" for _, kind, *_ in counts)
    }
    alive = {where for where, verdict in settled.items() if verdict == "alive"}
    return doubted - settled.keys(), alive


def apart_since(code: str) -> int:
    """The day it came to stand at the stair foot."""
    return max(
        int(e["day"])
        for e in season()
        if e.get("place") == STAIR_FOOT and code in (e.get("plant"), e.get("code"))
    )


def reference_seconds(plant: Entry) -> dict[str, float]:
    """Of each zone: the seconds of the size, shared by weight."""
    forms, inspection = table("forms"), table("inspection")
    donors = {z: row["value"] for z, row in forms["draws_on"].items()}
    zones = forms["zones"][plant["form"]]["value"]
    donor_of = {zone: donors.get(zone, zone) for zone in zones}
    sharing = list(donor_of.values())
    weight = {z: forms["weight"][d]["value"] / sharing.count(d) for z, d in donor_of.items()}
    outside = sum(w for zone, w in weight.items() if zone != "roots")
    seconds = inspection["reference_seconds"]
    per_weight = seconds[plant["size"]]["value"] / outside
    return {
        z: per_weight * w if z != "roots" else seconds["roots"]["value"] for z, w in weight.items()
    }


@cache
def season() -> tuple[Entry, ...]:
    """The entries of the demo; days are counted from today."""
    text = (PACKAGE / "demo" / "season.jsonl").read_text(encoding="utf-8")
    return tuple(json.loads(line) for line in text.splitlines())


@cache
def table(name: str) -> dict[str, Any]:
    """A parameter table as it stands in its file."""
    return tomllib.loads((PACKAGE / "parameters" / f"{name}.toml").read_text(encoding="utf-8"))


def main() -> None:
    """Days from today of each criterion of the plants named."""
    for code in sys.argv[1:] or PLANTS:
        print(code, " ".join(f"{name} {day}" for name, day in dates(code).items()))


if __name__ == "__main__":
    main()
