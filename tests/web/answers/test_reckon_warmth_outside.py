"""The warmth's calculators over HTTP, each beside something outside that reckons or prints the same.

One case or two each, to see that names, units and workings hold all the way; the many cases stand in tests/reference.
"""

from datetime import date, timedelta

import httpx
import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from litestar import Litestar
from scipy.integrate import solve_ivp

NIGHT = {
    "windows": [{"from": "00:30", "to": "07:30", "rate_per_kwh": 0.10}],
    "otherwise_rate_per_kwh": 0.30,
}


@pytest.fixture
async def post(app: Litestar):
    transport = httpx.ASGITransport(app, client=("192.0.2.1", 50_000))  # type: ignore[arg-type]
    async with httpx.AsyncClient(transport=transport, base_url="http://localhost") as client:
        yield lambda name, given: client.post(f"/api/reckon/{name}", json=given)


@pytest.fixture
def ask(post):
    async def asked(name: str, **given: object) -> dict:
        answer = await post(name, given)
        assert answer.status_code == 200, answer.text
        told = answer.json()
        assert told["workings"]["steps"] and told["workings"]["result"] and told["source"]
        return told["result"]

    return asked


@pytest.fixture
def refused(post):
    async def asked(name: str, **given: object) -> dict:
        answer = await post(name, given)
        assert answer.status_code == 400, answer.text
        return answer.json()

    return asked


def water_j_per_m3_k(temperature_c: float) -> float:
    state = ("T", temperature_c + 273.15, "P", 101_325, "Water")
    return PropsSI("D", *state) * PropsSI("C", *state)


async def test_a_cubic_metre_by_a_degree_takes_1_16_kwh(ask):
    result = await ask("heat-energy", volume_l=1000, from_c=15, to_c=16)
    # Handbooks round it to 1.16; CoolProp has 1.16224.
    assert result["energy_kwh"] == pytest.approx(1.16, abs=0.005)
    assert result["energy_kwh"] == pytest.approx(water_j_per_m3_k(15.5) / 3.6e6, rel=2e-4)
    back = await ask("heat-energy", volume_l=1000, from_c=16, to_c=15)
    assert back["energy_kwh"] == -result["energy_kwh"]


async def test_a_wall_of_foam_and_concrete_has_the_u_value_worked_by_hand(ask):
    # ISO 6946 by hand: 0.3272 with water inside, 0.3139 with air.
    layers = [
        {"thickness_m": 0.1, "conductivity_w_per_m_k": 0.034},
        {"thickness_m": 0.15, "conductivity_w_per_m_k": 2.0},
    ]
    for inside, printed in ((0, 0.3272), (0.13, 0.3139)):
        result = await ask("wall-u-value", layers=layers, inside_r_m2_k_per_w=inside, outside_r_m2_k_per_w=0.04)
        assert result["u_w_per_m2_k"] == pytest.approx(printed, abs=6e-5)


async def test_a_wall_of_nothing_is_refused(refused):
    nothing = [{"thickness_m": 0, "conductivity_w_per_m_k": 1}]
    problem = await refused("wall-u-value", layers=nothing, inside_r_m2_k_per_w=0, outside_r_m2_k_per_w=0)
    assert (problem["code"], problem["where"]) == ("contradiction", "layers")


@pytest.mark.parametrize(
    ("volume_l", "ua_w_per_k", "gains_w", "printed_c"),
    # solve_ivp with 4.186 MJ/(m³ K) throughout; at 20 °C it is 4.176, which moves the last case by 0.0046 °C.
    [(20_000, 60, 0, 19.5427), (20_000, 60, 500, 19.7968), (8000, 120, 0, 17.8488)],
)
async def test_a_pond_cools_overnight_as_a_solver_says(ask, volume_l, ua_w_per_k, gains_w, printed_c):
    given = {"volume_l": volume_l, "ua_w_per_k": ua_w_per_k, "gains_w": gains_w}
    result = await ask("overnight-drop", **given, start_c=20, air_c=5, hours=12)
    assert result["end_c"] == pytest.approx(printed_c, abs=0.005)
    capacity = volume_l / 1000 * water_j_per_m3_k(20)
    found = solve_ivp(
        lambda _, water: [(gains_w - ua_w_per_k * (water[0] - 5)) / capacity], (0, 12 * 3600), [20], rtol=1e-9
    )
    assert result["end_c"] == pytest.approx(float(found.y[0][-1]), abs=2e-4)
    assert result["drop_c"] == pytest.approx(20 - result["end_c"])
    assert result["time_constant_h"] == pytest.approx(capacity / ua_w_per_k / 3600, rel=2e-4)


async def test_open_water_on_a_clear_night_loses_what_was_worked_by_hand(ask):
    # Worked on psychrolib's vapour pressures: 214, 121 and 167 W/m².
    result = await ask(
        "surface-loss", water_c=20, air_c=5, relative_humidity_fraction=0.8, wind_m_per_s=1, cloud_fraction=0
    )
    assert list(result.values()) == pytest.approx([214, 121, 167], abs=1)


@pytest.mark.parametrize(
    ("zone", "on", "hours", "cheap", "cost"),
    # Counted apart with zoneinfo and tzdata 2026.6.
    [
        ("Europe/London", "2025-01-15", 24, 7, 17.40),
        ("Europe/London", "2025-03-30", 23, 6, 17.10),
        ("Europe/London", "2025-10-26", 25, 8, 17.70),
        ("America/New_York", "2025-03-09", 23, 6, 17.10),
        ("America/New_York", "2025-11-02", 25, 8, 17.70),
    ],
)
async def test_a_day_of_any_length_costs_what_its_own_hours_do(ask, zone, on, hours, cheap, cost):
    after = (date.fromisoformat(on) + timedelta(days=1)).isoformat()
    given = {"from": f"{on}T00:00", "to": f"{after}T00:00", "zone": zone, "tariff": NIGHT}
    result = await ask("running-cost", power_w=3000, duty_fraction=1, **given)
    assert (result["energy_kwh"], result["cost"]) == (pytest.approx(3 * hours), pytest.approx(cost))
    night, other = result["by_window"]
    assert (night["window"], night["hours"], other["window"]) == ("00:30 to 07:30", cheap, "otherwise")


async def test_80_w_all_month_are_57_6_kwh_with_the_offset_or_by_the_wall_clock(ask):
    flat = {"otherwise_rate_per_kwh": 0.25}
    given = {"power_w": 160, "duty_fraction": 0.5, "zone": "Europe/Amsterdam", "tariff": flat}
    by_wall = {"from": "2026-11-01", "to": "2026-12-01T00:00"}
    aware = {"from": "2026-10-31T23:00:00Z", "to": "2026-12-01T00:00:00+01:00"}
    results = [await ask("running-cost", **given, **moments) for moments in (by_wall, aware)]
    assert results[0] == results[1]
    assert (results[0]["energy_kwh"], results[0]["cost"]) == (pytest.approx(57.6), pytest.approx(14.4))


@pytest.mark.parametrize(
    ("change", "where", "right"),
    [
        ({"to": "2025-01-01T00:00"}, "to", "a moment after from"),
        ({"to": "2036-01-01T00:00"}, "hours", "0 to 87840 h"),
        ({"to": "9999-12-31T23:59"}, "to", "1970 to 2200"),
        ({"from": "0001-01-01T00:00+14:00"}, "from", "1970 to 2200"),
        ({"from": "yesterday"}, "from", "a moment such as 2026-11-01T00:00"),
        ({"zone": "Mars/Olympus"}, "zone", "an IANA name"),
        ({"tariff": NIGHT | {"clock": "sundial"}}, "tariff.clock", "One of local, standard, utc"),
        (
            {"tariff": NIGHT | {"windows": NIGHT["windows"] * 2}},
            "tariff.windows[1]",
            "the first to end by 00:30 on Mon, or the second to begin from 07:30 on",
        ),
        ({"tariff": NIGHT | {"windows": NIGHT["windows"] * 49}}, "tariff.windows", "Windows that do not overlap"),
        (
            {"tariff": NIGHT | {"windows": [{"from": "24:00", "to": "07:00", "rate_per_kwh": 0.1}]}},
            "tariff.windows[0].from",
            "When it begins, HH:MM",
        ),
    ],
)
async def test_a_bill_that_cannot_be_is_refused_with_what_would_be_right(refused, change, where, right):
    given = {"from": "2025-12-01T00:00", "to": "2025-12-02T00:00", "zone": "Europe/London", "tariff": NIGHT}
    problem = await refused("running-cost", power_w=3000, duty_fraction=1, **(given | change))
    assert problem["where"] == where
    assert problem["right"].startswith(right)


async def test_a_dew_point_is_psychrolibs(ask):
    psychrolib.SetUnitSystem(psychrolib.SI)
    result = await ask("dew-point", temperature_c=20, relative_humidity_fraction=0.6)
    assert result["dew_point_c"] == pytest.approx(psychrolib.GetTDewPointFromRelHum(20, 0.6), abs=0.008)


@pytest.mark.parametrize(("u_w_per_m2_k", "wet"), [(3.1, True), (2.5, False)])
async def test_a_pane_gets_wet_below_the_share_psychrolib_asks_for(ask, u_w_per_m2_k, wet):
    # At 10 °C and 80 % with 0 °C outside a surface needs 0.671 of the warmth: U 2.53 with a film of 0.13.
    air = {"inside_c": 10, "relative_humidity_fraction": 0.8, "outside_c": 0}
    result = await ask("condensation", **air, u_w_per_m2_k=u_w_per_m2_k, rsi_m2_k_per_w=0.13)
    assert result["condenses"] is wet
    assert result["surface_c"] == pytest.approx(10 * (1 - u_w_per_m2_k * 0.13))
    assert result["dew_point_c"] == pytest.approx(6.71, abs=0.01)


async def test_a_step_down_is_dated_day_by_day(ask):
    given = {"from_c": 14, "to_c": 12, "degrees_per_step": 1, "days_per_step": 3, "start_on": "2026-12-30"}
    result = await ask("season-step", **given)
    assert result["settings"] == [
        {"on": "2026-12-30", "setpoint_c": 14},
        {"on": "2027-01-02", "setpoint_c": 13},
        {"on": "2027-01-05", "setpoint_c": 12},
    ]


async def test_steps_beyond_the_calendar_are_refused(refused):
    given = {"from_c": 14, "to_c": 12, "degrees_per_step": 1, "days_per_step": 3, "start_on": "9999-12-30"}
    problem = await refused("season-step", **given)
    assert (problem["where"], problem["right"]) == ("start_on", "1970 to 2200")
