"""The water's calculators over HTTP, each beside something outside that reckons or prints the same.

One case or two each, to see that names, units and workings hold all the way; the many cases stand in tests/reference.
"""

import httpx
import phreeqpython
import PyCO2SYS
import pytest
from litestar import Litestar
from scipy.integrate import solve_ivp

# Looked up apart from our own: the definition of the degree (ChemLin lexicon prints 0.357), and IUPAC 2021.
MEQ_PER_DEGREE, NACL, NA, CL = 0.35665, 58.44, 22.99, 35.45


@pytest.fixture(scope="module")
def engine() -> phreeqpython.PhreeqPython:
    return phreeqpython.PhreeqPython(database="phreeqc.dat")


@pytest.fixture
async def ask(app: Litestar):
    transport = httpx.ASGITransport(app, client=("192.0.2.1", 50_000))  # type: ignore[arg-type]
    async with httpx.AsyncClient(transport=transport, base_url="http://localhost") as client:

        async def asked(name: str, **given: object) -> dict:
            answer = await client.post(f"/api/reckon/{name}", json=given)
            assert answer.status_code == 200, answer.text
            told = answer.json()
            assert told["workings"]["steps"] and told["workings"]["result"] and told["source"]
            return told["result"]

        yield asked


async def test_carbonate_balance_is_phreeqcs_and_near_co2sys(ask, engine):
    given = {"kh_dkh": 6.0, "temperature_c": 20.0, "pco2_atm": 10.0**-2.8}
    result = await ask("carbonate-balance", **given)
    meq = 6.0 * MEQ_PER_DEGREE
    water = engine.add_solution({"units": "mmol/kgw", "temp": 20, "pH": 7.0, "Na": meq, "Alkalinity": meq})
    water.equalize(["CO2(g)"], [-2.8])
    other = PyCO2SYS.sys(
        par1=1000.0 * meq, par1_type=1, par2=1e6 * 10.0**-2.8, par2_type=4, temperature=20, salinity=0, opt_k_carbonic=8
    )
    assert result["ph"] == pytest.approx(water.pH, abs=0.002)
    assert 0.0 < float(other["pH"]) - result["ph"] < 0.04
    assert result["co2_mg_per_l"] == pytest.approx(44.01 * water.molality("CO2"), rel=0.005)
    back = await ask("carbonate-balance", kh_dkh=6.0, temperature_c=20.0, ph=water.pH)
    assert back["pco2_atm"] == pytest.approx(10.0**-2.8, rel=0.005)


async def test_a_blend_is_phreeqcs(ask, engine):
    hard = engine.add_solution({"units": "mmol/kgw", "pH": 7.5, "Ca": 2.0, "Alkalinity": 4.0})
    soft = engine.add_solution({"units": "mmol/kgw", "pH": 7.5, "Ca": 0.1, "Alkalinity": 0.2})
    calcium = engine.mix_solutions({hard: 0.25, soft: 0.75}).total("Ca", "mmol")
    waters = [
        {"fraction": 0.25, "kh_dkh": 4.0 / MEQ_PER_DEGREE, "gh_dgh": 4.0 / MEQ_PER_DEGREE, "ec25_us_per_cm": hard.sc},
        {"fraction": 0.75, "kh_dkh": 0.2 / MEQ_PER_DEGREE, "gh_dgh": 0.2 / MEQ_PER_DEGREE, "ec25_us_per_cm": soft.sc},
    ]
    result = await ask("blend", waters=waters)
    # Calcium, two charges, is all the hardness; alkalinity keeps step with it.
    assert result["gh_dgh"] == pytest.approx(2.0 * calcium / MEQ_PER_DEGREE, rel=1e-4)
    assert result["kh_dkh"] == pytest.approx(result["gh_dgh"], rel=1e-9)


async def test_flow_through_goes_where_a_solver_takes_it(ask):
    given = {"volume_l": 30_000, "inflow_l_per_day": 2000, "inflow_mg_per_l": 2, "start_mg_per_l": 5}
    more = {"source_g_per_day": 25, "days": 15, "evaporation_l_per_day": 50, "decay_per_day": 0.01}
    result = await ask("flow-through", **given, **more)

    def rate(_: float, level: list[float]) -> list[float]:
        return [(2.0 * 2.0 + 25.0 - 1.95 * level[0]) / 30.0 - 0.01 * level[0]]

    found = solve_ivp(rate, (0.0, 15.0), [5.0], rtol=1e-10, atol=1e-12)
    assert result["value_mg_per_l"] == pytest.approx(float(found.y[0][-1]), rel=1e-6)
    settled = solve_ivp(rate, (0.0, 2000.0), [5.0], rtol=1e-10, atol=1e-12, method="LSODA")
    assert result["steady_mg_per_l"] == pytest.approx(float(settled.y[0][-1]), rel=1e-6)
    assert result["exhausted_after_days"] is None


async def test_nitrification_takes_what_the_textbooks_print(ask):
    result = await ask("nitrification-demand", feed_g_per_day=1000, protein_fraction=0.4)
    # Timmons & Ebeling: 36.8 g; EPA 1993: 7.14 g CaCO3 and 4.57 g O2 a gram of N (all from memory).
    assert result["tan_g_per_day"] == pytest.approx(36.8, rel=1e-3)
    assert result["alkalinity_g_caco3_per_day"] == pytest.approx(36.8 * 7.14, rel=2e-3)
    assert result["oxygen_g_per_day"] == pytest.approx(36.8 * 4.57, rel=2e-3)
    assert result["bicarbonate_g_per_day"] == pytest.approx(36.8 * 7.14 / 50.04 * 84.01, rel=2e-3)


async def test_conductivity_of_the_standard_is_the_standards(ask):
    # ISO 7888: 0.01 mol/L potassium chloride, 1278 µS/cm at 20 °C and 1413 at 25 °C (from memory).
    result = await ask("conductivity-25", ec_us_per_cm=1278, temperature_c=20)
    assert result["ec25_us_per_cm"] == pytest.approx(1413, rel=5e-4)


async def test_salt_for_a_salinity_makes_it_in_phreeqc(ask, engine):
    result = await ask(
        "salt-for-salinity", volume_l=20_000, salinity_now_g_per_l=0, salinity_target_g_per_l=3, purity_fraction=0.96
    )
    water = engine.add_solution({"units": "mmol/kgw", "temp": 20})
    water.add("NaCl", 0.96 * result["salt_g"] / 20_000 / NACL * 1000.0)
    ions_g_per_l = (water.total("Na", "mmol") * NA + water.total("Cl", "mmol") * CL) / 1000.0
    assert ions_g_per_l == pytest.approx(3.0, rel=1e-3)


async def test_volume_by_salt_is_the_one_phreeqc_put_the_salt_into(ask, engine):
    tap = {"units": "mmol/kgw", "temp": 25, "pH": 7.8, "Ca": 1.2, "Mg": 0.25, "S(6)": 0.3, "Alkalinity": 2.1}
    water = engine.add_solution(tap | {"Cl": "0.5 charge"})
    before = water.sc
    water.add("NaCl", 0.25 / NACL * 1000.0)
    result = await ask(
        "volume-by-salt", salt_g=5000, purity_fraction=1, ec25_before_us_per_cm=before, ec25_after_us_per_cm=water.sc
    )
    assert result["volume_l"] == pytest.approx(20_000, rel=0.01)
    assert abs(result["volume_l"] - 20_000) < 2.0 * result["volume_sd_l"] < 2000


async def test_contact_in_the_carbon_is_that_of_the_american_formula(ask):
    # Dialysis guides (from memory): minutes = 7.48 × cubic feet / gallons a minute.
    # A cubic foot is 28.317 L, a gallon 3.7854 L.
    result = await ask("carbon-contact", bed_l=2 * 28.317, flow_l_per_min=1.5 * 3.7854, hours=24)
    assert result["contact_min"] == pytest.approx(7.48 * 2.0 / 1.5, rel=1e-3)
    assert result["bed_volumes"] == pytest.approx(1.5 * 60.0 * 24.0 / 7.48 / 2.0, rel=1e-3)


@pytest.mark.parametrize(
    ("temperature_c", "ph", "acute", "chronic"),
    # Oregon DEQ Tables 30(b) and 30(c), printing EPA 822-R-13-001; transcribed (secondary).
    [(20, 7.0, 17, 1.9), (20, 8.0, 3.9, 0.78), (30, 9.0, 0.27, 0.081)],
)
async def test_ammonia_limits_are_the_printed_ones(ask, temperature_c, ph, acute, chronic):
    result = await ask("ammonia-limit", temperature_c=temperature_c, ph=ph)
    assert float(f"{result['acute_tan_mg_n_per_l']:.2g}") == acute
    assert float(f"{result['chronic_tan_mg_n_per_l']:.2g}") == chronic
    limits = {"acute": acute, "chronic": chronic, "nh3": result["nh3_limit_tan_mg_n_per_l"]}
    assert result["governs"] == min(limits, key=lambda one: limits[one])


async def test_ammonia_by_its_toxic_part_is_that_of_the_printed_share(ask):
    # Emerson et al. 1975: 3.81 % at 20 °C and pH 8 (a veterinary textbook's Table 1.4, secondary).
    result = await ask("ammonia-limit", temperature_c=20, ph=8)
    assert result["nh3_limit_tan_mg_n_per_l"] == pytest.approx(0.025 * 14.007 / 17.031 / 0.0381, rel=0.003)


async def test_nitrite_and_chloride_stand_as_in_the_experiment_with_carp(ask):
    # Kroupova et al. 2006: 1.45 mmol/L nitrite, 3.73 mmol/L chloride: 6.51 by weight (secondary).
    nitrite_n, chloride = 1.45 * 14.007, 3.73 * CL
    given = {"nitrite_n_mg_per_l": nitrite_n, "chloride_mg_per_l": chloride, "target_ratio": 10}
    result = await ask("nitrite-chloride", **given)
    assert result["ratio"] == pytest.approx(6.51, abs=0.005)
    assert (chloride + result["salt_mg_per_l"] * CL / NACL) / nitrite_n == pytest.approx(10.0, rel=1e-3)
