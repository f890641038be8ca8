"""The chance clean of a whole collection: plants without finds are worked out side by side."""

from collections.abc import Generator, Iterator, Sequence

import numpy as np

from rounds.core.biology.day import Values
from rounds.core.inference.batch import CleanPlants, clean_answers, clean_chances
from rounds.core.inference.observed import Log

Steps = tuple[int, ...]


def answers_of_clean(logs: Sequence[Log]) -> dict[int, tuple[float, Values]]:
    """By number of the log: chance clean and (T,) mean numbers left, of logs without finds.

    Logs with finds are missing from the result. All logs are to end on the same date.
    """
    found: dict[int, tuple[float, Values]] = {}
    for groups in _alike(logs):
        several = [_together([logs[number] for number in group]) for group in groups]
        for group, (chances, means) in zip(groups, clean_answers(several), strict=True):
            for place, number in enumerate(group):
                found[number] = float(chances[place]), means[:, place]
    return found


def chances_of_clean(
    logs: Sequence[Log],
) -> Generator[None, None, dict[int, tuple[float, float]]]:
    """By number of the log: chance clean, and logarithm of its own chance; of logs without finds.

    It pauses after each batch.
    """
    found: dict[int, tuple[float, float]] = {}
    for groups in _alike(logs):
        several = [_together([logs[number] for number in group]) for group in groups]
        for run in clean_chances(several):
            for at, places, told in run:
                for place, (chance, own) in zip(places, told.T, strict=True):
                    found[groups[at][place]] = float(chance), float(own)
            yield
    return found


def _alike(logs: Sequence[Log]) -> Iterator[list[list[int]]]:
    """Groups of logs without finds that have the same types, of which the same lay."""
    clean = [number for number, log in enumerate(logs) if is_clean(log)]
    alike: dict[tuple[int, bytes], list[list[int]]] = {}
    for group in _groups(logs, clean):
        step = logs[group[0]].days[-1].step
        laying = b"" if step is None else step.laying.tobytes() + step.eggs.tobytes()
        alike.setdefault((len(logs[group[0]].landing), laying), []).append(group)
    yield from alike.values()


def is_clean(log: Log) -> bool:
    """Whether it can be worked out side by side with others: nothing found, nothing killed."""
    plain = all(not k.finds and k.kills is None for day in log.days for k in day.looks)
    return plain and not log.days[0].arrivals


def _groups(logs: Sequence[Log], clean: Sequence[int]) -> list[list[int]]:
    """Group logs of one process and the same days; one of later start shares the last of them."""
    longest: dict[tuple[int, int], list[tuple[Steps, list[int]]]] = {}
    for number in sorted(clean, key=lambda n: -len(logs[n].days)):
        log = logs[number]
        steps = tuple(id(day.step) for day in log.days[1:])
        known = longest.setdefault((id(log.landing), steps[-1] if steps else 0), [])
        for earlier, members in known:
            if not steps or earlier[-len(steps) :] == steps:
                members.append(number)
                break
        else:
            known.append((steps, [number]))
    return [members for known in longest.values() for _, members in known]


def _together(logs: Sequence[Log]) -> CleanPlants:
    """The logs of one group, the longest first, as one batch."""
    dates = len(logs[0].days)
    kinds: dict[int, int] = {}
    unseen: list[Values] = []
    looks = np.full((dates, len(logs)), -1, dtype=np.intp)
    arrivals = np.zeros((dates, len(logs)))
    for plant, log in enumerate(logs):
        for date, day in enumerate(log.days, dates - len(log.days)):
            arrivals[date, plant] = day.arrivals
            if day.looks:
                shown = _shown_together([k.unseen for k in day.looks])
                if id(shown) not in kinds:
                    kinds[id(shown)] = len(unseen)
                    unseen.append(shown)
                looks[date, plant] = kinds[id(shown)]
    means = np.array([log.start.mean.sum() for log in logs])
    return CleanPlants(
        begins=np.array([dates - len(log.days) for log in logs], dtype=np.intp),
        infested=np.array([log.start.infested for log in logs]),
        mean=means,
        shape=np.array([log.start.shape for log in logs]),
        make_up=logs[0].start.mean / means[0],
        landing=logs[0].landing,
        steps=[day.step for day in logs[0].days[1:] if day.step is not None],
        arrivals=arrivals,
        unseen=np.stack(unseen) if unseen else np.ones((0, len(logs[0].landing))),
        looks=looks,
    )


def _shown_together(unseen: Sequence[Values]) -> Values:
    if len(unseen) == 1:
        return unseen[0]
    both: Values = np.prod(unseen, axis=0)
    return both
