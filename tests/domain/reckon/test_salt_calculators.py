import pytest
from msgspec.structs import replace

from evenwater.domain.errors import Contradiction
from evenwater.domain.reckon import nitrite_chloride, salt_for_salinity, volume_by_salt

POND = salt_for_salinity.CALCULATOR.example
TEST = volume_by_salt.CALCULATOR.example
WATER = nitrite_chloride.CALCULATOR.example


def test_salt_is_told_in_kilograms_with_the_caution_at_the_act():
    result, workings = salt_for_salinity.reckon(POND)
    assert result.salt_g == pytest.approx(16_800.0 * 0.8 / 0.99)
    assert workings.result == "13.6 kg of salt"
    assert "fish vet" in workings.warnings[0]


def test_salt_that_is_there_already_takes_none_and_says_what_lowers_it():
    result, workings = salt_for_salinity.reckon(replace(POND, salinity_now_g_per_l=2.0))
    assert result.salt_g == 0.0
    assert "change of water" in workings.warnings[0]


def test_less_pure_salt_tells_of_less_water():
    pure, raw = (volume_by_salt.reckon(replace(TEST, purity_fraction=one))[0].volume_l for one in (1.0, 0.9))
    assert raw == pytest.approx(0.9 * pure)


def test_a_small_rise_leaves_the_volume_unsure():
    clear, _ = volume_by_salt.reckon(TEST)
    faint, _ = volume_by_salt.reckon(replace(TEST, ec25_after_us_per_cm=440.0))
    assert clear.volume_sd_l / clear.volume_l < 0.04
    assert faint.volume_sd_l / faint.volume_l > 0.25


@pytest.mark.parametrize("after", [429.9, 420.0, 400.0])
def test_no_rise_to_speak_of_is_refused(after):
    with pytest.raises(Contradiction) as refused:
        volume_by_salt.reckon(replace(TEST, ec25_after_us_per_cm=after))
    assert refused.value.where == "ec25_after_us_per_cm"


def test_missing_chloride_is_told_as_salt():
    result, workings = nitrite_chloride.reckon(WATER)
    assert result.ratio == 6.0
    assert result.salt_mg_per_l == pytest.approx(8.0 / 0.6066, rel=1e-4)
    assert "fish vet" in workings.warnings[0]


def test_without_nitrite_there_is_no_ratio_and_no_salt():
    result, workings = nitrite_chloride.reckon(replace(WATER, nitrite_n_mg_per_l=0.0))
    assert (result.ratio, result.salt_mg_per_l, workings.warnings) == (None, 0.0, ())
    assert workings.result.startswith("no nitrite")
