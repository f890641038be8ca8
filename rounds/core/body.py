"""The plant as the eye goes over it: its zones, their weight and their reference seconds."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rounds.core.parameters import Parameters, ZoneShare

ROOTS = "roots"
MEDIUM = "medium"


@dataclass(frozen=True, slots=True)
class ZoneReference:
    """A zone of one plant; the weights of all its zones sum to 1.

    `tucked_share` of what is there is out of reach from outside; a look of `reference_seconds`
    finds with the chances of the parameter table.
    """

    zone: str
    weight: float
    tucked_share: float
    reference_seconds: float


@dataclass(frozen=True, slots=True)
class Body:
    """A growth form in a size. Zones from top to bottom, roots last."""

    form: str
    size: str
    clear_pot: bool
    """the roots can be seen without unpotting"""
    zones: tuple[ZoneReference, ...]

    @property
    def outside(self) -> tuple[ZoneReference, ...]:
        """All zones but the roots."""
        return tuple(zone for zone in self.zones if zone.zone != ROOTS)

    def zone(self, code: str) -> ZoneReference:
        """The zone of that code.

        Raises:
            KeyError: this growth form has no such zone.
        """
        for zone in self.zones:
            if zone.zone == code:
                return zone
        raise KeyError(code)

    def as_planned(self, code: str) -> ZoneReference:
        """The zone of that code; one of weight 0 where the growth form was corrected since.

        Its reference seconds are then the mean of those of the outside zones.
        """
        for zone in self.zones:
            if zone.zone == code:
                return zone
        seconds = sum(zone.reference_seconds for zone in self.outside) / len(self.outside)
        return ZoneReference(code, 0.0, 0.0, seconds)


def make_body(form: str, size: str, clear_pot: bool, parameters: Parameters) -> Body:
    """The body of a plant; memoised.

    The seconds of its size are shared over the outside zones by weight; the roots have their own.

    Raises:
        KeyError: no such growth form or size.
    """
    inspection = parameters.inspection
    return _body(
        form,
        size,
        clear_pot,
        parameters.forms[form],
        inspection.reference_seconds[size],
        inspection.roots_reference_seconds,
    )


# Parameters hold mappings and cannot be hashed: what the body is made of is the key.
@lru_cache(maxsize=256)
def _body(
    form: str,
    size: str,
    clear_pot: bool,
    shares: tuple[ZoneShare, ...],
    outside_seconds: float,
    roots_seconds: float,
) -> Body:
    per_weight = outside_seconds / _outside_weight(shares)
    zones = tuple(
        ZoneReference(
            zone=share.zone,
            weight=share.weight,
            tucked_share=share.tucked_share,
            reference_seconds=roots_seconds if share.zone == ROOTS else per_weight * share.weight,
        )
        for share in shares
    )
    return Body(form, size, clear_pot, zones)


def shares_of(
    zones: Sequence[str],
    weight: Mapping[str, float],
    tucked: Mapping[str, float],
    donors: Mapping[str, str],
) -> tuple[ZoneShare, ...]:
    """Shares of a growth form with these zones, from those of the leafy plant.

    A donor's weight goes in equal parts to the zones that draw on it. What nobody draws on is
    merged into the others in proportion, which is what dividing by the sum does.

    Raises:
        KeyError: a zone that has no weight and draws on none; named.
    """
    donor_of = {zone: donors.get(zone, zone) for zone in zones}
    for zone, donor in donor_of.items():
        if donor not in weight or donor not in tucked:
            raise KeyError(zone)
    drawing = Counter(donor_of.values())
    drawn = {zone: weight[donor] / drawing[donor] for zone, donor in donor_of.items()}
    whole = sum(drawn.values())
    return tuple(ZoneShare(zone, drawn[zone] / whole, tucked[donor_of[zone]]) for zone in zones)


def _outside_weight(shares: Iterable[ZoneShare]) -> float:
    return sum(share.weight for share in shares if share.zone != ROOTS)
