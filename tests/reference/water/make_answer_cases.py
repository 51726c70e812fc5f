"""Write answer_cases.json anew: cuts, a value, the step of the kit, and the one answer.

    python tests/reference/water/make_answer_cases.py

For every line of the table that a value alone can answer: each cut, the float below and the float above it, the middle
between cuts and both ends of the possible; the same with the kit's step. Then ranges with ends left out.
"""

from collections.abc import Iterable
from itertools import pairwise
from math import inf, nextafter
from pathlib import Path

import msgspec
from msgspec.structs import replace

from evenwater.domain.pond import Pond, Range
from evenwater.domain.quantities import QUANTITIES
from evenwater.domain.water.outlook import Cuts
from evenwater.domain.water.range_table import ROWS
from evenwater.domain.water.ranges import Around, answer_of, cuts_of

FILE = Path(__file__).with_name("answer_cases.json")
POND = Pond(id="main")
HEATED = Around(setting_c=(17.0, 18.0), nature_warms=False, salt_course=True, usual_ec25=450.0)


def all_cuts() -> list[tuple[str, Cuts, float]]:
    """(what, cuts, kit step) of everything that has cuts, plain and with what a reading can be judged by beside."""
    found: list[tuple[str, Cuts | None, float]] = []
    for quantity in ROWS:
        step = QUANTITIES[quantity].step if quantity in QUANTITIES else 0.0
        found += [(quantity, cuts_of(POND, {}, quantity, "pond"), step)]
        if quantity in ("temperature_c", "salinity_g_per_l", "ec25_us_per_cm"):
            found += [(f"{quantity}, more known", cuts_of(POND, {}, quantity, "pond", HEATED), step)]
    found += [("after carbon", cuts_of(POND, {}, "total_chlorine_ug_per_l", "after_carbon"), 10.0)]
    own = {"kh_dkh": Range(act_below=3.0, drift_below=4.5, drift_above=8.0, act_above=12.0)}
    found += [("the keeper's own KH", cuts_of(POND, own, "kh_dkh", "pond"), 1.0)]
    bare = Cuts(quantity="kh_dkh", point="pond")
    found += [("no cuts at all", bare, 0.5), ("only act now below", replace(bare, act_below=2.5), 0.5)]
    found += [("only act now above", replace(bare, act_above=9.0), 0.5)]
    return [(what, cuts, step) for what, cuts, step in found if cuts is not None]


def values_of(cuts: Cuts) -> list[float]:
    """Each cut with both its neighbours, the middles between, and far ends."""
    ends = [cuts.act_below, cuts.drift_below, cuts.drift_above, cuts.act_above]
    known = sorted({one for one in ends if one is not None})
    values = [near for cut in known for near in (nextafter(cut, -inf), float(cut), nextafter(cut, inf))]
    values += [(low + high) / 2 for low, high in pairwise(known)]
    quantity = QUANTITIES.get(cuts.quantity)
    far = [quantity.low, quantity.high] if quantity else [-1.0, 100.0]
    return sorted({*values, *(float(one) for one in far), 0.0})


def cases() -> Iterable[dict[str, object]]:
    """Every case with its answer."""
    for what, cuts, step in all_cuts():
        for kit in dict.fromkeys((0.0, step)):
            for value in values_of(cuts):
                name = f"{what}: {value!r}" + (f", kit of {kit:g}" if kit else "")
                answer = answer_of(cuts, value, kit)
                yield {"name": name, "cuts": cuts, "value": value, "step": kit, "answer": answer}


if __name__ == "__main__":
    FILE.write_bytes(b"[\n" + b",\n".join(msgspec.json.encode(case) for case in cases()) + b"\n]\n")
