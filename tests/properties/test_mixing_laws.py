"""Laws of mixing and trickling that hold for every input in their ranges."""

import math

from hypothesis import assume, given
from hypothesis.strategies import composite, floats, integers, lists
from pytest import approx

from evenwater.domain.water import buffer, carbon_bed, conductivity, membrane, mixing
from evenwater.domain.water.mixing import FlowThrough, Water


def within(limits: tuple[float, float]):
    return floats(*limits, allow_nan=False)


# Levels and flows a pond can have; the outer ranges are for the refusals in tests/domain/reckon.
LEVELS, TIMES = floats(0.0, 10_000.0), floats(0.0, 3650.0)
SOURCES, DECAYS = floats(-10_000.0, 10_000.0), floats(0.0, 50.0)
SHARES, FEEDS = floats(0.0, 1.0), floats(0.0, 10_000.0)


@composite
def ponds(draw, sources=SOURCES, decays=DECAYS):
    inflow = draw(floats(0.0, 20_000.0))
    return FlowThrough(
        volume_l=draw(floats(100.0, 1_000_000.0)),
        inflow_l_per_day=inflow,
        inflow_mg_per_l=draw(LEVELS),
        source_g_per_day=draw(sources),
        evaporation_l_per_day=inflow * draw(SHARES),
        decay_per_day=draw(decays),
    )


@composite
def blends(draw):
    parts = draw(lists(integers(1, 1000), min_size=1, max_size=8))
    return [
        Water(
            fraction=part / sum(parts),
            kh_dkh=draw(within(buffer.KH_DKH)),
            gh_dgh=draw(within(mixing.GH_DGH)),
            ec25_us_per_cm=draw(within(mixing.EC25_US_PER_CM)),
        )
        for part in parts
    ]


@given(blends())
def test_a_blend_lies_between_its_waters_and_holds_all_they_brought(waters):
    blend = mixing.blend(waters)
    for name in ("kh_dkh", "gh_dgh", "ec25_us_per_cm"):
        levels = [getattr(one, name) for one in waters]
        found = getattr(blend, name)
        assert min(levels) - 1e-9 <= found <= max(levels) + 1e-9
        assert found == approx(sum(one.fraction * getattr(one, name) for one in waters), rel=1e-9, abs=1e-12)


@given(LEVELS, LEVELS, SHARES)
def test_the_share_for_a_target_brings_it(one, other, share):
    target = share * one + (1.0 - share) * other
    assume(abs(one - other) > 1e-6)
    found = mixing.share_for(target, one, other)
    assume(found is not None)
    assert found * one + (1.0 - found) * other == approx(target, rel=1e-9, abs=1e-9)


@given(ponds(), LEVELS, TIMES)
def test_a_level_is_never_below_nothing_nor_above_start_and_all_that_came(pond, start, days):
    level = mixing.level_after_mg_per_l(pond, start, days)
    brought = max(0.0, pond.coming_mg_per_l_per_day) * days
    assert 0.0 <= level <= (start + brought) * (1.0 + 1e-9)


@given(ponds(decays=floats(0.0, 0.0)), LEVELS, floats(0.0, 365.0))
def test_mass_is_conserved(pond, start, days):
    assume(mixing.exhausted_after_days(pond, start) is None)
    level = mixing.level_after_mg_per_l(pond, start, days)
    out_per_day = pond.leaving_per_day
    assume(out_per_day > 1e-6)
    # What left is the outflow times the mean level; the mean follows from the same equation, integrated once.
    came = pond.coming_mg_per_l_per_day * days
    steady = pond.coming_mg_per_l_per_day / out_per_day
    left = out_per_day * (steady * days + (start - steady) * -math.expm1(-out_per_day * days) / out_per_day)
    assert level - start == approx(came - left, rel=1e-6, abs=1e-6 * (start + abs(came) + 1.0))


@given(ponds(), LEVELS, TIMES, TIMES)
def test_waiting_twice_is_waiting_once_as_long(pond, start, first, then):
    between = mixing.level_after_mg_per_l(pond, start, first)
    assume(between <= mixing.MATTER_MG_PER_L[1] and first + then <= mixing.DAYS[1])
    twice = mixing.level_after_mg_per_l(pond, between, then)
    once = mixing.level_after_mg_per_l(pond, start, first + then)
    scale = start + abs(pond.coming_mg_per_l_per_day) * (first + then)
    assert twice == approx(once, rel=1e-9, abs=1e-9 * scale)


@given(ponds(), LEVELS, TIMES)
def test_a_pond_never_moves_away_from_where_it_settles(pond, start, days):
    steady = mixing.steady_mg_per_l(pond)
    assume(steady is not None)
    level = mixing.level_after_mg_per_l(pond, start, days)
    assert abs(level - steady) <= abs(start - steady) * (1.0 + 1e-9) + 1e-9 * (steady + start)


@given(ponds(sources=floats(-10_000.0, -1.0), decays=floats(0.0, 2.0)), floats(0.1, 10_000.0))
def test_it_is_used_up_exactly_when_it_crosses_nothing(pond, start):
    gone = mixing.exhausted_after_days(pond, start)
    assume(gone is not None and 1e-3 < gone < 30_000.0)
    assert mixing.level_after_mg_per_l(pond, start, gone * 1.001) == 0.0
    assert mixing.level_after_mg_per_l(pond, start, gone) <= 1e-6 * start
    assert mixing.level_after_mg_per_l(pond, start, gone * 0.9) > 0.0


@given(ponds(sources=floats(0.0, 10_000.0)), LEVELS, TIMES)
def test_without_use_it_is_never_used_up(pond, start, days):
    assert mixing.exhausted_after_days(pond, start) is None
    assert mixing.level_after_mg_per_l(pond, start, days) >= 0.0


@given(within(conductivity.EC_US_PER_CM), within(conductivity.TEMPERATURE_C))
def test_cold_water_would_conduct_more_at_25_and_warm_water_less(ec, temperature_c):
    at_25 = conductivity.ec25_us_per_cm(ec, temperature_c)
    assert (at_25 >= ec) if temperature_c <= 25.0 else (at_25 <= ec)
    assert conductivity.ec25_us_per_cm(ec, 25.0) == ec


@given(within(carbon_bed.BED_L), within(carbon_bed.FLOW_L_PER_MIN), floats(0.1, 1000.0))
def test_bed_volumes_are_the_time_run_in_contact_times(bed_l, flow, hours):
    contact = carbon_bed.contact_min(bed_l, flow)
    assert carbon_bed.bed_volumes(bed_l, flow, hours) * contact == approx(hours * 60.0, rel=1e-12)


@given(floats(0.0, 100_000.0), SHARES, within(membrane.RECOVERY_FRACTION))
def test_carbon_before_a_membrane_treats_at_least_the_trickle(trickle, bypass, recovery):
    flow = carbon_bed.flow_through_carbon_l_per_day(trickle, bypass, recovery)
    assert trickle * (1.0 - 1e-12) <= flow <= trickle / recovery * (1.0 + 1e-12)


@given(FEEDS, SHARES, within(membrane.RECOVERY_FRACTION))
def test_permeate_and_concentrate_carry_what_the_feed_brought(feed, rejection, recovery):
    permeate = membrane.permeate_level(feed, rejection)
    concentrate = membrane.concentrate_level(feed, rejection, recovery)
    assert recovery * permeate + (1.0 - recovery) * concentrate == approx(feed, rel=1e-9, abs=1e-9)
    assert permeate <= feed * (1.0 + 1e-12) <= concentrate * (1.0 + 1e-9) + 1e-9
    assume(feed > 1e-3)
    assert membrane.rejection_fraction(feed, permeate) == approx(rejection, abs=1e-9)
