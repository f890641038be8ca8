"""Whether the finds of all plants together are such as the sums suppose."""

from collections.abc import Iterable

from rounds.core.parameters import Infestation
from rounds.service.plant.status import PlantStatus


def misfit_of_all(statuses: Iterable[PlantStatus], infestation: Infestation) -> str | None:
    """The assumption under which the finds of all plants are far likelier; None without one.

    None as well as long as the band of any of them is not worked out.
    """
    # not needed where a plan alone is asked for
    from rounds.core.inference.misfit import collection_misfit

    bands = [status.band for status in statuses]
    fits = [band.fits for band in bands if band is not None]
    if len(fits) < len(bands):
        return None
    return collection_misfit(fits, infestation.fit_all)
