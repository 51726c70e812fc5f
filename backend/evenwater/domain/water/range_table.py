"""The table of ranges for koi, adult and used to their water: each line's cuts, and what they rest on.

A number without a source says so. "(quoted)": read in another's quotation; "(from memory)": not looked up again.
"""

from msgspec import Struct

from evenwater.domain.water.ammonia_limits import NH3_LIMIT_MG_PER_L


class Row(Struct, frozen=True, kw_only=True):
    """One line of the table: where the answers of a quantity, or of a number worked out, begin.

    `basis`: what that rests on, in words. `stale_days`: how long a reading is good for [days] (common practice, no
    source). `emergency_below`, `emergency_above`: at once.
    """

    quantity: str
    basis: str
    stale_days: float
    act_below: float | None = None
    drift_below: float | None = None
    drift_above: float | None = None
    act_above: float | None = None
    emergency_below: float | None = None
    emergency_above: float | None = None


_WEEKLY = 8.0
_CHLORINE = "EPA 1984: 11 µg/L over days, 19 for an hour (from memory); no colour card shows that little"

ROWS: dict[str, Row] = {
    row.quantity: row
    for row in (
        Row(
            quantity="temperature_c",
            basis="koi thrive at 22 to 26 (Water 2025, 17:666; FAO); the edges are common practice, no source",
            stale_days=2,
            act_below=2,
            drift_below=4,
            drift_above=28,
            act_above=30,
        ),
        Row(
            quantity="temperature_change_c_per_day",
            basis="harm is shown from 7 °C at once (Tanck 2000); the lines are common practice, no source",
            stale_days=2,
            drift_above=1,
            act_above=3,
        ),
        Row(
            quantity="temperature_change_c_per_h",
            basis="harm is shown from 7 °C at once (Tanck 2000); the line is common practice, no source",
            stale_days=2,
            act_above=1,
        ),
        Row(
            quantity="ph",
            basis="EPA: 6.5 to 9.0 (quoted); the inner lines are common practice, no source",
            stale_days=_WEEKLY,
            act_below=6.5,
            drift_below=7.0,
            drift_above=8.6,
            act_above=9.0,
        ),
        Row(
            quantity="ph_swing",
            basis="Directive 2006/44/EC: not more than 0.5; 0.3 is common practice, no source",
            stale_days=_WEEKLY,
            drift_above=0.3,
            act_above=0.5,
        ),
        Row(
            quantity="kh_dkh",
            basis="below 2.24 nitrifiers starve (40 mg/L as CaCO₃, EPA 1975, quoted); the rest is common practice",
            stale_days=7,
            act_below=2.5,
            drift_below=4,
            drift_above=10,
        ),
        Row(
            quantity="gh_dgh",
            basis="common practice, no source",
            stale_days=_WEEKLY,
            act_below=2,
            drift_below=4,
            drift_above=16,
        ),
        Row(
            quantity="nh3_mg_per_l",
            basis="Directive 2006/44/EC: 0.005 wanted, 0.025 the limit (from memory); 0.1 is common practice",
            stale_days=_WEEKLY,
            drift_above=0.005,
            act_above=NH3_LIMIT_MG_PER_L,
            emergency_above=0.1,
        ),
        Row(quantity="tan_mg_n_per_l", basis="EPA 2013 and Directive 2006/44/EC (from memory)", stale_days=_WEEKLY),
        Row(
            quantity="nitrite_n_mg_per_l",
            basis="0.1 and 0.5 as NO₂: common practice; chloride shields koi (Kroupova 2006)",
            stale_days=_WEEKLY,
            drift_above=0.0304,
            act_above=0.152,
        ),
        Row(
            quantity="chloride_per_nitrite_n",
            basis="ten times the nitrite-N shields (from memory); below three is common practice, no source",
            stale_days=_WEEKLY,
            act_below=10,
            emergency_below=3,
        ),
        Row(
            quantity="nitrate_n_mg_per_l",
            basis="no harm seen to 90 (EPA, quoted); 50 and 200 as NO₃ are common practice, no source",
            stale_days=15,
            drift_above=11.3,
            act_above=45.2,
        ),
        Row(
            quantity="total_chlorine_ug_per_l",
            basis=_CHLORINE,
            stale_days=_WEEKLY,
            drift_above=10,
            act_above=20,
        ),
        Row(
            quantity="free_chlorine_ug_per_l",
            basis=f"{_CHLORINE}; free chlorine leaves out chloramine",
            stale_days=_WEEKLY,
            drift_above=10,
            act_above=20,
        ),
        Row(
            quantity="oxygen_mg_per_l",
            basis="EPA 1986: from 6 no harm, 3 the least of a day (quoted); 7 and 80 % leave room",
            stale_days=1,
            act_below=5,
            drift_below=7,
            emergency_below=3,
        ),
        Row(
            quantity="oxygen_saturation_fraction",
            basis="common practice, no source",
            stale_days=1,
            drift_below=0.8,
            drift_above=1.2,
        ),
        Row(
            quantity="ec25_us_per_cm",
            basis="a tenth off the pond's own: look at trickle and membrane; common practice, no source",
            stale_days=_WEEKLY,
        ),
        Row(
            quantity="ec25_change_fraction",
            basis="common practice, no source",
            stale_days=_WEEKLY,
            drift_below=-0.1,
            drift_above=0.1,
        ),
        Row(
            quantity="ec25_change_fraction_per_day",
            basis="a fifth in a day with no salt logged; common practice, no source",
            stale_days=_WEEKLY,
            act_below=-0.2,
            act_above=0.2,
        ),
        Row(
            quantity="salinity_g_per_l",
            basis="young carp all lived at 6 (Mangat & Hundal 2014); the lines are common practice, no source",
            stale_days=_WEEKLY,
            drift_above=1,
            act_above=3,
        ),
    )
}
"""Every line of the table, by quantity."""
