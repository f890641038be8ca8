"""Zones of one plant that are looked at together, as none of them is worth a stop of its own."""

from collections.abc import Mapping, Sequence

from rounds.core.parameters import Planning

Steps = tuple[tuple[str, ...], ...]


def together(
    zones: Sequence[tuple[str, float]], planning: Planning, *, whole: bool = False
) -> Steps:
    """The steps of a plant, each of one zone or of some.

    Zones planned for little are one step; where that is too short too, the shortest of the others
    joins it.

    Args:
        zones: and the seconds planned at each, from top to bottom.
        planning: below how many seconds zones are together, and how short no step is.
        whole: all are looked at in one go.
    """
    if whole:
        return (tuple(zone for zone, _ in zones),)
    seconds = dict(zones)
    short = {zone for zone in seconds if seconds[zone] < planning.step_together_seconds}
    longest_first = sorted(seconds.keys() - short, key=lambda zone: (-seconds[zone], zone))
    while short and longest_first and _of(short, seconds) < planning.step_least_seconds:
        short.add(longest_first.pop())
    steps: list[tuple[str, ...]] = []
    for zone in seconds:
        if zone not in short:
            steps.append((zone,))
        elif not any(zone in step for step in steps):
            steps.append(tuple(other for other in seconds if other in short))
    return tuple(steps)


def long_enough(
    zones: Mapping[str, float], steps: Sequence[Sequence[str]], planning: Planning
) -> dict[str, float]:
    """The seconds of zones once no step is too short: those of one that is are stretched.

    Args:
        zones: the seconds planned at each; a step of none stays without.
        steps: the zones that are looked at together.
        planning: how short no step is.
    """
    found: dict[str, float] = {}
    for step in steps:
        total = sum(zones[zone] for zone in step)
        short = total < planning.step_least_seconds
        stretched = planning.step_least_seconds / total if short and total > 0 else 1.0
        found |= {zone: zones[zone] * stretched for zone in step}
    return found


def _of(zones: set[str], seconds: dict[str, float]) -> float:
    return sum(seconds[zone] for zone in zones)
