"""Read looks, plants and temperatures from files: the whole file or nothing."""

from rounds.service.transfer.csv_file import read_csv
from rounds.service.transfer.run import import_file

__all__ = ["import_file", "read_csv"]
