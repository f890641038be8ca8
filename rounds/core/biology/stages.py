"""The stages of a pest, and which of them a find of a recorded stage may be."""

EGG, CRAWLER, LAYING = "egg", "L1", "A"
"""the first stage of every pest, the one that hatches from it, and the last"""

STAGES_OF = {"young": ("L1", "L2", "L3"), "adult": ("P", "A"), "eggs": ("egg",), "egg-mass": ("A",)}
"""Stages a find of a recorded stage may be of a mealybug; any where none was recorded."""

KNOWN = frozenset(code for codes in STAGES_OF.values() for code in codes)
"""Stages a pest may have: a find of any other could not be told from none."""
