"""A plant's zones carry all of its weight and share the seconds of its size."""

import pytest

from rounds.core.body import make_body
from rounds.service.logbook.parameters import load_parameters

PARAMETERS = load_parameters()

# The zones each growth form has besides these four, as growers are told them.
EVERY_FORM = {"stem-base", "pot-rim", "medium", "roots"}
FORMS = {
    "leafy-plant": {"axils", "undersides", "new-growth", "sheaths"},
    "shrub": {"axils", "undersides", "new-growth", "sheaths"},
    "climber": {"axils", "undersides", "new-growth", "sheaths"},
    "monopodial-orchid": {
        "axils",
        "undersides",
        "crown",
        "sheaths",
        "flower-spike",
        "flowers",
    },
    "sympodial-orchid": {
        "axils",
        "undersides",
        "new-growth",
        "sheaths",
        "pseudobulbs",
        "flower-spike",
        "flowers",
    },
    "rosette": {"axils", "undersides", "crown", "flowers"},
    "bulb": {"axils", "undersides", "crown", "flowers"},
    "stem-succulent": {"axils", "new-growth", "crown", "flowers"},
    "fern": {"axils", "undersides", "new-growth", "crown"},
}


def _weights(form: str) -> dict[str, float]:
    return {zone.zone: zone.weight for zone in make_body(form, "medium", False, PARAMETERS).zones}


def test_the_forms_are_the_known_ones() -> None:
    assert PARAMETERS.forms.keys() == FORMS.keys()


@pytest.mark.parametrize("form", FORMS)
def test_a_form_has_its_zones_once_with_all_the_weight(form: str) -> None:
    body = make_body(form, "medium", False, PARAMETERS)
    codes = [zone.zone for zone in body.zones]
    assert sorted(codes) == sorted(FORMS[form] | EVERY_FORM)
    assert codes[-1] == "roots"
    assert sum(zone.weight for zone in body.zones) == pytest.approx(1, abs=1e-12)
    assert [zone.zone for zone in body.outside] == codes[:-1]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(("size", "seconds"), [("small", 60), ("medium", 180), ("large", 360)])
def test_outside_zones_share_the_seconds_by_weight(form: str, size: str, seconds: float) -> None:
    body = make_body(form, size, False, PARAMETERS)
    assert sum(zone.reference_seconds for zone in body.outside) == pytest.approx(seconds)
    per_weight = {zone.reference_seconds / zone.weight for zone in body.outside}
    assert max(per_weight) == pytest.approx(min(per_weight))
    assert body.zone("roots").reference_seconds == 120


def test_the_leafy_plant_is_as_in_the_parameter_table() -> None:
    body = make_body("leafy-plant", "medium", False, PARAMETERS)
    got = {zone.zone: (zone.weight, zone.tucked_share) for zone in body.zones}
    expected = {
        "axils": (0.35, 0.40),
        "undersides": (0.25, 0.20),
        "new-growth": (0.15, 0.30),
        "sheaths": (0.10, 0.60),
        "stem-base": (0.05, 0.40),
        "pot-rim": (0.03, 0.40),
        "medium": (0.02, 0.40),
        "roots": (0.05, 1),
    }
    assert got.keys() == expected.keys()
    for code, pair in expected.items():
        assert got[code] == pytest.approx(pair, abs=1e-12)
    assert body.zone("axils").reference_seconds == pytest.approx(180 * 0.35 / 0.95)


def test_zones_that_draw_on_the_same_one_share_its_weight() -> None:
    weights = _weights("sympodial-orchid")
    for code in ("new-growth", "flower-spike", "flowers"):
        assert weights[code] == pytest.approx(0.15 / 3)
    for code in ("sheaths", "pseudobulbs"):
        assert weights[code] == pytest.approx(0.10 / 2)
    assert weights["axils"] == pytest.approx(0.35)


def test_a_zone_that_draws_on_an_absent_one_takes_all_of_its_weight() -> None:
    weights = _weights("rosette")
    assert weights["flowers"] == pytest.approx(0.15)
    assert weights["crown"] == pytest.approx(0.10)


def test_what_nobody_draws_on_is_merged_into_the_others_in_proportion() -> None:
    # No undersides: what is left of 1 is .75.
    weights = _weights("stem-succulent")
    assert weights["axils"] == pytest.approx(0.35 / 0.75)
    assert weights["new-growth"] == weights["flowers"] == pytest.approx(0.15 / 2 / 0.75)
    assert weights["roots"] == pytest.approx(0.05 / 0.75)


def test_a_drawing_zone_is_as_tucked_away_as_the_one_it_draws_on() -> None:
    orchid = make_body("monopodial-orchid", "medium", False, PARAMETERS)
    assert [orchid.zone(code).tucked_share for code in ("crown", "sheaths")] == [0.6, 0.6]
    assert [orchid.zone(code).tucked_share for code in ("flowers", "flower-spike")] == [0.3, 0.3]


def test_a_zone_the_form_does_not_have_is_refused() -> None:
    with pytest.raises(KeyError, match="flowers"):
        make_body("fern", "small", False, PARAMETERS).zone("flowers")


@pytest.mark.parametrize(("form", "size"), [("moss", "small"), ("fern", "huge")])
def test_an_unknown_form_or_size_is_refused(form: str, size: str) -> None:
    with pytest.raises(KeyError):
        make_body(form, size, False, PARAMETERS)


def test_the_same_body_is_handed_out_again() -> None:
    first = make_body("fern", "small", True, PARAMETERS)
    assert make_body("fern", "small", True, PARAMETERS) is first
    assert make_body("fern", "small", False, PARAMETERS) != first
    assert first.clear_pot
