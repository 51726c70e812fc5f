"""Salt: what shields from nitrite, what was put in, and how much water it tells of. Arithmetic, not treatment."""

from datetime import timedelta

from evenwater.domain.pond import Pond
from evenwater.domain.water.nitrite import SHIELD_RATIO, salt_mg_per_l
from evenwater.domain.water.outlook import Finding
from evenwater.domain.water.paired_answers import CHLORIDE_WITHIN
from evenwater.domain.water.recent import SALT_COURSE, Read, Recent
from evenwater.domain.water.salt import LEAST_RISE_US_PER_CM, volume_by_salt_l
from evenwater.domain.workings import Given, Step, Workings

_MOST_SALT_MG_PER_L = 1000.0
_BEFORE, _MIXED, _AFTER = timedelta(hours=24), timedelta(hours=2), timedelta(hours=24)
_CAUTIONS = (
    "Salt: pure, without anti-caking agent; dissolve it first, spread it over hours, never on a fish. Plants suffer.",
    "Zeolite in the filter lets its ammonia go into salted water: take it out first.",
    "This is arithmetic: whether to salt at all is for you and a fish vet to say.",
)


def nitrite_finding(pond: Pond, recent: Recent) -> Finding | None:
    """Whether chloride shields from the nitrite there is, and the salt that would make it do so."""
    nitrite = recent.latest("nitrite_n_mg_per_l")
    chloride = None if nitrite is None else recent.nearest("chloride_mg_per_l", nitrite.at, CHLORIDE_WITHIN)
    if nitrite is None or chloride is None or nitrite.value <= 0.0:
        return None
    ratio = chloride.value / nitrite.value
    salt = salt_mg_per_l(nitrite.value, chloride.value, SHIELD_RATIO)
    amount = f"{salt:.3g} mg/L"
    if pond.volume_l is not None:
        amount += f", {salt * pond.volume_l / 1e6:.2g} kg in {pond.volume_l:g} L"
    if salt <= 0.0:
        says = f"Chloride {chloride.value:g} mg/L is {ratio:.3g} times the nitrite-N: it shields."
    elif salt <= _MOST_SALT_MG_PER_L:
        says = f"Chloride is {ratio:.3g} times the nitrite-N; {SHIELD_RATIO:g} times shields. Salt for that: {amount}."
    else:
        says = f"Chloride is {ratio:.3g} times the nitrite-N, and no sensible salt would shield: change water instead."
    return Finding(
        id="nitrite-chloride",
        section="water",
        title="Nitrite and chloride",
        big=f"{ratio:.3g} : 1",
        says=f"{says} From the nitrite of {nitrite.day}.",
        cautions=_CAUTIONS if 0.0 < salt <= _MOST_SALT_MG_PER_L else (),
        workings=Workings(
            title="Salt against nitrite",
            inputs=(
                Given("nitrite", nitrite.value, "mg/L as N", "reading"),
                Given("chloride", chloride.value, "mg/L", "reading"),
                Given("wanted ratio", SHIELD_RATIO, "", "common practice"),
            ),
            steps=(
                Step("chloride ÷ nitrite-N, by weight", f"{ratio:.3g}"),
                Step("salt that lifts it to the wanted ratio, pure", f"{salt:.3g} mg/L"),
            ),
            result=f"{salt:.3g} mg/L of salt",
            source="Kroupova et al. (2006), Vet. Med. 51, 423-431, for the shielding; ten to one is extension practice,"
            f" from memory. Never more than {_MOST_SALT_MG_PER_L / 1000:g} g/L from here.",
        ),
    )


def salt_finding(pond: Pond, recent: Recent) -> Finding | None:
    """Salt as measured, beside what was written down as put in."""
    measured = recent.latest("salinity_g_per_l")
    if measured is None:
        return None
    put_in_g = sum(grams for at, grams in recent.salts if measured.at - SALT_COURSE <= at <= measured.at)
    says = f"Measured on {measured.day}."
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


def volume_finding(pond: Pond, recent: Recent) -> Finding | None:
    """The pond's volume by the rise of conductivity that a known amount of salt made, latest first."""
    test = _salt_test(recent)
    if test is None:
        return None
    salt_g, before, after = test
    volume_l, sd_l = volume_by_salt_l(salt_g, 1.0, before.value, after.value)
    rise = after.value - before.value
    says = f"{salt_g / 1000:.3g} kg of salt on {after.day} lifted conductivity by {rise:.0f} µS/cm."
    if pond.volume_l is not None:
        apart = abs(pond.volume_l - volume_l) > 2.0 * sd_l
        says += f" Set down as {pond.volume_l:.0f} L: " + ("look again, doses rest on it." if apart else "that fits.")
    return Finding(
        id="volume-by-salt",
        section="water",
        title="Volume by salt",
        big=f"{volume_l:.0f} ± {sd_l:.0f} L",
        says=says,
        workings=Workings(
            title="Volume by salt",
            inputs=(
                Given("salt", round(salt_g), "g", "written down"),
                Given("conductivity before", before.value, "µS/cm", "reading"),
                Given("conductivity after", after.value, "µS/cm", "reading"),
            ),
            steps=(
                Step("rise of conductivity", f"{rise:.0f} µS/cm"),
                Step("volume in which that salt makes that rise, and its standard deviation", f"{volume_l:.0f} L"),
            ),
            result=f"{volume_l:.0f} ± {sd_l:.0f} L",
            source="Salt dilution: conductivity per gram of salt from PHREEQC. The trickle must be shut and the water "
            "mixed meanwhile; at 5 % a day six hours of trickle cost 1.2 %.",
        ),
    )


def volume_by_last_salt(recent: Recent) -> tuple[float, float] | None:
    """Volume by the latest salt that tells it, and its standard deviation [L]; None where none does."""
    test = _salt_test(recent)
    if test is None or test[2].value - test[1].value < LEAST_RISE_US_PER_CM:
        return None
    salt_g, before, after = test
    return volume_by_salt_l(salt_g, 1.0, before.value, after.value)


def _salt_test(recent: Recent) -> tuple[float, Read, Read] | None:
    """Grams of the latest salt that has a conductivity in the day before and one, mixed, in the day after."""
    for i, (at, grams) in reversed(list(enumerate(recent.salts))):
        series = recent.of("ec25_us_per_cm")
        before = next((one for one in reversed(series) if at - _BEFORE <= one.at <= at), None)
        after = next((one for one in series if at + _MIXED <= one.at <= at + _AFTER), None)
        if before is None or after is None or after.value <= before.value:
            continue
        others = [other for j, (other, _) in enumerate(recent.salts) if j != i and before.at < other <= after.at]
        if not others:
            return grams, before, after
    return None
