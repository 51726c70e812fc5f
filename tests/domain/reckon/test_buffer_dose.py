from msgspec.structs import replace

from evenwater.domain.reckon.buffer_dose import CALCULATOR, BufferDoseInput, reckon

POND = CALCULATOR.example


def test_the_dose_is_exact_and_the_capfuls_are_to_the_nearest_quarter():
    result, workings = reckon(POND)
    assert round(result.dose_g, 6) == 605.271648
    assert (result.capfuls, result.kh_after_dkh) == (22.5, 5.0)
    assert workings.result == "605.3 g, about 22.5 capfuls, for a KH of 5 °dKH"


def test_a_target_below_the_present_kh_takes_nothing_and_says_so():
    result, workings = reckon(replace(POND, kh_now_dkh=6.0))
    assert (result.dose_g, result.capfuls, result.kh_after_dkh) == (0.0, 0.0, 6.0)
    assert "above the target already" in workings.warnings[0]


def test_a_rise_of_a_day_is_not_warned_of_and_more_is():
    assert reckon(POND)[1].warnings == ()
    assert "over 2 days" in reckon(replace(POND, kh_target_dkh=5.01))[1].warnings[0]
    (warning,) = reckon(replace(POND, kh_target_dkh=6.5))[1].warnings
    assert "Spread it over 3 days or more" in warning and "no source" in warning


def test_a_rise_of_one_degree_between_uneven_floats_is_a_day():
    uneven: BufferDoseInput = replace(POND, kh_now_dkh=7.3, kh_target_dkh=8.3)
    assert uneven.kh_target_dkh - uneven.kh_now_dkh > 1.0
    assert reckon(uneven)[1].warnings == ()


def test_the_whole_dose_is_given_in_one_number_however_great_the_rise():
    once, thrice = reckon(POND)[0], reckon(replace(POND, kh_target_dkh=7.0))[0]
    assert round(thrice.dose_g / once.dose_g, 9) == 3.0


def test_the_steps_come_to_the_dose():
    steps = {step.text.partition(" =")[0]: step.value for step in reckon(POND)[1].steps}
    assert steps["alkalinity"] == "0.3567 meq/L"
    assert steps["the same as calcium carbonate"] == "17.8 mg/L"
    assert steps["pure substance"] == "599.2 g"
    assert steps["dose"] == "605.3 g"
