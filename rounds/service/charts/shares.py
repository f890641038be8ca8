"""Where insects are found: by zone of the plants, and by where the plants came from."""

from collections import Counter
from collections.abc import Generator, Mapping, Sequence
from datetime import timedelta
from typing import Any

from rounds import words
from rounds.core.estimates.share import Share, clustered_share, wilson
from rounds.service.charts.chart import (
    SPAN_DAYS,
    Chart,
    Point,
    Row,
    Series,
    class_axis,
    share_axis,
    value,
)
from rounds.service.charts.finds import Find, finds_in_steps
from rounds.service.inference.day import CollectionDay

ZONES, SOURCES = "zones", "sources"
MOST_DRAWN = 10
"""things side by side; the rows of text have all of them"""

LEAST_COMPARED, LEAST_SOURCES = 5, 2
"""plants of a source, and such sources, below which sources are not compared: with fewer plants
each likely range takes up half of the whole and more"""

Shown = tuple[str, Share, Row]
"""A name, its share, and what its row says."""


def share_by_zone(day: CollectionDay) -> Generator[None, None, Chart]:
    """Of the finds of half a year, how many were at each zone."""
    records = yield from day.read_in_steps()
    found = yield from finds_in_steps(records.values(), day.on - timedelta(days=SPAN_DAYS - 1))
    shown = [_zone(zone, found) for zone, _ in Counter(find.zone for find in found).most_common()]
    plants = len({find.plant_id for find in found})
    if shown:
        name, share, _ = shown[0]
        said = {"zone": name, "finds": len(found), "plants": plants, **_ends(share)}
        sentence = words.say("charts.zones.seen", **said)
    else:
        sentence = words.say("charts.zones.nothing")
    return _chart(ZONES, sentence, shown, ("zone", "finds", "share"))


def _zone(zone: str, found: Sequence[Find]) -> Shown:
    sizes = Counter(find.plant_id for find in found)
    hits = Counter(find.plant_id for find in found if find.zone == zone)
    share = clustered_share([(hits[plant], size) for plant, size in sizes.items()])
    plants = sum(1 for count in hits.values() if count)
    name, said = words.say(f"zones.{zone}.name"), {"finds": sum(hits.values()), "plants": plants}
    on = words.say("charts.zones.on", **said)
    return (
        name,
        share,
        Row((name, on, _share_text(share)), {"zone": zone, **said, **_values(share)}),
    )


def share_by_source(day: CollectionDay) -> Generator[None, None, Chart]:
    """Of the plants that came from each source, on how many insects were found since."""
    records = yield from day.read_in_steps()
    came: Counter[str] = Counter()
    infested: Counter[str] = Counter()
    for record in records.values():
        source = (record.plant.fact("source", day.on) or "").strip()
        is_whole = record.parent is None
        if is_whole and (source or record.plant.fact("arrived", day.on) is not None):
            came[source] += 1
            infested[source] += record.last_find_on is not None
        yield
    shown = [_source(source, came, infested) for source in came]
    # those of whom it is not said stand last
    shown.sort(key=lambda s: (not s[2].values["source"], -s[1].value, -s[1].low, s[0]))
    sentence = _sources_said([each[2].values for each in shown if each[2].values["source"]])
    if came[""]:
        sentence = f"{sentence} {words.say('charts.sources.none-noted', plants=came[''])}"
    return _chart(SOURCES, sentence, shown, ("source", "plants-came", "share"))


def _sources_said(named: Sequence[Mapping[str, Any]]) -> str:
    """The source with the largest share; with few plants that there are too few to compare."""
    if not named:
        return words.say("charts.sources.nothing")
    if sum(values["plants"] >= LEAST_COMPARED for values in named) < LEAST_SOURCES:
        return words.say("charts.sources.too-few", sources=len(named))
    most = max(named, key=lambda values: float(values["low"]))
    said = {name: most[name] for name in ("source", "infested", "plants")}
    return words.say("charts.sources.seen", sources=len(named), **said)


def _source(source: str, came: Mapping[str, int], infested: Mapping[str, int]) -> Shown:
    share = wilson(infested[source], came[source])
    name = source or words.say("charts.sources.unnamed")
    of = words.say("charts.of-plants", infested=infested[source], plants=came[source])
    values = {"source": source or None, "plants": came[source], "infested": infested[source]}
    return name, share, Row((name, of, _share_text(share)), {**values, **_values(share)})


def _chart(code: str, sentence: str, shown: Sequence[Shown], heads: Sequence[str]) -> Chart:
    drawn = shown[:MOST_DRAWN]
    spreads, middles = [], []
    for number, (_, share, _) in enumerate(drawn):
        height = float(len(drawn) - number)
        spreads.append(Point(height, share.low, share.high))
        middles.append(value(share.value, height))
    more = len(shown) - len(drawn)
    about = words.say(f"charts.{code}.about")
    return Chart(
        code=code,
        title=words.say(f"charts.{code}.title"),
        sentence=sentence,
        about=f"{about} {words.say('charts.more', count=more)}" if more else about,
        across=share_axis(words.say(f"charts.{code}.across")),
        up=class_axis(
            [words.say("charts.named", name=name, count=row.cells[1]) for name, _, row in drawn],
            words.say(f"charts.{code}.beside"),
        ),
        series=(
            Series("spread", words.say("charts.spread"), tuple(spreads)),
            Series("middle", words.say("charts.share"), tuple(middles)),
        ),
        heads=tuple(words.say(f"charts.head.{head}") for head in heads),
        rows=tuple(row for _, _, row in shown),
        of_classes=True,
    )


def _ends(share: Share) -> dict[str, str]:
    return {
        "share": f"{100 * share.value:.0f}",
        "low": f"{100 * share.low:.0f}",
        "high": f"{100 * share.high:.0f}",
    }


def _share_text(share: Share) -> str:
    ends = _ends(share)
    mean = ends.pop("share")
    return words.say("charts.in-column", mean=mean, **ends)


def _values(share: Share) -> dict[str, float]:
    return {"share": share.value, "low": share.low, "high": share.high}
