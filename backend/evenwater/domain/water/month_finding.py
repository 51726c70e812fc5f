"""Water and buffer that a pond takes in a month."""

from evenwater.domain.pond import Pond
from evenwater.domain.units import MG_CACO3_PER_L_PER_DKH
from evenwater.domain.water.buffer import KH_DKH, bicarbonate_dose_g
from evenwater.domain.water.nitrification import alkalinity_g_caco3
from evenwater.domain.water.outlook import Finding
from evenwater.domain.water.source_water import Levels, carbon_flow_l_per_day, known
from evenwater.domain.workings import Given, Step, Workings

_MONTH_DAYS = 30.0


def month_finding(
    pond: Pond, trickle: Levels, nitrogen_g_per_day: float, lost_dkh_per_day: float | None
) -> Finding | None:
    """What thirty days take as things are now; None where nothing runs in.

    Args:
        pond: The pond as set.
        trickle: What runs in.
        nitrogen_g_per_day: Ammonia nitrogen to nitrify [g/day].
        lost_dkh_per_day: KH lost in a day as learned from the log [°dKH/day], None where it is not known yet.
    """
    if not pond.inflow_l_per_day:
        return None
    mains_l = carbon_flow_l_per_day(pond) * _MONTH_DAYS
    waste_l = mains_l - pond.inflow_l_per_day * _MONTH_DAYS
    rows = [
        ("Mains water", f"{mains_l / 1000:.1f} m³"),
        ("of it to drain from the membrane", f"{waste_l / 1000:.1f} m³"),
    ]
    lost = _lost_by_figures(pond, trickle, nitrogen_g_per_day) if lost_dkh_per_day is None else lost_dkh_per_day
    by = "trickle and food, for want of readings" if lost_dkh_per_day is None else "what this pond loses now"
    buffer = None if lost is None else _buffer_kg(pond, lost)
    if buffer is not None:
        rows.append(("Buffer", f"{buffer:.2g} kg"))
    return Finding(
        id="source-month",
        section="source",
        title="Used in a month",
        big=f"{mains_l / 1000:.1f} m³",
        says="Water as the flow is set" + ("." if buffer is None else f"; buffer to hold KH, by {by}."),
        columns=("", "In 30 days"),
        rows=tuple(rows),
        cautions=("Discharge to drain and the mains connection: local by-laws and backflow prevention win.",),
        workings=Workings(
            title="Used in a month",
            inputs=(
                Given("trickle", pond.inflow_l_per_day, "L/day", "pond"),
                Given("mains for it", round(carbon_flow_l_per_day(pond)), "L/day", "pond, recovery of the membrane"),
                *(() if lost is None else (Given("KH lost", round(lost, 2), "°dKH/day", by),)),
                Given("volume", pond.volume_l or "not known", "L", "pond"),
            ),
            steps=(
                Step("mains for the trickle × 30 days", rows[0][1]),
                *(() if buffer is None else (Step("buffer for what KH loses × 30 days", f"{buffer:.2g} kg"),)),
            ),
            result=", ".join(f"{name}: {amount}" for name, amount in rows),
            source="Mass balance; stoichiometry of bicarbonate for the buffer.",
        ),
    )


def _buffer_kg(pond: Pond, lost_dkh_per_day: float) -> float | None:
    if pond.volume_l is None:
        return None
    rise = min(max(0.0, lost_dkh_per_day), KH_DKH[1])
    daily_g = bicarbonate_dose_g(pond.volume_l, rise, pond.substance, pond.purity_fraction)
    return daily_g * _MONTH_DAYS / 1000


def _lost_by_figures(pond: Pond, trickle: Levels, nitrogen_g_per_day: float) -> float | None:
    """KH lost at the target by dilution and nitrification [°dKH/day]; None where source KH or volume is not known."""
    source = known(trickle, "kh_dkh")
    if source is None or pond.volume_l is None:
        return None
    inflow, leaving = pond.inflow_l_per_day, pond.inflow_l_per_day - pond.evaporation_l_per_day
    diluted = (leaving * pond.kh_target_dkh - inflow * source) / pond.volume_l
    used = alkalinity_g_caco3(nitrogen_g_per_day) * 1000.0 / pond.volume_l / MG_CACO3_PER_L_PER_DKH
    return diluted + used
