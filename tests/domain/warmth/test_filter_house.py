"""The filter house: what is answered, and in which order remedies come."""

import pytest

from evenwater.domain.errors import Contradiction, OutOfRange
from evenwater.domain.kit import FilterHouse
from evenwater.domain.warmth.filter_house import MARGIN_K, HouseNow, house_answer
from evenwater.domain.warmth.heat.condensation import surface_c, surface_share

WET = FilterHouse(volume_m3=12, ua_w_per_k=25, worst_u_w_per_m2_k=1.5, open_water_m2=1, air_changes_per_h=0.5)
COLD = HouseNow(water_c=14, outside_c=0, outside_humidity_fraction=0.85)


def test_open_water_in_a_cold_shed_sweats_and_lids_come_before_heat():
    answer = house_answer(WET, COLD)
    assert answer.now.condenses
    kinds = [one.kind for one in answer.remedies]
    assert kinds.index("lid") < kinds.index("heat")
    watts = [one.air.heater_w for one in answer.remedies if one.air.heater_w is not None]
    assert watts == sorted(watts)


def test_the_heat_proposed_keeps_the_margin_and_a_tenth_less_does_not():
    answer = house_answer(WET, COLD)
    heat = next(one for one in answer.remedies if one.kind == "heat")
    assert heat.air.margin_k == pytest.approx(MARGIN_K, abs=0.01)
    assert heat.air.inside_c == pytest.approx(answer.now.needed_c, abs=0.01)
    assert answer.now.energy_kwh_per_month == pytest.approx(answer.now.heater_w * 0.7305)
    weaker = FilterHouse(
        **{name: getattr(WET, name) for name in WET.__struct_fields__} | {"heater_w": 0.9 * answer.now.heater_w}
    )
    assert house_answer(weaker, COLD).now.margin_k < MARGIN_K - 0.01


def test_heating_under_lids_takes_less_than_heating_over_open_water():
    answer = house_answer(WET, COLD)
    lid = next(one for one in answer.remedies if one.kind == "lid")
    assert lid.house.lidded_fraction == 0.9
    assert lid.air.heater_w < answer.now.heater_w
    assert lid.air.dew_point_c < answer.now.dew_point_c - 3


def test_a_dry_house_needs_nothing():
    answer = house_answer(FilterHouse(volume_m3=12, ua_w_per_k=10, worst_u_w_per_m2_k=0.4, heater_w=200), COLD)
    assert not answer.now.condenses
    assert answer.now.heater_w == 0
    assert answer.remedies == ()


def test_where_heat_alone_cannot_keep_it_dry_it_is_not_proposed():
    glass = FilterHouse(volume_m3=12, ua_w_per_k=25, worst_u_w_per_m2_k=5.8, open_water_m2=6, air_changes_per_h=0.2)
    answer = house_answer(glass, COLD)
    assert (answer.now.needed_c, answer.now.heater_w, answer.now.energy_kwh_per_month) == (None, None, None)
    assert "heat" not in [one.kind for one in answer.remedies]
    assert answer.remedies[0].kind == "lid_and_air"


def measured(humidity_fraction: float) -> HouseNow:
    return HouseNow(
        water_c=14,
        outside_c=0,
        outside_humidity_fraction=0.85,
        inside_c=9,
        inside_humidity_fraction=humidity_fraction,
    )


@pytest.mark.parametrize("humidity_fraction", [0.5, 0.9, 0.99])
def test_measured_air_wins_over_the_balance(humidity_fraction):
    air = house_answer(WET, measured(humidity_fraction)).now
    assert air.inside_c == pytest.approx(9)
    assert air.humidity_fraction == pytest.approx(humidity_fraction)


def test_lids_keep_in_what_the_water_gives_and_not_what_comes_from_elsewhere():
    little = FilterHouse(volume_m3=12, ua_w_per_k=25, worst_u_w_per_m2_k=3, open_water_m2=0.2, air_changes_per_h=1)
    much = FilterHouse(volume_m3=12, ua_w_per_k=25, worst_u_w_per_m2_k=3, open_water_m2=4, air_changes_per_h=1)
    splashing, still = (house_answer(one, measured(0.9)) for one in (little, much))
    assert splashing.now.vapour_kpa == pytest.approx(still.now.vapour_kpa)
    under_lids = [next(one for one in answer.remedies if one.kind == "lid").air for answer in (splashing, still)]
    assert under_lids[0].vapour_kpa > 0.9 * splashing.now.vapour_kpa
    assert 0.52 < under_lids[1].vapour_kpa < 0.7 * still.now.vapour_kpa


def test_air_as_full_as_the_water_allows_is_taken_as_nearly_so():
    soaked = HouseNow(water_c=8, outside_c=0, outside_humidity_fraction=0.85, inside_c=12, inside_humidity_fraction=1)
    answer = house_answer(WET, soaked)
    assert answer.now.vapour_kpa < 1.08  # full over water of 8 °C


def test_what_is_not_known_is_assumed_and_said():
    answer = house_answer(FilterHouse(open_water_m2=1), COLD)
    assert len(answer.assumed) == 2
    assert "12 m³" in answer.assumed[0]
    assert house_answer(WET, COLD).assumed == ()


def test_a_panes_film_stands_in_where_a_corners_contradicts_its_u_value():
    pane = FilterHouse(volume_m3=12, ua_w_per_k=25, worst_u_w_per_m2_k=5.8, rsi_m2_k_per_w=0.25, heater_w=250)
    air = house_answer(pane, COLD).now
    assert air.surface_c / air.inside_c == pytest.approx(1 - 5.8 * 0.13)


def test_more_through_a_wall_than_its_film_lets_through_is_refused():
    with pytest.raises(Contradiction) as refused:
        surface_share(5.8, 0.25)
    assert refused.value.where == "rsi_m2_k_per_w"
    assert refused.value.right.startswith("at most 0.172")


@pytest.mark.parametrize(
    ("quantity", "wrong"),
    [
        ("u_w_per_m2_k", lambda: surface_share(7.1, 0.13)),
        ("rsi_m2_k_per_w", lambda: surface_share(1, 0)),
        ("inside_c", lambda: surface_c(60, 0, 0.5)),
        ("outside_c", lambda: surface_c(10, -50, 0.5)),
        ("water_c", lambda: house_answer(WET, HouseNow(water_c=50, outside_c=0, outside_humidity_fraction=0.8))),
        ("outside_c", lambda: house_answer(WET, HouseNow(water_c=5, outside_c=-50, outside_humidity_fraction=0.8))),
        (
            "relative_humidity_fraction",
            lambda: house_answer(WET, HouseNow(water_c=5, outside_c=0, outside_humidity_fraction=80)),
        ),
    ],
)
def test_what_lies_outside_a_range_is_refused_by_name(quantity, wrong):
    with pytest.raises(OutOfRange) as refused:
        wrong()
    assert refused.value.where == quantity
