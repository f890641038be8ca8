"""The versions a logbook is kept under: of its file, and of the sums that are kept in it."""

from rounds.store.migrations import VERSION as FILE_VERSION

__all__ = ["FILE_VERSION", "SUMS_VERSION"]

SUMS_VERSION = 11
"""Increased whenever the same facts may give other results. It stands here so that who asks for it
alone loads no logbook."""
