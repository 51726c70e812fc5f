"""What to do first when an answer is act now: at most three steps, the most urgent first, and what to beware of.

First aid and no more: no diagnosis, no medicine; a fish vet, the label and local rules go before all of it. Common
practice, no source, except where a line says otherwise.
"""

from typing import Literal

Side = Literal["low", "high"]

DEFER = "Fish unwell: ring a fish vet. Their word, the label and local rules go before this."
_BUFFER = (
    "Buffer: gloves, dissolve it in pond water first, over the return with the air on; never mix it with anything."
)
_ELECTRIC = "Open and rewire nothing: plug, residual-current device and timer only. The rest is for an electrician."
_DECHLORINATOR = "Dechlorinator: gloves, by its label, never mixed with anything, out of children's reach."
_HOSE = "A hose in the pond: never out of sight, and with an air gap or what local rules ask against backflow."
_CHANGE = "Change up to a quarter of the water: dechlorinated, of the same temperature."

_AMMONIA = (
    "Feed nothing. No buffer beyond what tonight's card allows: a higher pH makes it worse.",
    "More air. Change a quarter of the water, dechlorinated, of the same temperature; a tenth where pH is under 7.",
    "Test TAN, pH and temperature together again tonight.",
)
_CHLORINE = (
    "Shut the tap and the trickle. More air.",
    "Dechlorinator for the whole pond, by its label.",
    "Test total chlorine in the pond again in ten minutes; watch the gills.",
)
_AFTER_CARBON = (
    "Stop the trickle; it stays shut until the carbon has been agitated or changed.",
    "Test total chlorine in the pond: any colour there means act.",
    "Test after the carbon again before the water may run on.",
)
_CHANGED_WARMTH = (
    "Stop what changes it: a hose, an open cover, a heater or a chiller.",
    "Feed nothing until it has been steady for a day.",
    "Go back slowly: at most 1 °C in an hour. Note the temperature each hour.",
)

_STEPS: dict[tuple[str, Side], tuple[str, ...]] = {
    ("temperature_c", "low"): (
        "Covers on, all of them. Trickle down to the least.",
        "Look at the heater's plug, residual-current device and timer.",
        "Feed nothing. No hot water in; warm it by no more than 1 °C in an hour.",
    ),
    ("temperature_c", "high"): (
        "More air: warm water holds less oxygen. Feed nothing.",
        "Shade by day; covers off at night. Heater off, at its own switch.",
        "Let cooler, dechlorinated water trickle in: no more than 1 °C in an hour.",
    ),
    ("temperature_change_c_per_day", "low"): _CHANGED_WARMTH,
    ("temperature_change_c_per_day", "high"): _CHANGED_WARMTH,
    ("ph", "low"): (
        "Test KH and ammonia (TAN) now. No buffer before: a low pH holds ammonia harmless.",
        "TAN near nothing: change a tenth of the water, dechlorinated, of the same temperature.",
        "Then raise KH in small steps, as tonight's dose says. Feed nothing meanwhile.",
    ),
    ("ph", "high"): (
        "Test ammonia (TAN) and temperature now: a high pH sets ammonia free. Feed nothing.",
        "More air, and shade: by day, algae and plants drive pH up. Give no buffer.",
        "Test again at dawn. Add no acid: a fast fall harms more.",
    ),
    ("ph_swing", "high"): (
        "Test KH: low KH lets pH swing.",
        "More air, at night above all; shade by day.",
        "Test pH at dawn and late in the afternoon for three days.",
    ),
    ("kh_dkh", "low"): (
        "Test ammonia (TAN) and pH now, before any buffer: raising KH raises pH and sets ammonia free.",
        "TAN near nothing: change some water, dechlorinated, of the same temperature.",
        "Then raise KH in small steps, as tonight's dose says. Feed less until it is back.",
    ),
    ("kh_dkh", "high"): (
        "Give no buffer.",
        "Test the source water: is it harder than it was set down?",
        "Let the trickle bring it down; nothing sudden.",
    ),
    ("gh_dgh", "low"): (
        "Test GH of the trickle: does more softened water run in than was meant?",
        "Let some water go round the membrane, dechlorinated, a little more each day.",
        "Test GH again in two days. Add no minerals by guess.",
    ),
    ("gh_dgh", "high"): (
        "Test GH of the mains and of the trickle: is the membrane running?",
        "Let softened water bring it down slowly.",
        "Test again in a week.",
    ),
    ("nh3_mg_per_l", "high"): _AMMONIA,
    ("tan_mg_n_per_l", "high"): _AMMONIA,
    ("nitrite_n_mg_per_l", "high"): (
        "Feed nothing today. More air.",
        _CHANGE,
        "Test nitrite again tonight, and chloride, which shields: see Nitrite and chloride.",
    ),
    ("nitrate_n_mg_per_l", "high"): (
        "Change a tenth of the water a day, dechlorinated, until it is below the line.",
        "Feed less; take sludge out of filter and bottom.",
        "Test the source water too: it may bring nitrate.",
    ),
    ("total_chlorine_ug_per_l", "high"): _CHLORINE,
    ("free_chlorine_ug_per_l", "high"): _CHLORINE,
    ("oxygen_mg_per_l", "low"): (
        "All the air you have, at once. Stop feeding.",
        "Do pump and filter run? Covers open a hand's breadth.",
        "Measure again in ten minutes; then test ammonia and nitrite.",
    ),
    ("oxygen_mg_per_l", "high"): (
        "Check the probe in air: it should read near the saturation in the workings.",
        "More air drives the excess off; shade against algae.",
        "Measure again at dusk and at dawn.",
    ),
    ("ec25_us_per_cm", "low"): (
        "Is water running away, or in? Look at level, trickle and hoses.",
        "Measure the trickle: mains, after carbon, after membrane.",
        "Shut the trickle until it is clear what changed.",
    ),
    ("ec25_us_per_cm", "high"): (
        "Look at membrane and bypass: is harder water running in?",
        "Measure the trickle: mains, after carbon, after membrane.",
        "Shut the trickle until it is clear what changed.",
    ),
    ("salinity_g_per_l", "high"): (
        "Put in no more salt. Measure again, with a second meter if you can.",
        "Change a tenth of the water a day, dechlorinated, of the same temperature.",
        "More air. Was it meant? Then write the salt down.",
    ),
}

_CAUTIONS: dict[str, tuple[str, ...]] = {
    "temperature_c": (_ELECTRIC,),
    "temperature_change_c_per_day": (_ELECTRIC,),
    "ph": (_BUFFER,),
    "kh_dkh": (_BUFFER,),
    "total_chlorine_ug_per_l": (_DECHLORINATOR,),
    "free_chlorine_ug_per_l": (_DECHLORINATOR,),
    "nh3_mg_per_l": (_HOSE,),
    "tan_mg_n_per_l": (_HOSE,),
    "nitrite_n_mg_per_l": (_HOSE,),
    "nitrate_n_mg_per_l": (_HOSE,),
    "salinity_g_per_l": (_HOSE,),
    "oxygen_mg_per_l": (_ELECTRIC,),
}
_ANY = (
    "Measure again, to be sure.",
    "Look at the fish, the flow and the air.",
)


def first_steps(quantity: str, side: Side, point: str = "pond") -> tuple[str, ...]:
    """What to do first, most urgent first, for a quantity that is act now on that side; at most three."""
    if point == "after_carbon":
        return _AFTER_CARBON
    return _STEPS.get((quantity, side), _ANY)


def cautions_of(quantity: str) -> tuple[str, ...]:
    """What to beware of while doing it, each one line; whom to ask comes last."""
    return (*_CAUTIONS.get(quantity, ()), DEFER)
