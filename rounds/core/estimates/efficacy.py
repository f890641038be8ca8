"""What a treatment achieved, beside what went without it.

Abbott 1925, J Econ Entomol 18:265-267; Henderson & Tilton 1955, J Econ Entomol 48:157-161.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Counts:
    """Live insects counted before and after, with the treatment and without."""

    before_treated: float
    after_treated: float
    before_control: float
    after_control: float


def abbott(counts: Counts) -> float | None:
    """1 - Ta / Ca, where both began alike; below 0 where more are left with the treatment.

    None where none is left without the treatment either.
    """
    if not counts.after_control:
        return None
    return 1 - counts.after_treated / counts.after_control


def henderson_tilton(counts: Counts) -> float | None:
    """1 - (Ta / Ca) (Cb / Tb), where they did not begin alike; below 0 as for `abbott`.

    None where there was none to begin with, or none is left without the treatment.
    """
    if not (counts.before_treated and counts.before_control and counts.after_control):
        return None
    treated = counts.after_treated / counts.before_treated
    return 1 - treated * counts.before_control / counts.after_control
