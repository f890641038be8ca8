"""Work on a second core: what comes back, and that the logbook stays with the process it is of."""

import json
import subprocess
import sys

import pytest

from rounds.service.logbook.book import Logbook

from .asking import TODAY, Add, LookIn, before, found_three

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere no copy is made")

# in a process of its own, as the runner of the tests has threads
RETURNED = """
import sys
from pathlib import Path
from rounds.service.inference import beside
from rounds.store import LogbookFile
beside.has_second_core = lambda: True
file = LogbookFile(Path(sys.argv[1]))
told = [
    beside.Beside(file, work).result()
    for work in (
        lambda: {"six": 6.5},
        lambda: 1 / 0,
        lambda: file.connection.execute("SELECT 1").fetchone(),
    )
]
print(told, file.connection.execute("SELECT 1").fetchone())
"""

BANDS = """
import json, sys
from datetime import date
from pathlib import Path
from rounds.clock import Clock
from rounds.service.inference import beside
from rounds.service.inference.day import records
from rounds.service.inference.result import PlantResult
from rounds.service.inference.together import worked_out_together
from rounds.service.logbook.book import Logbook
from rounds.store import derived
TAKEN = []
take_band = PlantResult.take_band
PlantResult.take_band = lambda result, band: (TAKEN.append(1), take_band(result, band))[1]
told = []
with Logbook(Path(sys.argv[1]), Clock()) as logbook:
    for has_two in (True, False):
        beside.has_second_core = lambda: has_two
        derived.forget_all(logbook.file)
        here = records(logbook, date.fromisoformat(sys.argv[2]))
        with worked_out_together(here, with_all=True):
            told.append({r.plant.code: [r.likely.band.low, r.likely.band.high] for r in here})
        told.append(len(TAKEN))
print(json.dumps(told))
"""


def in_a_process(code: str, *arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=False
    )
    assert not done.returncode, done.stderr
    return done.stdout


def test_what_comes_back_is_data_and_the_file_is_out_of_reach(logbook: Logbook) -> None:
    assert in_a_process(RETURNED, str(logbook.file.path)) == "[{'six': 6.5}, None, None] (1,)\n"


def test_bands_of_a_second_core_are_those_of_one(add: Add, look: LookIn, logbook: Logbook) -> None:
    for code in ("G01", "G02", "G99"):
        add(code, place="porch shelf", arrived=before(9), on=before(9), source=code)
    look("G01", before(2))
    found_three(logbook, "G99", before(2))
    two, taken, one, _ = json.loads(in_a_process(BANDS, str(logbook.file.path), str(TODAY)))
    assert taken == 3, "all of them came from the other core"
    assert list(two) == list(one)
    for code, band in one.items():
        assert two[code] == pytest.approx(band, rel=1e-12)
