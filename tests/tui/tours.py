"""Ways through the screens: every page there is, each reached from the first by keys alone."""

from tests.tui.touring import (
    HOME,
    Step,
    Tour,
    begun_elsewhere,
    day_after,
    days_month_first,
    desk_line,
    desk_number,
    first_plant,
    found_on,
    long_enough,
    next_day,
    next_in_one_go,
    plant,
    plant_line,
    same_step,
    setting,
    taken_elsewhere,
    to_the_end,
    value,
    weeks_later,
)

DESK = Tour(
    (
        Step("today"),
        Step("today-help", ("h",)),
        Step("line", ("h", "1")),
        Step("minutes", ("m", *"12q4")),
        Step("minutes-bad", ("enter",)),
        Step("minutes-changed", ("m", *"25", "enter")),
        Step("today-by-risk", ("o",)),
        Step("today-as-usual", ("o", "m", *"10", "enter", "down")),
        Step("coming", (HOME, "j")),
        Step("coming-help", ("h",)),
        Step("desk", (HOME, "0", "enter")),
        Step("desk-help", ("h",)),
        Step("plants", (HOME, "l")),
        Step("plants-further", ("pagedown", "space")),
        Step("plants-watch", (*"llll", "o", "o")),
        Step("plants-by-streak", (*"lll", "o", "space")),
        Step("plants-typing", (*"lll", "0", "enter", *"G99")),
        Step("plants-new", ("enter",)),
        Step("plants-help", ("n", "h")),
        Step("plant", plant("S03")),
        Step("plant-take-back", ("x",)),
        Step("history", ("n", "1", "enter", "space", "space")),
        Step("visit", ("b", "enter")),
        Step("visit-entry", ("4", "enter")),
        Step("plant-watch", plant("G05")),
        Step("plant-help", ("h",)),
        Step("plant-apart", ("h", "p")),
        Step("plant-put-apart", ("p",)),
        Step("doubts", (HOME, "u")),
        Step("doubts-help", ("h",)),
        Step("visit-doubt", ("h", "enter", "1", "enter", "enter", "8", "enter")),
        Step("doubts-none", (HOME, "u", "g")),
    ),
    any_book=True,
)

QUARANTINE = Tour(
    (
        Step("release", (*plant("S03"), "2", "enter")),
        Step("release-help", ("h",)),
        Step("release-not-yet", (*plant("G07"), "2", "enter")),
        Step("reason", ("y", *"alone", "space", "q")),
        Step("released", ("enter",)),
        Step("put-back", ("y",)),
        Step("plant-put-back", ("q",)),
    ),
    any_book=True,
)

CHARTS = Tour(
    (
        Step("chart-finds", (*plant("S09"), "j")),
        Step("chart-finds-read", ("o",)),
        Step("chart-help", ("h",)),
        Step("what-if", ("enter",), plant_line("S09", "end-quarantine")),
        Step("what-if-changed", ("3", "enter")),
        Step("what-if-help", ("h",)),
        Step("chart-weeks", (), desk_line("charts")),
        Step("chart-zones", ("space", "space")),
        Step("chart-eye", ("b", "b", "b")),
    ),
)

ROUND = Tour(
    (
        Step("round", ("enter",)),
        Step("round-help", ("h",)),
        Step("figures", ("1", "2")),
        Step("hidden", ("c",)),
        Step("counted", ("x", "w")),
        Step("live-find", ("3", "f", "a")),
        Step("live-find-apart", ("p",)),
        Step("taken-back", ("x",)),
        Step("later", ("z",)),
        Step("hygiene", ("v",)),
        Step("hygiene-key", ("f",)),
        Step("summary", (), to_the_end),
        Step("after-the-round", ("space",)),
    ),
    any_book=True,
    book="few",
)

OUT_OF_TURN = Tour(
    (
        Step("put-off", ("enter", "z")),
        Step("put-off-why", ("1",)),
        Step("put-off-said", ("2",)),
        Step("another-plant", ("l",)),
        Step("another-plant-typed", ("g", "0")),
        Step("another-zone", ("enter",)),
        Step("another-open", ("3",)),
        Step("back-from-another", ("w", "space")),
        Step("put-off-tomorrow", ("z", "2", "space")),
    ),
    any_book=True,
    book="few",
)

LATER = Tour(
    (
        Step("under-way", ("enter", "w", "space", "2", "s", "z", "space", "5", "f", "q")),
        Step("doubt", ("enter",), next_day),
        Step("alive", ("y",)),
        Step("left-there", ("z", "space")),
        Step("held-key", ("z", "space", "f", "f", "f", "f", "x")),
    ),
    book="few",
)

TWO = Tour(
    (
        Step("take-over", ("enter",), begun_elsewhere),
        Step("taken-over", ("y",)),
        Step("left-behind", (), taken_elsewhere),
    ),
    book="few",
)

BENCH = Tour(
    (
        Step("signs", ("enter", "2", "d", "z", "i")),
        Step("signs-kept", ("1",)),
        Step("signs-listed", ("space", "i", "3", "space")),
        Step("bodies", ("enter",), day_after),
        Step("second-look", ("space",), long_enough),
        Step("second-look-begun", ("y",)),
        Step("whole-plant", (), next_in_one_go),
        Step("whole-plant-where", ("2", "f")),
        Step("whole-plant-opened", ("3",)),
        Step("visit-signs", (*plant("G02"), "2", "enter", "space", "enter")),
    ),
    book="few",
)

FORMS = Tour(
    (
        Step("new-plant", ("l", "0", "enter", *"Gaff", "enter", "y", "down")),
        Step("new-plant-form", ("down", "down", "down")),
        Step("new-plant-fault", (*"palm", "enter")),
        Step("new-plant-ask", (*["backspace"] * 4, "5", "enter", "pagedown")),
        Step("new-plant-kept", ("y",)),
        Step("look", ("n", *plant("S03"), "8", "enter")),
        Step("look-ask", ("down", *"axils", "enter", *"40", "enter", "2", "pagedown")),
        Step("look-kept", ("y",)),
        Step("move", ("enter", "3", "enter")),
        Step("move-ask", ("2", "enter", "pagedown")),
        Step("edit", ("q", "6", "enter")),
        Step("edit-refused", ("pagedown",)),
        Step("gone", ("q", "7", "enter")),
        Step("gone-ask", ("pagedown",)),
        Step("correct", ("q", "1", "enter", "enter", "2", "enter", "enter", "down")),
        Step("correct-ask", ("7", "pagedown")),
        Step("corrected", ("y",)),
        Step("visit-corrected", ("enter",)),
    ),
    book="few",
)

LIVES = Tour(
    (
        Step("repot", (*plant("S03"), "4", "enter")),
        Step("repot-roots", ("enter", "enter", "y", "enter", *"60", "enter", "2", "enter")),
        Step("repot-ask", ("pagedown",)),
        Step("repot-kept", ("y",)),
        Step("divide", ("enter", "5", "enter")),
        Step("divide-codes", ("3", "enter")),
        Step("divide-fault", (*"S77", "pagedown")),
        Step("divide-ask", ("n", "-", "enter", "pagedown")),
        Step("divide-kept", ("y",)),
        Step("plant-divided", ("enter",)),
        Step("history-divided", ("2", "enter")),
        Step("plant-part", plant("S04")),
        Step("history-part", ("2", "enter", *["space"] * 4, "x")),
        Step("plants-since", (HOME, "l")),
        Step("plants-since-help", ("h",)),
    ),
    book="few",
)

HANDS = Tour(
    (
        Step("from-sheet", ("0", "enter", *desk_number("from-sheet"), "enter")),
        Step("from-sheet-who", (*"yesterday", "enter")),
        Step("from-sheet-zone", (*"Ada", "enter")),
        Step(
            "from-sheet-fault",
            (*"zones", "enter", "enter", *"2f", "space", *"1w", "enter", *"zz", "enter"),
        ),
        Step("from-sheet-write", (*["backspace"] * 2, "c", "enter", "v", "enter")),
        Step("from-sheet-kept", ("y",)),
        Step("from-sheet-back", ("x", "enter")),
        Step("from-sheet-again", ("q", "enter", *desk_number("from-sheet"), "enter")),
        Step("from-sheet-another", ("n",)),
        Step("from-sheet-whole", ("enter", "enter", *"whole", "enter")),
        Step("from-sheet-where", (*"84", "space", *"2fa", "enter")),
        Step("from-sheet-more", ("3", "enter")),
        Step("from-sheet-whole-write", ("c", "enter", "7", "enter", "enter")),
        Step("leaving-none", (HOME, "0", "enter", *desk_number("leaving"), "enter")),
        Step("away", ("q", *desk_number("away"), "enter")),
        Step("away-ask", (*"2026-05-05", "enter", *"2026-05-14", "enter")),
        Step("away-kept", ("y",)),
        Step("leaving", ("enter", *desk_number("leaving"), "enter", "space")),
        Step("leaving-help", ("h",)),
        Step("leaving-take-back", ("h", "x")),
        Step("back-today", (HOME,), weeks_later),
        Step("back-minutes", ("m", *"12", "enter")),
    ),
    any_book=True,
)

CURE = Tour(
    (
        Step("courses", (), plant_line("S03", "courses")),
        Step("begin-course", ("1", "enter")),
        Step("begin-course-ask", ("pagedown",)),
        Step("courses-running", ("y", "enter")),
        Step("course-done", ("1", "enter", "y")),
        Step("exposure", (), found_on("G02")),
        Step("exposure-watched", ("y",)),
        Step("delivery-form", (), desk_line("delivery")),
        Step(
            "delivery-ask",
            (*"ferry", "enter", *"4", "enter", *"Capstan", *["enter"] * 5, *"2", "pagedown"),
        ),
        Step("delivery", ("y", "enter")),
        Step("delivery-round", ("enter",)),
        Step("delivery-found", ("f", "a", "v")),
    ),
    book="few",
)

SHELF = Tour(
    (
        Step("begin-course-shelf", ("1", "enter", "2", "enter"), plant_line("G02", "courses")),
        Step("begin-course-shelf-ask", ("pagedown",)),
        Step("courses-shelf", ("y", "enter")),
        Step("steps", (), same_step),
        Step("steps-help", ("h",)),
        Step("steps-done", ("h", "v")),
    ),
    book="few",
)

START = Tour(
    (
        Step("first-start"),
        Step("first-place", (*"glass", "space", *"porch", "enter")),
        Step("first-plants", (*"Thole", "enter", *"G02", "space", *"Cuddy", "enter")),
        Step("first-size", ("enter", *"small", "enter")),
        Step("first-apart-where", (*"cuddy", "enter")),
        Step("first-apart", (*"stair", "space", *"foot", "enter")),
        Step("first-insects-seen", (*"ins", "enter")),
        Step("first-warmth", ("enter", *"12", "enter")),
        Step("first-removed-fault", (*"20", "enter", *"Cuddy", "space", *"axils", "enter")),
        Step("first-removed", ("space", "3", "enter")),
        Step("first-end", ("enter",)),
        Step("first-round", ("enter",)),
        Step("first-today", ("q",)),
    ),
    book="empty",
)

SETTINGS = Tour(
    (
        Step("settings", (), desk_line("settings")),
        Step("settings-help", ("h",)),
        Step("settings-typing", ("h", "2", "enter", *"12")),
        Step("settings-kept", ("enter",)),
        Step("settings-fahrenheit", (), setting("degrees")),
        Step("settings-usual", (*"900", "enter"), setting("usual")),
        Step("settings-who", (), desk_line("who")),
        Step("temperatures", ("enter", "enter"), desk_line("temperatures")),
        Step("temperatures-ask", (*"50", "enter", *"68", "enter")),
        Step("temperatures-kept", ("y",)),
        Step("dilution", (), desk_line("dilution")),
        Step("dilution-said", (*"70", "enter", *"35", "enter", *"100", "enter")),
        Step("values", (), desk_line("values")),
        Step("values-help", ("h",)),
        Step("values-fixed", (), value("pests.mealybug.stages.egg.sub_stages")),
        Step("values-form", (), value("forms.weight.axils")),
        Step("values-ask", (*".48", "enter", *"counted", "enter")),
        Step("values-changed", ("y", "enter")),
        Step("desk-values", ("q",)),
        Step("plant-values", (), first_plant),
        Step("today-month-first", (), days_month_first),
    ),
    book="few",
)

TOURS = {
    "desk": DESK,
    "quarantine": QUARANTINE,
    "charts": CHARTS,
    "round": ROUND,
    "out-of-turn": OUT_OF_TURN,
    "later": LATER,
    "two": TWO,
    "bench": BENCH,
    "forms": FORMS,
    "lives": LIVES,
    "hands": HANDS,
    "cure": CURE,
    "shelf": SHELF,
    "start": START,
    "settings": SETTINGS,
}
