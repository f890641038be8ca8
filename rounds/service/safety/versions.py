"""The versions a logbook is kept under: of its file, and of the sums that are kept in it."""

from rounds.service.inference.version import SUMS_VERSION
from rounds.store.migrations import VERSION as FILE_VERSION

__all__ = ["FILE_VERSION", "SUMS_VERSION"]
