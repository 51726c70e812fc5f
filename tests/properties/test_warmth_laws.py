"""Laws of the warmth's formulas that hold for every input in their ranges."""

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from typing import get_args
from zoneinfo import ZoneInfo

from hypothesis import assume, given, settings
from hypothesis.strategies import (
    builds,
    composite,
    datetimes,
    floats,
    integers,
    just,
    lists,
    none,
    one_of,
    sampled_from,
    tuples,
)
from pytest import approx

from evenwater.domain.kit import Cover, FilterHouse, Layer, Material, SeasonSteps, Shell, Tariff, TariffWindow
from evenwater.domain.warmth.filter_house import HouseNow, house_answer
from evenwater.domain.warmth.heat import air, condensation, layers, stored_heat, surface
from evenwater.domain.warmth.heat.cover import cover_heat
from evenwater.domain.warmth.heat.shell_loss import shell_loss
from evenwater.domain.warmth.heat.sun import dawn_and_dusk, sun_height_deg, sunrise_and_sunset
from evenwater.domain.warmth.heater.tariff import cheapest_shares, cost_of, hourly_prices, rates_at, spans
from evenwater.domain.warmth.heater.tariff_week import WEEKDAYS
from evenwater.domain.warmth.season import season_steps


def within(limits: tuple[float, float]):
    return floats(*limits, allow_nan=False)


AIRS, HUMIDITIES, WATERS, WINDS = (
    within(air.AIR_C),
    within(air.HUMIDITY),
    within(surface.WATER_C),
    within(surface.WIND_M_PER_S),
)
SHARES, STORED = within((0.0, 1.0)), within(stored_heat.WATER_C)
ZONES = sampled_from(
    [
        ZoneInfo(name)
        for name in ("Europe/London", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata", "Europe/Dublin", "UTC")
    ]
)
# Two years round changes of the clock on both sides of the equator.
MOMENTS = datetimes(datetime(2025, 1, 1), datetime(2026, 12, 31), timezones=just(UTC))  # noqa: DTZ001
HOUR = timedelta(hours=1)
# Closer than this, two inputs differ by less than the last digits of a float can tell.
APART = 1e-6


@composite
def tariffs(draw) -> Tariff:
    """Any tariff: a day cut at some times, some of its pieces windows with rate and days; over midnight too."""
    cuts = sorted(draw(lists(integers(0, 1439), min_size=2, max_size=7, unique=True)))
    pieces = [(begin, end) for begin, end in zip(cuts, [*cuts[1:], cuts[0]], strict=True) if draw(SHARES) < 0.7]
    windows = [
        TariffWindow(
            clock(begin),
            clock(end),
            draw(floats(-0.2, 1)),
            tuple(draw(lists(sampled_from(WEEKDAYS), unique=True, max_size=6))),
        )
        for begin, end in pieces
    ]
    return Tariff(draw(sampled_from(["local", "standard", "utc"])), tuple(windows), draw(floats(-0.2, 1)))


def clock(minute: int) -> str:
    return f"{minute // 60:02}:{minute % 60:02}"


@given(AIRS, HUMIDITIES)
def test_a_dew_point_is_never_above_the_air_and_turns_back_into_its_humidity(temperature_c, humidity):
    dew_c = air.dew_point_c(temperature_c, humidity)
    assert dew_c <= temperature_c
    held = air.vapour_kpa(temperature_c, humidity)
    assert air.dew_point_of_c(held) == approx(dew_c, abs=1e-9)


@given(AIRS, HUMIDITIES, HUMIDITIES)
def test_moister_air_has_the_higher_dew_point(temperature_c, one, other):
    dry, moist = sorted((one, other))
    assume(moist - dry > APART)
    assert air.dew_point_c(temperature_c, dry) < air.dew_point_c(temperature_c, moist)


@given(AIRS, AIRS)
def test_warmer_air_holds_more(one_c, other_c):
    cool_c, warm_c = sorted((one_c, other_c))
    assume(warm_c - cool_c > APART)
    assert 0 < air.saturation_kpa(cool_c) < air.saturation_kpa(warm_c)


@given(WATERS, AIRS, HUMIDITIES, within(air.AIR_L_PER_MIN), SHARES)
def test_an_air_pumps_loss_grows_with_its_air_and_the_waters_warmth(water_c, air_c, humidity, flow, less):
    whole = air.air_pump_loss_w(flow, air_c, humidity, water_c)
    assert air.air_pump_loss_w(less * flow, air_c, humidity, water_c) == approx(less * whole, abs=1e-6)
    assert air.air_pump_loss_w(flow, air_c, humidity, min(45.0, water_c + 1)) >= whole


@given(WATERS, WATERS, AIRS, HUMIDITIES, WINDS)
def test_warmer_open_water_loses_more_each_way(one_c, other_c, air_c, humidity, wind):
    cool_c, warm_c = sorted((one_c, other_c))
    assume(warm_c - cool_c > APART)
    held, sky = air.vapour_kpa(air_c, humidity), 0.8
    for loss in (
        lambda water: surface.evaporation_w_per_m2(water, held, wind),
        lambda water: surface.convection_w_per_m2(water, air_c, wind),
        lambda water: surface.longwave_w_per_m2(water, air_c, sky),
    ):
        assert loss(cool_c) < loss(warm_c)


@given(WATERS, AIRS, HUMIDITIES, WINDS, WINDS)
def test_wind_makes_more_of_a_loss_and_of_a_gain(water_c, air_c, humidity, one, other):
    calm, windy = sorted((one, other))
    held = air.vapour_kpa(air_c, humidity)
    for flow in (
        lambda wind: surface.evaporation_w_per_m2(water_c, held, wind),
        lambda wind: surface.convection_w_per_m2(water_c, air_c, wind),
    ):
        assert abs(flow(calm)) <= abs(flow(windy))
        assert flow(calm) * flow(windy) >= 0


@given(AIRS, SHARES, SHARES)
def test_clouds_only_warm_the_sky_and_it_is_never_more_than_black(dew_c, one, other):
    clear, cloudy = sorted((one, other))
    assert 0.5 < surface.sky_emissivity(dew_c, clear) <= surface.sky_emissivity(dew_c, cloudy) <= 1


@given(STORED, STORED, STORED, within((1.0, 1e6)))
def test_heat_by_way_of_a_third_temperature_is_the_same(from_c, by_c, to_c, volume_l):
    whole = stored_heat.heat_kwh(volume_l, from_c, to_c)
    parts = stored_heat.heat_kwh(volume_l, from_c, by_c) + stored_heat.heat_kwh(volume_l, by_c, to_c)
    assert parts == approx(whole, abs=1e-9 * volume_l)
    assert (to_c > from_c) == (whole > 0) or abs(to_c - from_c) < APART


MATERIALS = sampled_from(get_args(Material))
LAYERS = builds(Layer, MATERIALS, floats(0.001, 2), one_of(none(), within(layers.CONDUCTIVITY)))


@given(lists(LAYERS, min_size=1, max_size=8), LAYERS, within(layers.FILM_R))
def test_a_thicker_wall_lets_through_less(wall, more, film_r):
    thin, thick = (layers.layers_r_m2_k_per_w(one) for one in (wall, [*wall, more]))
    assert 0 < layers.u_value_w_per_m2_k(thick, film_r, 0.04) < layers.u_value_w_per_m2_k(thin, film_r, 0.04)
    assert layers.u_value_w_per_m2_k(thin, film_r, 0.04) <= 1 / (film_r + 0.04)


@given(sampled_from(["multiwall", "opaque"]), floats(4, 200), floats(4, 200))
def test_a_thicker_cover_lets_through_less_heat_and_less_sun(kind, one_mm, other_mm):
    thin, thick = (cover_heat(Cover(kind, thickness_mm)) for thickness_mm in sorted((one_mm, other_mm)))
    assert 0 < thick.u_w_per_m2_k <= thin.u_w_per_m2_k < 7
    assert 0 <= thick.sun_fraction <= thin.sun_fraction <= 1


SHELLS = builds(
    Shell,
    sampled_from(["rectangle", "round", "other"]),
    one_of(none(), floats(0.5, 100)),
    one_of(none(), floats(0.5, 100)),
    one_of(none(), floats(0.2, 10)),
    one_of(none(), floats(0.5, 5000)),
    SHARES,
    lists(LAYERS, max_size=3).map(tuple),
    lists(LAYERS, max_size=3).map(tuple),
)
FOAM = Layer("xps", 0.05)


@given(SHELLS, floats(500, 1e6))
def test_any_shell_has_a_loss_and_foam_all_round_lowers_it(shell, volume_l):
    loss = shell_loss(shell, volume_l)
    assert loss.surface_m2 > 0 and loss.depth_m > 0
    assert loss.wall_ua_air_w_per_k >= 0 and loss.ground_ua_w_per_k > 0
    assert 0.2 < loss.sd_ln_ua < 1.1
    assert (loss.assumed == ()) == (loss.sd_ln_ua < 0.31)
    assume(shell.walls and shell.floor)
    wrapped = Shell(
        **{name: getattr(shell, name) for name in shell.__struct_fields__}
        | {"walls": (*shell.walls, FOAM), "floor": (*shell.floor, FOAM)}
    )
    better = shell_loss(wrapped, volume_l)
    assert better.wall_ua_air_w_per_k <= loss.wall_ua_air_w_per_k
    assert better.ground_ua_w_per_k < loss.ground_ua_w_per_k


@settings(max_examples=60)
@given(tariffs(), ZONES, MOMENTS, lists(integers(0, 60 * 24 * 60), min_size=3, max_size=3), within((0, 10_000)))
def test_a_bill_is_the_sum_of_its_windows_and_of_its_parts(tariff, zone, start, cuts, power_w):
    first, middle, last = (start + timedelta(seconds=60 * cut + cut % 60) for cut in sorted(cuts))
    whole = cost_of(tariff, zone, power_w, first, last)
    parts = [cost_of(tariff, zone, power_w, first, middle), cost_of(tariff, zone, power_w, middle, last)]
    assert sum(one.cost for one in parts) == approx(whole.cost, abs=1e-6)
    assert sum(one.energy_kwh for one in parts) == approx(whole.energy_kwh, abs=1e-6)
    assert sum(one.cost for one in whole.by_window) == approx(whole.cost, abs=1e-6)
    assert sum(one.hours for one in whole.by_window) == approx((last - first) / HOUR, abs=1e-6)
    assert whole.energy_kwh == approx(power_w / 1000 * ((last - first) / HOUR), abs=1e-6)
    pieces = list(spans(tariff, zone, first, last))
    assert [one.ends_at for one in pieces[:-1]] == [one.begins_at for one in pieces[1:]]
    rates = [rate for rate, _ in rates_at(tariff, zone, [one.begins_at for one in pieces])]
    assert rates == [one.rate_per_kwh for one in pieces]


@settings(max_examples=60)
@given(tariffs(), ZONES, MOMENTS)
def test_hourly_prices_lie_between_the_rates_and_cost_what_the_bill_says(tariff, zone, start):
    prices = hourly_prices(tariff, zone, start, 72)
    rates = [tariff.otherwise_rate_per_kwh, *(one.rate_per_kwh for one in tariff.windows)]
    assert min(rates) - 1e-9 <= min(prices) and max(prices) <= max(rates) + 1e-9
    assert sum(prices) == approx(cost_of(tariff, zone, 1000, start, start + 72 * HOUR).cost, abs=1e-6)
    shares = cheapest_shares(tariff, zone, start, 72)
    assert all(0 <= one <= 1 + 1e-9 for one in shares)
    assert max(shares) > 0


@settings(max_examples=60)
@given(tariffs(), ZONES, MOMENTS, lists(tuples(integers(-4, 52), floats(-1, 2)), max_size=20))
def test_imported_half_hours_win_where_they_are(tariff, zone, start, halves):
    start = start.replace(minute=0, second=0, microsecond=0)
    imported = {start + number * HOUR / 2: price for number, price in halves}
    plain = hourly_prices(tariff, zone, start, 24)
    # Two that stand half an hour apart tell that these are half-hours.
    imported |= {start - 10 * HOUR: 1.0, start - 9.5 * HOUR: 1.0}
    prices = hourly_prices(tariff, zone, start, 24, imported)
    for hour, price in enumerate(prices):
        known = [imported.get(start + hour * HOUR + part) for part in (timedelta(0), HOUR / 2)]
        if None not in known:
            assert price == approx(sum(known) / 2, abs=1e-9)
        elif known == [None, None]:
            assert price == approx(plain[hour], abs=1e-9)


STEPS = builds(
    SeasonSteps,
    within(season_steps.SETPOINT_C),
    within(season_steps.SETPOINT_C),
    sampled_from([date(2026, 10, 1), date(2028, 2, 20)]),
    within(season_steps.DEGREES_PER_STEP),
    within(season_steps.DAYS_PER_STEP),
)


@given(STEPS)
def test_steps_go_one_way_at_most_so_much_at_a_time_and_never_too_soon(steps):
    dated = season_steps.dated_settings(steps)
    assert (dated[0].on, dated[-1].setpoint_c) == (steps.starts_on, approx(steps.to_c, abs=1e-6))
    for number, (before, after) in enumerate(pairwise(dated), 1):
        moved = after.setpoint_c - before.setpoint_c
        assert abs(moved) <= steps.degrees_per_step + 2e-6
        assert moved * (steps.to_c - steps.from_c) >= 0
        assert (after.on - steps.starts_on).days >= number * steps.days_per_step - 1e-6


HOUSES = builds(
    FilterHouse,
    one_of(none(), floats(1, 200)),
    one_of(none(), floats(1, 500)),
    floats(0.1, 7),
    floats(0.04, 1),
    floats(0, 50),
    SHARES,
    floats(0.05, 20),
    floats(0, 5000),
)


@settings(max_examples=60)
@given(HOUSES, floats(1, 35), floats(-30, 45), HUMIDITIES)
def test_any_filter_house_is_answered_and_its_heat_keeps_it_dry(house, water_c, outside_c, humidity):
    answer = house_answer(house, HouseNow(water_c=water_c, outside_c=outside_c, outside_humidity_fraction=humidity))
    assert answer.now.condenses == (answer.now.surface_c < answer.now.dew_point_c)
    assert (answer.now.heater_w is None) == (answer.now.needed_c is None)
    for one in answer.remedies:
        if one.kind == "lid":
            assert one.air.vapour_kpa <= answer.now.vapour_kpa or answer.now.vapour_kpa < air.vapour_kpa(
                outside_c, humidity
            )
        if one.kind == "heat" and one.air.heater_w:
            assert one.air.margin_k >= 0.9


@given(within(condensation.U_W_PER_M2_K), AIRS, AIRS, within((0.04, 0.99)))
def test_a_surface_lies_between_the_airs_on_both_sides(u_value, inside_c, outside_c, film):
    share = condensation.surface_share(u_value, min(film, 0.99 / u_value))
    found = condensation.surface_c(inside_c, outside_c, share)
    assert min(inside_c, outside_c) - 1e-9 <= found <= max(inside_c, outside_c) + 1e-9


@given(integers(0, 730), floats(-58, 58), floats(-180, 180))
def test_the_sun_rises_between_dawn_and_noon_and_stands_at_the_horizon_then(day, latitude, longitude):
    on = date(2025, 1, 1) + timedelta(days=day)
    light, up = dawn_and_dusk(on, latitude, longitude), sunrise_and_sunset(on, latitude, longitude)
    assert up is not None
    assert light is None or light[0] < up[0] < up[1] < light[1]
    for edge in up:
        assert sun_height_deg(edge, latitude, longitude) == approx(-0.833, abs=0.02)
    noon = up[0] + (up[1] - up[0]) / 2
    assert sun_height_deg(noon, latitude, longitude) > -0.833
