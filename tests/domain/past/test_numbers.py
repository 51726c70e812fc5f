"""A number as people type it, and what is none."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenwater.domain.past.numbers import NoNumber, Number, decimal_of, is_formula, is_nothing, read_number


@pytest.mark.parametrize(
    ("text", "decimal", "value"),
    [
        ("5,5", ",", 5.5),
        ("5.5", ",", 5.5),
        ("1.250", ",", 1250),
        ("1.250", ".", 1.25),
        ("1,250", ".", 1250),
        ("0,125", ".", 0.125),
        ("1.250,5", ",", 1250.5),
        ("1,250.5", ",", 1250.5),
        ("1.250.000", ",", 1_250_000),
        ("1 250,5", ",", 1250.5),
        ("1\u202f250", ",", 1250),
        ("1'250", ".", 1250),
        ("−3", ".", -3),
        ("+5", ".", 5),
        (".5", ".", 0.5),
        ("1.5E+02", ".", 150),
        ("<0.05", ".", 0.025),
        ("~ 5", ".", 5),
    ],
)
def test_a_number_is_read(text: str, decimal: str, value: float) -> None:
    assert read_number(text, decimal) == Number(value, "")  # type: ignore[arg-type]


@pytest.mark.parametrize(("text", "unit"), [("5,5 dKH", "dKH"), ("89mg/l", "mg/l"), ("12 °C", "°C"), ("5-6", "-6")])
def test_what_stands_behind_a_number_is_for_a_unit(text: str, unit: str) -> None:
    number = read_number(text, ",")
    assert isinstance(number, Number) and number.unit == unit


@pytest.mark.parametrize(
    "text", ["=A1+1", "+A1", "-(A1)", "@SUM(A1)", " =2", "#DIV/0!", ">10", "abc", "1.2.3", "1,2,3.4"]
)
def test_what_is_no_number_is_named(text: str) -> None:
    assert isinstance(read_number(text, "."), NoNumber)


def test_a_formula_is_named_and_never_worked_out() -> None:
    assert [text for text in ("=1", "=5.5", "-5", "+5", "-", "+", "@x") if is_formula(text)] == ["=1", "=5.5", "@x"]


@pytest.mark.parametrize("text", ["", " ", "-", "–", "n/a", "N/A", "k.A.", "x", "?"])
def test_nothing_measured_has_many_words(text: str) -> None:
    assert is_nothing(text)


@pytest.mark.parametrize(
    ("cells", "sign"),
    [
        (["5,5", "6"], ","),
        (["5.5", "6,0", "7.25"], "."),
        (["1.250", "980"], None),
        (["1.250,5"], ","),
        (["1.250.000"], ","),
        ([], None),
    ],
)
def test_a_column_shows_its_decimal_sign(cells: list[str], sign: str | None) -> None:
    assert decimal_of(cells) == sign


@given(st.text(max_size=40), st.sampled_from([",", "."]))
def test_any_text_is_a_number_or_none(text: str, decimal: str) -> None:
    found = read_number(text, decimal)  # type: ignore[arg-type]
    assert found.right if isinstance(found, NoNumber) else math.isfinite(found.value)
    assert decimal_of([text]) in (",", ".", None)


@given(st.floats(-1e6, 1e6), st.integers(0, 4), st.sampled_from([",", "."]))
def test_a_number_written_out_is_read_back(value: float, decimals: int, sign: str) -> None:
    text = f"{value:.{decimals}f}"
    assert read_number(text.replace(".", sign), sign) == Number(float(text), "")  # type: ignore[arg-type]
