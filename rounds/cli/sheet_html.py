"""A sheet as one page to print: no script, nothing from elsewhere, black on white."""

from collections.abc import Iterable, Iterator, Sequence
from html import escape
from math import ceil

from rounds import words
from rounds.cli.lines import printable
from rounds.cli.sheet_text import (
    BOXES,
    Box,
    cautions,
    numbered,
    place_line,
    steps_told,
    why_line,
)
from rounds.service.exchange.sheet import Sheet, SheetPlant
from rounds.words.forms import calendar_day, minutes_seconds

MADE_HERE = '<meta name="generator" content="rounds sheet">'
"""Marks a file as a sheet; files without it are not overwritten."""

STYLE = """
@page { margin: 14mm }
body { color: #000; background: #fff; font: 10.5pt/1.35 sans-serif; max-width: 190mm;
  margin: 0 auto; padding: 4mm }
h1 { font-size: 15pt; margin: 0 } h2 { font-size: 11.5pt; margin: 5mm 0 1mm }
p, ul { margin: 1mm 0 } ul { padding-left: 5mm }
.fill span { display: inline-block; border-bottom: 0.3mm solid #000; width: 38mm; height: 7mm;
  margin-right: 6mm }
section { break-inside: avoid; border-top: 0.5mm solid #000; margin-top: 5mm; padding-top: 1mm }
.stop { font-weight: bold; border: 0.5mm solid #000; padding: 1mm 2mm }
table { border-collapse: collapse; width: 100%; margin-top: 2mm }
th, td { border: 0.2mm solid #000; padding: 1mm 1.5mm; text-align: left; vertical-align: top }
th { font-weight: normal; font-size: 9pt } td.box { width: 14mm } small { font-size: 9pt }
.tick { display: inline-block; width: 4mm; height: 4mm; border: 0.3mm solid #000;
  vertical-align: text-bottom; margin-right: 2mm }
.zones span { display: inline-block; border-bottom: 0.2mm solid #000; width: 56mm; height: 6mm;
  margin-right: 4mm }
.remarks { border-bottom: 0.2mm solid #000; height: 8mm }
""".strip()


def sheet_html(sheet: Sheet) -> str:
    """The whole file."""
    title = words.say("sheet.title", day=calendar_day(sheet.on, sheet.on))
    head = (
        f'<!DOCTYPE html>\n<html lang="{words.LANGUAGE}">\n<head>\n<meta charset="utf-8">\n'
        f"{MADE_HERE}\n<title>{_text(title)}</title>\n<style>\n{STYLE}\n</style>\n</head>\n<body>"
    )
    parts = [head, f"<h1>{_text(title)}</h1>", *_body(sheet), "</body>\n</html>\n"]
    return "\n".join(parts)


def _body(sheet: Sheet) -> Iterator[str]:
    count = len(sheet.plants)
    if not count:
        yield _paragraph(words.say("sheet.nothing"))
        return
    time = minutes_seconds(sheet.planned_seconds)
    code = "summary-one" if count == 1 else "summary"
    yield _paragraph(words.say(f"sheet.{code}", plants=count, time=time))
    fill = words.section("sheet.fill").values()
    yield f'<p class="fill">{"".join(f"{_text(text)} <span></span>" for text in fill)}</p>'
    yield f"<h2>{_text(words.say('sheet.how.title'))}</h2>"
    how = [words.say(f"sheet.how.{code}") for code in steps_told(sheet)]
    yield _listed(how, words.say("sheet.how.source"))
    yield f"<h2>{_text(words.say('sheet.care.title'))}</h2>"
    yield _listed([text for _, text in cautions()], words.say("sheet.care.practice"))
    for plant in sheet.plants:
        yield from _plant(plant)


def _listed(texts: list[str], source: str) -> str:
    items = "".join(f"<li>{_text(text)}</li>" for text in texts)
    return f"<ul>{items}</ul>\n<p><small>{_text(source)}</small></p>"


def _plant(plant: SheetPlant) -> Iterator[str]:
    yield "<section>"
    if plant.stop_after is not None:
        stop = words.say("sheet.stop", after=plant.stop_after, code=plant.status.code)
        yield f'<p class="stop">{_text(stop)}</p>'
    named = words.say("sheet.plant", code=plant.status.code, name=plant.status.name)
    time = words.say("sheet.time", time=minutes_seconds(plant.planned.planned_seconds))
    position = plant.planned.position
    yield f"<h2>{position} &nbsp; {_text(named)} &nbsp; <small>{_text(time)}</small></h2>"
    yield _paragraph(place_line(plant), why_line(plant))
    clean = "all-clean-whole" if plant.whole_plant else "all-clean"
    yield f'<p><span class="tick"></span>{_text(words.say(f"sheet.{clean}"))}</p>'
    yield from _whole(plant) if plant.whole_plant else _by_zone(plant)
    yield f'<p class="remarks">{_text(words.say("sheet.remarks"))}</p>\n</section>'


def _by_zone(plant: SheetPlant) -> Iterator[str]:
    rows = [(zone.name, zone.advice, zone.planned_seconds) for zone in plant.zones]
    yield from _table(rows, BOXES)


def _whole(plant: SheetPlant) -> Iterator[str]:
    """One line with its seconds; below it, small, where a find is written."""
    name, advice = words.say("bench.whole-plant"), words.say("sheet.whole-advice")
    yield from _table([(name, advice, plant.planned.planned_seconds)], BOXES[:1])
    zones = "".join(f"<span>{_text(zone)}</span>" for zone in numbered(plant))
    yield f'<p class="zones"><small>{_text(words.say("sheet.found-at"))}<br>{zones}</small></p>'


def _table(rows: Iterable[tuple[str, str, float]], boxes: Sequence[Box]) -> Iterator[str]:
    """Name, advice and planned seconds of each row, and its boxes."""
    columns = ["zone", "planned", *(code for code, _, _ in boxes)]
    heads = "".join(f"<th>{_text(words.say(f'sheet.column.{code}'))}</th>" for code in columns)
    yield f"<table>\n<tr>{heads}</tr>"
    empty = '<td class="box"></td>' * len(boxes)
    for name, advice, seconds in rows:
        named = f"<td>{_text(name)}<br><small>{_text(advice)}</small></td>"
        yield f"<tr>{named}<td>{minutes_seconds(ceil(seconds))}</td>{empty}</tr>"
    yield "</table>"


def _paragraph(*texts: str) -> str:
    return f"<p>{'<br>'.join(_text(text) for text in texts)}</p>"


def _text(text: str) -> str:
    """Text escaped for HTML."""
    return escape(printable(text))
