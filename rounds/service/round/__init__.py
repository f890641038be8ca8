"""A round at the keyboard: one call down, one view back, every press on disk before it is seen."""

from rounds.service.round.start import begin, is_under_way, left_at, plants_done, resume
from rounds.service.round.view import RoundView
from rounds.service.round.walk import RoundWalk

__all__ = ["RoundView", "RoundWalk", "begin", "is_under_way", "left_at", "plants_done", "resume"]
