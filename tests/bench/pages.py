"""What a page costs that is opened from a day already read: its detail, its layout, its reads."""

import time
from pathlib import Path
from tempfile import TemporaryDirectory

from rounds.clock import Clock
from rounds.service.day.at_hand import day_of, record_of, status_on
from rounds.service.day.day import Day
from rounds.service.day.work import DayWork
from rounds.service.demo import make_demo
from rounds.service.logbook.book import Logbook
from rounds.service.plant.detail import plant_detail
from rounds.tui.page import Page
from rounds.tui.pages.plant import PlantPageView, plant_told, put_picture, put_zones
from rounds.tui.pages.today import TodayView, today_told
from rounds.tui.pages.today_lines import Sections
from tests.bench.table import Row, ratio_of_medians

REPEATS = 20
SIZE = (80, 24)


def measure(repeats: int) -> list[Row]:
    """A plant's page opened and today painted, against the reading of the day they come from."""
    opened: list[float] = []
    painted: list[float] = []
    read: list[float] = []
    statements: list[float] = []
    with TemporaryDirectory(prefix="rounds-bench-") as folder:
        path = make_demo(Path(folder) / "demo.db", Clock()).path
        with Logbook(path) as logbook:
            for _ in DayWork(logbook, logbook.clock.today()).pieces():
                pass
        for turn in range(repeats):
            with Logbook(path) as logbook:
                began = time.perf_counter()
                day = day_of(logbook)
                read.append((time.perf_counter() - began) * 1000)
                opened.append(_plant_opened(logbook, day, turn))
                time_taken, asked = _today_painted(logbook, day)
                painted.append(time_taken)
                statements.append(asked)
    return [
        Row("plant-page", "ms", opened, read, ratio_of_medians(opened, read), None),
        Row("today-page", "ms", painted, read, ratio_of_medians(painted, read), None),
        Row("statements", "n", statements, (), max(statements), 0.0),
    ]


def _plant_opened(logbook: Logbook, day: Day, turn: int) -> float:
    """Milliseconds to the page of one plant, another at each turn."""
    status = day.ordered[turn % len(day.ordered)]
    began = time.perf_counter()
    record = record_of(logbook, day.plants[status.plant_id])
    detail = plant_detail(record, status_on(day, record))
    page = Page(*SIZE)
    plant_told(PlantPageView(detail, 0, "", None, in_columns=False, has_bars=False), page)
    put_picture(page.blank(), detail)
    put_zones(page.blank(), detail)
    return (time.perf_counter() - began) * 1000


def _today_painted(logbook: Logbook, day: Day) -> tuple[float, float]:
    """Milliseconds to the page of today, and how often the file was asked for it."""
    asked: list[str] = []
    logbook.file.connection.set_trace_callback(asked.append)
    began = time.perf_counter()
    page = Page(*SIZE)
    today_told(TodayView(day, "", None, asks_minutes=False, asked=None), page)
    Sections(day, page, page.height).lines()
    took = (time.perf_counter() - began) * 1000
    logbook.file.connection.set_trace_callback(None)
    return took, float(len(asked))
