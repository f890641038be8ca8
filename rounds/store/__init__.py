"""The logbook file, and the only place that knows SQLite."""

from rounds.store.connect import LogbookFile

__all__ = ["LogbookFile"]
