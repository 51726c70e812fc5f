"""Figures in words: volumes and masses as their keeper reads them, and what is not known."""

import pytest

from evenwater.domain.pond import Pond
from evenwater.domain.report.words import mass_words, told_apart, volume_words

METRIC, BRITISH = Pond(id="main"), Pond(id="main", units={"mass": "lb oz", "volume": "imp gal"})


@pytest.mark.parametrize(
    ("mass_g", "metric", "british"),
    [
        (0, "0 g", "0 oz"),
        (840, "840 g", "1 lb 14 oz"),
        (453.6, "454 g", "1 lb"),
        (2834, "2.83 kg", "6 lb 4 oz"),
        (22_500, "22.5 kg", "50 lb"),
    ],
)
def test_a_mass_is_told_as_its_keeper_reads_it(mass_g, metric, british):
    assert (mass_words(METRIC, mass_g), mass_words(BRITISH, mass_g)) == (metric, british)


def test_a_volume_is_told_as_its_keeper_reads_it():
    assert [volume_words(METRIC, volume_l) for volume_l in (800, 16_800)] == ["800 L", "16.8 m³"]
    assert volume_words(BRITISH, 16_800) == "3,695 imp gal"


def test_what_is_nowhere_known_is_left_out_of_a_table():
    columns, rows = told_apart(("", "a", "b"), [("one", "1", "–"), ("two", "not known", "–"), ("three", "3", "")])
    assert (columns, rows) == (("", "a"), (("one", "1"), ("three", "3")))
    assert told_apart(("", "a"), [("one", "–")]) == ((), ())
