"""Write doubt_cases.json anew: what a person typed, what was expected, and the question it should raise.

    python tests/reference/water/make_doubt_cases.py

Each line below says what it is about; the numbers worked out (`meant`) are checked against published factors in
test_doubt_cases.py, not merely copied from the function.
"""

from pathlib import Path

import msgspec

from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.doubts import doubt

FILE = Path(__file__).with_name("doubt_cases.json")

TYPED: tuple[tuple[str, str, float, tuple[float, float] | None], ...] = (
    ("a KH like any other is not asked about", "kh_dkh", 5.0, (4.2, 6.1)),
    ("a KH on the lower end of the expected is not asked about", "kh_dkh", 4.2, (4.2, 6.1)),
    ("a KH on the upper end of the expected is not asked about", "kh_dkh", 6.1, (4.2, 6.1)),
    ("a KH just below the expected is a jump", "kh_dkh", 4.1, (4.2, 6.1)),
    ("60 for 6.0 lost its decimal point", "kh_dkh", 60.0, (4.5, 6.5)),
    ("60 for 6.0 where the milligrams would fit too, but farther from the middle", "kh_dkh", 60.0, (2.0, 8.0)),
    ("0.5 for 5.0 moved its decimal point", "kh_dkh", 0.5, (4.5, 6.5)),
    ("89 mg/L as CaCO3 typed as degrees", "kh_dkh", 89.0, (4.2, 6.1)),
    ("89 mg/L as CaCO3 with nothing known of the pond", "kh_dkh", 89.0, None),
    ("25 mg/L as CaCO3 is a possible KH and still not this pond's", "kh_dkh", 25.0, (1.0, 2.2)),
    ("18 degrees are much, and 18 mg/L would be usual", "kh_dkh", 18.0, None),
    ("1.8 meq/L typed as degrees", "kh_dkh", 1.8, (4.5, 6.0)),
    ("KH up by six in a day", "kh_dkh", 11.0, (4.2, 6.1)),
    ("KH of nothing is a jump, not a unit", "kh_dkh", 0.0, (4.2, 6.1)),
    ("KH of nothing with nothing known", "kh_dkh", 0.0, None),
    ("a KH that nothing explains is left to the field", "kh_dkh", 9000.0, (4.2, 6.1)),
    ("a negative KH is left to the field", "kh_dkh", -3.0, None),
    ("an impossible KH explained by the usual, not by the expected", "kh_dkh", 200.0, (4.2, 6.1)),
    ("200 mg/L of hardness as CaCO3 typed as degrees", "gh_dgh", 200.0, None),
    ("1.5 mmol/L of hardness typed as degrees", "gh_dgh", 1.5, (7.0, 10.0)),
    ("nitrate typed as the ion", "nitrate_n_mg_per_l", 44.0, (5.0, 15.0)),
    ("nitrate of 44 with nothing known could be either", "nitrate_n_mg_per_l", 44.0, None),
    ("nitrate of 120 with nothing known", "nitrate_n_mg_per_l", 120.0, None),
    ("nitrite typed as the ion", "nitrite_n_mg_per_l", 0.33, (0.05, 0.15)),
    ("ammonia typed as ammonium", "tan_mg_n_per_l", 1.3, (0.8, 1.1)),
    ("pH 75 lost its decimal point", "ph", 75.0, None),
    ("pH 745 lost its decimal point twice over", "ph", 745.0, (7.2, 7.8)),
    ("pH 15 is left to the field", "ph", 15.0, (7.2, 7.8)),
    ("pH 5 in a pond of 7.5 is a jump", "ph", 5.0, (7.2, 7.8)),
    ("water of 55 degrees Fahrenheit", "temperature_c", 55.0, None),
    ("water of 35 degrees Fahrenheit", "temperature_c", 35.0, None),
    ("water of 55 degrees Fahrenheit where 12 to 14 are expected", "temperature_c", 55.0, (12.0, 14.0)),
    ("chlorine typed in mg/L", "total_chlorine_ug_per_l", 0.05, None),
    ("no chlorine at all", "total_chlorine_ug_per_l", 0.0, None),
    ("free chlorine typed in mg/L", "free_chlorine_ug_per_l", 0.5, None),
    ("a tap with much chlorine is nothing to ask about in another unit", "total_chlorine_ug_per_l", 3000.0, None),
    ("conductivity typed in mS/cm", "ec25_us_per_cm", 0.45, None),
    ("conductivity typed in mS/cm where the pond's own is known", "ec25_us_per_cm", 0.45, (400.0, 520.0)),
    ("permeate of 8 µS/cm is nothing odd", "ec25_us_per_cm", 8.0, None),
    ("oxygen typed in per cent", "oxygen_mg_per_l", 95.0, None),
    ("oxygen typed in per cent, where a slip would be usual", "oxygen_mg_per_l", 180.0, None),
    ("oxygen in mg/L with a slip: over 200 per cent there is none", "oxygen_mg_per_l", 900.0, None),
    ("salt typed in per cent", "salinity_g_per_l", 0.3, (2.5, 3.5)),
    ("a level typed in centimetres", "level_below_mark_mm", 4.5, (35.0, 60.0)),
    ("an expected band that is empty lets nothing in", "kh_dkh", 5.0, (6.0, 4.0)),
)


def cases() -> list[dict[str, object]]:
    """Every case with its answer, and the edges of every quantity."""
    edges = [
        (f"{one.label}: the {word} of the possible, nothing known", one.quantity, value, None)
        for one in QUANTITIES.values()
        for word, value in (("low end", one.low), ("high end", one.high))
    ]
    return [
        {
            "name": name,
            "quantity": quantity,
            "value": value,
            "expected": expected,
            "doubt": doubt(QUANTITIES[quantity], value, expected),
        }
        for name, quantity, value, expected in (*TYPED, *edges)
    ]


if __name__ == "__main__":
    content = {"quantities": QUANTITIES, "cases": cases()}
    FILE.write_bytes(msgspec.json.format(msgspec.json.encode(content), indent=1) + b"\n")
