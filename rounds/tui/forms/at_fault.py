"""Which field of a form a fault speaks of: its fields by those of the model."""

from collections.abc import Mapping

from rounds.errors import RoundsError
from rounds.tui.forms.fields import FieldFault, Form

FORM_FIELDS: Mapping[str, tuple[str, ...]] = {
    "arrived": ("arrived",),
    # for a plant that exists the day is at fault: before it came, or after it was gone
    "code": ("code", "day", "from"),
    "codes": ("codes",),
    "count": ("count",),
    "day": ("day", "from"),
    "dislikes": ("dislikes",),
    "doubtful": ("doubtful",),
    "first_day": ("from",),
    "form": ("form",),
    "how": ("how",),
    "insects_seen": ("insects_seen",),
    "interval_days": ("interval_days",),
    "into": ("into",),
    "killed": ("killed",),
    "kills": ("kills",),
    "kind": ("kind",),
    "last_day": ("to",),
    "left": ("left",),
    "max_c": ("greatest",),
    "min_c": ("least",),
    "most_uses": ("most_uses",),
    "name": ("name",),
    "names": ("names",),
    "on": ("day", "from"),
    "opened": ("opened",),
    "place": ("place",),
    "product": ("product",),
    "reentry_hours": ("reentry_hours",),
    "removed": ("removed",),
    "roots_seen": ("roots_seen",),
    "seconds": ("seconds",),
    "size": ("size",),
    "source": ("source",),
    "spot": ("spot",),
    "stage": ("stage",),
    "stock_percent": ("stock",),
    "target_percent": ("target",),
    "touches": ("touches",),
    "units": ("units",),
    "unpotted": ("unpotted",),
    "usual_c": ("usual_c",),
    "value": ("value", "new_value"),
    "volume_ml": ("volume",),
    "why": ("why",),
    "zone": ("zone",),
}
"""Codes of form fields by field of the model; the first one that a form has is meant."""


def at_fault(form: Form, fault: FieldFault | RoundsError) -> int | None:
    """Index of the form's field that a fault is about, if any; the fault then names its label."""
    if fault.field is None:
        return None
    codes = [field.code for field in form.fields]
    named = FORM_FIELDS.get(fault.field, (fault.field,))
    place = next((codes.index(code) for code in named if code in codes), None)
    if place is not None and isinstance(fault, RoundsError):
        fault.argument = form.fields[place].label
    return place
