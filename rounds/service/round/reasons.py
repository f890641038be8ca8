"""Why a look was closed as it was, as written in the log."""

IN_ONE_GO = "in-one-go"
"""Closed together as it was planned: shared seconds, taken back as one."""

ZONE_NOT_SAID = "zone-not-said"
"""Left with finds on a whole plant of which nobody said the zone: they stand at this one."""

HIDDEN_BECAUSE = ("out-of-reach", "covered", "too-dark", "would-break")
"""Why a zone cannot be seen, in the order of their numbers."""

SIGNS = ("ants", "stickiness", "soot")
"""What is seen of insects without one, in the order of their numbers."""

DETOUR = "find-seen"
"""Why a zone has a step that the plan did not have: something was seen there in passing."""

NO_REASON = "no-reason"

REOPENED = "reopened"
TAKEN_BACK = "taken-back"
