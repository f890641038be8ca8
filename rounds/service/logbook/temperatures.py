"""How warm it was where a plant stood, from what was entered and what is usual there."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from rounds.core.biology.degree_days import day_degree_days
from rounds.core.collection import Place, Plant, WeatherDay
from rounds.core.parameters import Warmth

MEAN_OVER_DAYS = 14
"""The days whose mean temperature a forecast goes on with."""


class Temperatures:
    """Degree-days by plant and day. Days are filled with the usual temperature of the place."""

    def __init__(
        self,
        places: Mapping[int, Place],
        weather: Mapping[int, Mapping[date, WeatherDay]],
        usual_c: float,
    ) -> None:
        self._places = places
        self._weather = weather
        self._usual_c = usual_c
        self._means: dict[tuple[int | None, date], float] = {}
        """mean temperature of the last days up to one, by the place stood in all of them"""

    def range_c(self, plant: Plant, day: date) -> tuple[float, float]:
        """Least and greatest temperature where the plant stood on a day, degC."""
        move = plant.move_on(day)
        if move is None:
            return self._usual_c, self._usual_c
        entered = self._weather.get(move.place_id, {}).get(day)
        if entered is not None:
            return entered.min_c, entered.max_c
        usual = self._places[move.place_id].usual_c(day)
        usual_c = self._usual_c if usual is None else usual
        return usual_c, usual_c

    def is_assumed(self, plant: Plant, day: date) -> bool:
        """Whether nobody entered a temperature for where the plant stood."""
        move = plant.move_on(day)
        if move is None:
            return True
        entered = day in self._weather.get(move.place_id, {})
        return not entered and self._places[move.place_id].usual_c(day) is None

    def warmer(
        self, plant: Plant, first: date, on: date, limit_c: float
    ) -> list[tuple[date, float]]:
        """The days from `first` to `on` warmer than a limit where the plant stood, and how warm."""
        days = [first + timedelta(number) for number in range((on - first).days + 1)]
        greatest = [(day, self.range_c(plant, day)[1]) for day in days]
        return [(day, celsius) for day, celsius in greatest if celsius > limit_c]

    def degree_days(self, plant: Plant, first: date, before: date, warmth: Warmth) -> float:
        """A pest's degree-days from `first` up to the day before `before`, degC."""
        return sum(
            day_degree_days(*self.range_c(plant, first + timedelta(days)), warmth)
            for days in range((before - first).days)
        )

    def rate(self, plant: Plant, on: date, warmth: Warmth) -> float:
        """A pest's degree-days a day at the mean temperature of the last 14 days up to `on`."""
        mean_c = self.mean_c(plant, on)
        return day_degree_days(mean_c, mean_c, warmth)

    def mean_c(self, plant: Plant, on: date) -> float:
        """Mean temperature of the last 14 days up to `on`, degC."""
        days = [on - timedelta(back) for back in range(MEAN_OVER_DAYS)]
        stood = {move.place_id if move else None for move in map(plant.move_on, days)}
        if len(stood) > 1:
            return self._mean_of(plant, days)
        # all plants that stood in one place all the while share it
        of = stood.pop(), on
        if of not in self._means:
            self._means[of] = self._mean_of(plant, days)
        return self._means[of]

    def _mean_of(self, plant: Plant, days: Sequence[date]) -> float:
        return sum(sum(self.range_c(plant, day)) / 2 for day in days) / len(days)
