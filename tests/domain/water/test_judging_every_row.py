"""Every line of the table that needs more than one value, walked over values, cuts and neighbours, through the log."""

from datetime import timedelta
from itertools import product
from math import inf, nextafter

import pytest
from written_log import NOW

from evenwater.domain.water.outlook import Answer

ANSWERS = {"in_range", "drifting", "act_now"}
AT = NOW - timedelta(hours=1)
HOURS = timedelta(hours=1)


def nh3_mg_per_l(tan, ph, temperature_c):
    """Emerson et al. (1975), written again from the paper's equation as the design quotes it."""
    pka = 0.09018 + 2729.92 / (temperature_c + 273.15)
    return tan / (1 + 10 ** (pka - ph)) * 17.031 / 14.007


def ccc_mg_n_per_l(ph, temperature_c):
    """EPA 822-R-13-001 (2013), chronic, as the design quotes it."""
    by_ph = 0.0278 / (1 + 10 ** (7.688 - ph)) + 1.1994 / (1 + 10 ** (ph - 7.688))
    return 0.8876 * by_ph * 2.126 * 10 ** (0.028 * (20 - max(temperature_c, 7)))


@pytest.mark.parametrize(("ph", "temperature_c"), [*product((6.6, 7.2, 7.7, 8.2, 8.9), (3.0, 12.0, 20.0, 28.0))])
def test_ammonia_has_the_one_answer_of_the_table_at_every_total(log, ph, temperature_c):
    log.read("ph", ph, AT)
    log.read("temperature_c", temperature_c, AT)
    for i in range(41):
        tan = i * 0.05 * ccc_mg_n_per_l(ph, temperature_c)
        entries = list(log.entries)
        log.read("tan_mg_n_per_l", tan, AT, step=1e-9)
        judged = log.judged()
        log.entries = entries
        nh3, limit = nh3_mg_per_l(tan, ph, temperature_c), ccc_mg_n_per_l(ph, temperature_c)
        if abs(tan / limit - 0.5) < 1e-6 or abs(tan / limit - 1) < 1e-6:
            continue  # as good as on a cut; which cuts they are is held elsewhere
        act = nh3 >= 0.025 or tan >= limit
        fine = nh3 < 0.005 and tan < limit / 2
        assert judged["tan_mg_n_per_l", "pond"].answer == ("act_now" if act else "in_range" if fine else "drifting")
        by_nh3 = "act_now" if nh3 >= 0.025 else "drifting" if nh3 >= 0.005 else "in_range"
        assert judged["nh3_mg_per_l", "pond"].answer == by_nh3
        assert judged["nh3_mg_per_l", "pond"].value == pytest.approx(nh3, rel=1e-6)
        assert judged["nh3_mg_per_l", "pond"].emergency == (nh3 >= 0.1)


def neighbours(*cuts):
    return [near for cut in cuts for near in (nextafter(cut, -inf), cut, nextafter(cut, inf))]


@pytest.mark.parametrize("chloride", [None, 0.2, 1.0, 5.0, 100.0])
def test_nitrite_has_the_one_answer_of_the_table_with_and_without_chloride(log, chloride):
    if chloride is not None:
        log.read("chloride_mg_per_l", chloride, AT)
    for value in [*neighbours(0.0304, 0.152), 0.0, 0.02, 0.1, 0.3, 0.5, 1.0, 5.0]:
        entries = list(log.entries)
        log.read("nitrite_n_mg_per_l", value, AT, step=1e-18)
        judged = log.of("nitrite_n_mg_per_l")
        log.entries = entries
        ratio = inf if chloride is None or value == 0 else chloride / value
        expected: Answer = "in_range"
        if value >= 0.0304:
            expected = "act_now" if value >= 0.152 or ratio <= 10 else "drifting"
        assert judged.answer == expected, value
        assert judged.emergency == (ratio <= 3 and value >= 0.0304)


@pytest.mark.parametrize("temperature_c", [0.0, 5.0, 15.0, 25.0, 32.0])
def test_oxygen_has_the_one_answer_of_the_table_at_every_warmth(log, temperature_c):
    # Saturation at sea level, EN 25814 / ISO 5814 table as reprinted; 32 °C from the same equation by hand.
    full = {0.0: 14.62, 5.0: 12.77, 15.0: 10.08, 25.0: 8.26, 32.0: 7.30}[temperature_c]
    log.read("temperature_c", temperature_c, AT)
    for value in [0.0, 2.9, 3.0, 3.1, *neighbours(5.0, 7.0), 6.0, 8.0, 9.0, 10.0, 11.0, 12.0, 14.0, 16.0, 19.0, 30.0]:
        entries = list(log.entries)
        log.read("oxygen_mg_per_l", value, AT, step=1e-18)
        judged = log.of("oxygen_mg_per_l")
        log.entries = entries
        share = value / full
        if min(abs(share - 0.8), abs(share - 1.2)) < 0.003:
            continue  # within what the printed saturation is rounded to
        act, fine = value <= 5, value > 7 and 0.8 < share < 1.2
        assert judged.answer == ("act_now" if act else "in_range" if fine else "drifting"), value
        assert judged.emergency == (value <= 3)


@pytest.mark.parametrize(
    ("value", "answer"),
    [
        (15.9, "act_now"),
        (16.0, "act_now"),
        (16.1, "drifting"),
        (17.0, "drifting"),
        (17.1, "in_range"),
        (18.9, "in_range"),
        (19.0, "drifting"),
        (29.9, "drifting"),
        (30.0, "act_now"),
    ],
)
def test_a_heated_pond_in_the_dark_half_of_the_year_is_held_to_its_setting(log, value, answer):
    log.pond(latitude=51.0)
    log.tick("heater", AT.date(), "day", AT - 20 * 24 * HOURS, setting_c=18.0)
    log.read("temperature_c", value, AT, step=1e-9)
    assert log.of("temperature_c").answer == answer


@pytest.mark.parametrize(
    ("change", "hours", "answer"),
    [
        (0.9, 24, "in_range"),
        (1.0, 24, "drifting"),
        (-1.0, 24, "drifting"),
        (2.9, 24, "drifting"),
        (3.0, 24, "act_now"),
        (-3.0, 24, "act_now"),
        (2.0, 48, "drifting"),
        (1.9, 48, "in_range"),
        (0.9, 1, "in_range"),
        (1.0, 1, "act_now"),
        (-1.0, 0.5, "act_now"),
        (1.5, 2, "drifting"),
        (8.0, 73, None),
    ],
)
def test_a_change_of_warmth_has_the_one_answer_of_the_table(log, change, hours, answer):
    log.read("temperature_c", 18.3, AT - hours * HOURS)
    log.read("temperature_c", 18.3 + change, AT, step=1e-9)
    judged = log.judged().get(("temperature_change_c_per_day", "pond"))
    assert (judged and judged.answer) == answer


@pytest.mark.parametrize(
    ("swing", "answer"),
    [(0.0, "in_range"), (0.2, "in_range"), (0.3, "drifting"), (0.4, "drifting"), (0.5, "act_now"), (0.9, "act_now")],
)
def test_a_swing_of_ph_has_the_one_answer_of_the_table(log, swing, answer):
    log.read("ph", 7.8, AT - 8 * HOURS)
    log.read("ph", 7.8 + swing, AT, step=0.1)
    judged = log.of("ph_swing")
    assert judged.answer == answer
    assert judged.value == pytest.approx(swing)


def usual(log, value=400.0):
    for day in range(3, 20, 4):
        log.read("ec25_us_per_cm", value, NOW - timedelta(days=day))


@pytest.mark.parametrize(
    ("value", "answer"),
    [
        (319.0, "drifting"),
        (360.0, "drifting"),
        (361.0, "in_range"),
        (439.0, "in_range"),
        (440.0, "drifting"),
        (900.0, "act_now"),
    ],
)
def test_conductivity_has_the_one_answer_of_the_table(log, value, answer):
    # The last of the usual ones was three days before: 20 % in a day is 60 % by now, and 319 is not that far off.
    usual(log)
    log.read("ec25_us_per_cm", value, AT, step=1e-6)
    assert log.of("ec25_us_per_cm").answer == answer


@pytest.mark.parametrize(("salted", "answer"), [(False, "act_now"), (True, "not_known")])
def test_conductivity_up_by_a_fifth_in_a_day_is_act_now_unless_salt_was_written_down(log, salted, answer):
    usual(log)
    log.read("ec25_us_per_cm", 400.0, AT - 24 * HOURS)
    if salted:
        log.write("salt", AT - 12 * HOURS, salt_g=10_000)
    log.read("ec25_us_per_cm", 480.0, AT, step=1e-6)
    assert log.of("ec25_us_per_cm").answer == answer


@pytest.mark.parametrize(
    ("value", "salted", "answer"),
    [
        (0.9, False, "in_range"),
        (1.0, False, "drifting"),
        (3.0, False, "act_now"),
        (2.9, True, "in_range"),
        (3.0, True, "drifting"),
        (4.9, True, "drifting"),
        (5.0, True, "act_now"),
    ],
)
def test_salt_is_allowed_more_while_a_salt_course_is_written_down(log, value, salted, answer):
    if salted:
        log.write("salt", AT - timedelta(days=5), salt_g=50_000)
    log.read("salinity_g_per_l", value, AT, step=1e-9)
    assert log.of("salinity_g_per_l").answer == answer


@pytest.mark.parametrize(
    ("temperature_c", "printed"),
    [
        # Oregon DEQ Table 30(c), as transcribed: EPA's chronic limit at pH 6.5, 7.0 … 9.0, two figures each.
        (5.0, (4.9, 4.4, 3.2, 1.8, 0.80, 0.36)),
        (20.0, (2.1, 1.9, 1.4, 0.78, 0.35, 0.16)),
        (30.0, (1.1, 0.99, 0.73, 0.41, 0.18, 0.081)),
    ],
)
def test_the_limit_the_walk_uses_is_the_printed_one(temperature_c, printed):
    computed = [ccc_mg_n_per_l(6.5 + i / 2, temperature_c) for i in range(6)]
    assert [float(f"{one:.2g}") for one in computed] == list(printed)
