"""Read looks, plants and temperatures from files: the whole file or nothing."""

from rounds.service.exchange.csv_file import read_csv
from rounds.service.exchange.run import import_file

__all__ = ["import_file", "read_csv"]
