"""Laws of the water formulas that hold for every input in their ranges."""

from hypothesis import assume, given
from hypothesis.strategies import floats, sampled_from
from pytest import approx

from evenwater.domain.units import HPA_PER_ATM
from evenwater.domain.water import ammonia, buffer, oxygen


def within(limits: tuple[float, float]):
    return floats(*limits, allow_nan=False)


VOLUMES, RISES, PURITIES = within(buffer.VOLUME_L), within(buffer.KH_DKH), within(buffer.PURITY_FRACTION)
SUBSTANCES = sampled_from(sorted(buffer.SUBSTANCES))
WARMTHS, PHS, SALTS = within(ammonia.TEMPERATURE_C), within(ammonia.PH), within(ammonia.EC25_US_PER_CM)
WATERS, SALINITIES, PRESSURES = (
    within(oxygen.TEMPERATURE_C),
    within(oxygen.SALINITY_G_PER_L),
    within(oxygen.PRESSURE_HPA),
)
# Closer than this, two inputs differ by less than the last digits of a float can tell.
APART = 1e-6


@given(VOLUMES, RISES, SUBSTANCES, PURITIES)
def test_a_dose_turned_back_into_a_rise_is_the_rise_asked_for(volume_l, rise_dkh, substance, purity_fraction):
    dose_g = buffer.bicarbonate_dose_g(volume_l, rise_dkh, substance, purity_fraction)
    assert 0.0 <= dose_g <= buffer.DOSE_G[1]
    assert buffer.rise_dkh(volume_l, dose_g, substance, purity_fraction) == approx(rise_dkh, rel=1e-12)


@given(VOLUMES, RISES, RISES, SUBSTANCES, PURITIES)
def test_two_rises_take_as_much_as_both_at_once(volume_l, one_dkh, other_dkh, substance, purity_fraction):
    assume(one_dkh + other_dkh <= buffer.KH_DKH[1])
    parts = [buffer.bicarbonate_dose_g(volume_l, rise, substance, purity_fraction) for rise in (one_dkh, other_dkh)]
    whole_g = buffer.bicarbonate_dose_g(volume_l, one_dkh + other_dkh, substance, purity_fraction)
    assert sum(parts) == approx(whole_g, rel=1e-12)


@given(VOLUMES, VOLUMES, RISES, SUBSTANCES, PURITIES)
def test_more_water_takes_more(volume_l, other_l, rise_dkh, substance, purity_fraction):
    less_l, more_l = sorted((volume_l, other_l))
    assume(more_l - less_l > APART and rise_dkh > APART)
    less_g = buffer.bicarbonate_dose_g(less_l, rise_dkh, substance, purity_fraction)
    assert less_g < buffer.bicarbonate_dose_g(more_l, rise_dkh, substance, purity_fraction)


@given(VOLUMES, RISES, PURITIES)
def test_potassium_takes_more_grams_than_sodium_and_purer_powder_fewer(volume_l, rise_dkh, purity_fraction):
    assume(rise_dkh > APART and purity_fraction < 1.0 - APART)
    sodium_g = buffer.bicarbonate_dose_g(volume_l, rise_dkh, "sodium_bicarbonate", purity_fraction)
    assert sodium_g < buffer.bicarbonate_dose_g(volume_l, rise_dkh, "potassium_bicarbonate", purity_fraction)
    assert sodium_g > buffer.bicarbonate_dose_g(volume_l, rise_dkh, "sodium_bicarbonate", 1.0)


@given(floats(0.0, 10_000.0), within(buffer.CAPFUL_G))
def test_capfuls_are_quarters_and_no_quarter_is_nearer(dose_g, capful_g):
    capfuls = buffer.nearest_quarter_capfuls(dose_g, capful_g)
    assert capfuls >= 0.0
    assert (capfuls * 4.0).is_integer()
    assert abs(capfuls - dose_g / capful_g) <= 0.125 * (1.0 + 1e-9)


@given(WARMTHS, PHS, SALTS)
def test_the_toxic_share_is_a_share_and_salts_only_lower_it(temperature_c, ph, ec25_us_per_cm):
    plain = ammonia.unionised_fraction(temperature_c, ph)
    salted = ammonia.unionised_fraction(temperature_c, ph, ec25_us_per_cm)
    assert 0.0 < salted <= plain < 1.0
    assert ammonia.unionised_fraction(temperature_c, ph, 0.0) == plain


@given(WARMTHS, WARMTHS, PHS, SALTS)
def test_warmth_raises_the_toxic_share(temperature_c, other_c, ph, ec25_us_per_cm):
    cool_c, warm_c = sorted((temperature_c, other_c))
    assume(warm_c - cool_c > APART)
    cool = ammonia.unionised_fraction(cool_c, ph, ec25_us_per_cm)
    assert cool < ammonia.unionised_fraction(warm_c, ph, ec25_us_per_cm)


@given(WARMTHS, PHS, PHS)
def test_ph_raises_the_toxic_share(temperature_c, ph, other_ph):
    low_ph, high_ph = sorted((ph, other_ph))
    assume(high_ph - low_ph > APART)
    low = ammonia.unionised_fraction(temperature_c, low_ph)
    assert low < ammonia.unionised_fraction(temperature_c, high_ph)


@given(WARMTHS, SALTS)
def test_half_is_toxic_at_the_ph_of_equal_parts(temperature_c, ec25_us_per_cm):
    ph = ammonia.equal_parts_ph(temperature_c, ec25_us_per_cm)
    assume(ph <= ammonia.PH[1])
    assert ammonia.unionised_fraction(temperature_c, ph, ec25_us_per_cm) == approx(0.5, rel=1e-12)


@given(WATERS, WATERS, SALINITIES, PRESSURES)
def test_warm_water_holds_less_oxygen(temperature_c, other_c, salinity_g_per_l, pressure_hpa):
    cool_c, warm_c = sorted((temperature_c, other_c))
    assume(warm_c - cool_c > APART)
    cool = oxygen.saturation_mg_per_l(cool_c, salinity_g_per_l, pressure_hpa)
    assert cool > oxygen.saturation_mg_per_l(warm_c, salinity_g_per_l, pressure_hpa) > 0.0


@given(WATERS, SALINITIES, SALINITIES, PRESSURES)
def test_salt_water_holds_less_oxygen(temperature_c, salinity_g_per_l, other_g_per_l, pressure_hpa):
    less, more = sorted((salinity_g_per_l, other_g_per_l))
    assume(more - less > APART)
    fresher = oxygen.saturation_mg_per_l(temperature_c, less, pressure_hpa)
    assert fresher > oxygen.saturation_mg_per_l(temperature_c, more, pressure_hpa)


@given(WATERS, SALINITIES, PRESSURES, PRESSURES)
def test_denser_air_gives_more_oxygen(temperature_c, salinity_g_per_l, pressure_hpa, other_hpa):
    thin_hpa, dense_hpa = sorted((pressure_hpa, other_hpa))
    assume(dense_hpa - thin_hpa > APART)
    thin = oxygen.saturation_mg_per_l(temperature_c, salinity_g_per_l, thin_hpa)
    assert thin < oxygen.saturation_mg_per_l(temperature_c, salinity_g_per_l, dense_hpa)


@given(within(oxygen.ALTITUDE_M), within(oxygen.ALTITUDE_M))
def test_the_air_is_thinner_higher_up_and_always_a_pressure_we_take(altitude_m, other_m):
    low_m, high_m = sorted((altitude_m, other_m))
    assume(high_m - low_m > APART)
    low_hpa, high_hpa = (oxygen.standard_pressure_hpa(height) for height in (low_m, high_m))
    assert oxygen.PRESSURE_HPA[1] >= low_hpa > high_hpa >= oxygen.PRESSURE_HPA[0]
    assert (low_hpa > HPA_PER_ATM) == (low_m < 0.0) or abs(low_m) < APART
