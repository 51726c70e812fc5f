"""Doubts about typed values, held to the cases both copies answer. The browser's turn is in tests/journeys."""

import importlib.util
from collections import Counter
from pathlib import Path

import msgspec
import pytest

from evenwater.domain.quantities import QUANTITIES, Quantity
from evenwater.domain.water.doubts import PERCENT_OF_SATURATION, Doubt, doubt

FILE = Path(__file__).with_name("doubt_cases.json")


class Case(msgspec.Struct):
    name: str
    quantity: str
    value: float
    expected: tuple[float, float] | None
    doubt: Doubt | None


class Cases(msgspec.Struct):
    quantities: dict[str, Quantity]
    cases: list[Case]


@pytest.fixture(scope="module")
def written() -> Cases:
    return msgspec.json.decode(FILE.read_bytes(), type=Cases)


def test_every_case_is_answered_as_written(written):
    for case in written.cases:
        assert doubt(QUANTITIES[case.quantity], case.value, case.expected) == case.doubt, case.name


def test_the_file_is_what_its_generator_writes(written):
    spec = importlib.util.spec_from_file_location("make_doubt_cases", FILE.with_name("make_doubt_cases.py"))
    maker = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(maker)
    assert msgspec.convert(msgspec.to_builtins(maker.cases()), list[Case]) == written.cases
    assert written.quantities == QUANTITIES


def test_every_kind_of_doubt_and_every_unit_is_among_the_cases(written):
    kinds = Counter(case.doubt.kind if case.doubt else "none" for case in written.cases)
    assert min(kinds[kind] for kind in ("jump", "unit", "slip", "none")) >= 5
    asked = {(case.quantity, case.doubt.unit) for case in written.cases if case.doubt and case.doubt.unit}
    # A share of 78 is refused as impossible before anybody asks; what is read in its other unit anyway is left out.
    assert {quantity for quantity, one in QUANTITIES.items() if one.others and one.shown_in is None} <= {
        quantity for quantity, _ in asked
    }
    assert ("oxygen_mg_per_l", PERCENT_OF_SATURATION) in asked


@pytest.mark.parametrize(
    ("quantity", "typed", "expected", "meant", "tolerance"),
    [
        # 1 degree = 17.8 mg/L CaCO3 and 0.357 meq/L: ChemLin lexicon, "Deutscher Haertegrad"; printed to three figures.
        ("kh_dkh", 89.0, (4.2, 6.1), 89.0 / 17.8, 0.003),
        ("kh_dkh", 1.8, (4.5, 6.0), 1.8 / 0.357, 0.003),
        # 32 °F = 0 °C and 212 °F = 100 °C by definition.
        ("temperature_c", 55.0, None, (55.0 - 32.0) * 100 / 180, 1e-12),
        # NO3 62.00 and N 14.007 g/mol, from memory of the periodic table.
        ("nitrate_n_mg_per_l", 44.0, (5.0, 15.0), 44.0 * 14.007 / 62.00, 1e-3),
        ("nitrite_n_mg_per_l", 0.33, (0.05, 0.15), 0.33 * 14.007 / 46.01, 1e-3),
    ],
)
def test_what_was_meant_agrees_with_published_factors(quantity, typed, expected, meant, tolerance):
    found = doubt(QUANTITIES[quantity], typed, expected)
    assert found is not None
    assert found.kind == "unit"
    assert found.meant == pytest.approx(meant, rel=tolerance)


@pytest.mark.parametrize("degrees", [1.0, 2.2, 4.0, 6.5, 10.0, 15.0])
@pytest.mark.parametrize("known", [False, True])
def test_alkalinity_in_milligrams_is_recognised_at_every_kh_a_pond_may_have(degrees, known):
    # 17.8 mg/L CaCO3 for a degree: ChemLin lexicon, as above; laboratories and geological surveys print milligrams.
    expected = (0.8 * degrees, 1.25 * degrees) if known else None
    found = doubt(QUANTITIES["kh_dkh"], 17.8 * degrees, expected)
    assert found is not None
    assert (found.kind, found.unit) == ("unit", "mg/L as CaCO₃")
    assert found.meant == pytest.approx(degrees, rel=0.003)


@pytest.mark.parametrize("quantity", list(QUANTITIES.values()), ids=list(QUANTITIES))
def test_the_usual_lies_within_the_possible_and_is_never_asked_about(quantity):
    low, high = quantity.usual
    assert quantity.low <= low < high <= quantity.high
    for value in (low, (low + high) / 2, high):
        assert doubt(quantity, value, None) is None


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_no_number_is_left_to_the_field(value):
    assert doubt(QUANTITIES["kh_dkh"], value, (4.0, 6.0)) is None
    assert doubt(QUANTITIES["oxygen_mg_per_l"], value, None) is None
