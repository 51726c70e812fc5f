"""Salt as measured, beside what was written down as put in. Arithmetic, not treatment."""

from evenwater.domain.pond import Pond
from evenwater.domain.water.outlook import Finding
from evenwater.domain.water.recent import SALT_COURSE, Read, Recent
from evenwater.domain.workings import Given, Step, Workings


def salt_finding(pond: Pond, recent: Recent) -> Finding | None:
    """Salt as measured, beside what was written down as put in."""
    measured = recent.latest("salinity_g_per_l")
    if measured is None:
        return None
    put_in_g = sum(grams for at, grams in recent.salts if measured.at - SALT_COURSE <= at <= measured.at)
    says = f"Measured on {_day(measured)}."
    steps: tuple[Step, ...] = (Step("salt put in in the four weeks before", f"{put_in_g / 1000:.3g} kg"),)
    if put_in_g > 0.0 and pond.volume_l is not None:
        made = put_in_g / pond.volume_l
        says += f" The {put_in_g / 1000:.3g} kg put in before would make {made:.2g} g/L, less what the trickle took."
        steps += (Step("that in the pond's volume, nothing carried off", f"{made:.3g} g/L"),)
    elif put_in_g == 0.0:
        says += " No salt was written down in the four weeks before."
    return Finding(
        id="salt",
        section="water",
        title="Salt",
        big=f"{measured.value:g} g/L",
        says=says,
        workings=Workings(
            title="Salt put in and salt measured",
            inputs=(
                Given("salt", measured.value, "g/L", "reading"),
                Given("volume", pond.volume_l or "not known", "L", "pond"),
            ),
            steps=steps,
            result=f"{measured.value:g} g/L measured",
            source="Mass balance.",
        ),
    )


def _day(read: Read) -> str:
    return f"{read.on.day} {read.on:%B}"
