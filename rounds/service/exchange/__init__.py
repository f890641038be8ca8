"""Read looks, plants and temperatures from files: the whole file or nothing."""

from rounds.service.exchange.run import FileRead, read_file

__all__ = ["FileRead", "read_file"]
