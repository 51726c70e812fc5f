"""What the dose card says: its one line of why, and the workings behind its number."""

from datetime import datetime

from evenwater.domain.entries import zone_named
from evenwater.domain.keeper_units import change_number, level_words, unit_for, with_unit
from evenwater.domain.learn.estimate import BAND_SIGMAS, Estimate
from evenwater.domain.learn.trend import FEW_READINGS
from evenwater.domain.pond import Pond
from evenwater.domain.workings import Given, Step, Workings

CORRECTION_SHARE = 0.3
"""Share of the way to the target made up in one day. Our own, from simulated ponds."""
HOW_TO_DOSE = (
    "Dissolve in a bucket of pond water; pour over the return with the air on, half now, half in an hour."
    " Never into drum, skimmer or drain."
)
CAUTION = "Gloves and eye protection; keep from children; the packet's label comes first."


def reason_for(
    pond: Pond, state: Estimate | None, dose_dkh: float, lasts_days: float, stale: bool, at: datetime
) -> str:
    """Why this amount, in one line."""
    if state is None:
        return "No KH has been measured yet."
    loss = state.loss_at(state.level)
    lost = with_unit(change_number(pond, "kh_dkh", loss, 2), unit_for(pond, "kh_dkh").unit)
    age_days = (at - (state.last_reading_at or at)).days
    if stale:
        return f"KH was last measured {age_days} days ago: this replaces the {lost} a day it loses, no more."
    lift, target = dose_dkh - loss * lasts_days, level_words(pond, "kh_dkh", pond.kh_target_dkh)
    uses = f"The pond loses {lost} a day"
    if state.readings < FEW_READINGS:
        uses = f"Few readings yet: a usual pond loses {lost} a day"
    if lift > 0.05:
        return f"{uses}; this replaces it and lifts KH {change_number(pond, 'kh_dkh', lift, 1)} towards {target}."
    if lift < -0.05:
        return f"{uses}; this lets KH come down to {target}."
    return f"{uses}; this holds it near {target}."


def workings_for(
    pond: Pond,
    volume_l: float,
    state: Estimate,
    dose_dkh: float,
    dose_g: float,
    limit_dkh: float,
    limit_g: float,
    lasts_days: float,
    stale: bool,
) -> Workings:
    """Inputs, steps, result and source of one day's dose."""
    loss = state.loss_at(state.level)
    log, book = "learned from the log", "Pond book"
    inputs = [
        Given("KH expected then", f"{state.level:.1f} ± {BAND_SIGMAS * state.level_sd:.1f}", "°dKH", log),
        Given("last reading", state.last_reading or 0.0, "°dKH", f"one of {state.readings} in the log"),
        Given("loss", f"{loss:.2f} ± {state.loss_half_width:.2f}", "°dKH a day", log),
        Given("target", pond.kh_target_dkh, "°dKH", book),
        Given("volume", volume_l, "L", book),
        Given("purity", f"{pond.purity_fraction:.0%}", "", book),
    ]
    gap = pond.kh_target_dkh - state.level
    steps = [
        Step(f"replace the loss of {_days(lasts_days)}: {loss:.2f} × {lasts_days:g}", f"{loss * lasts_days:.2f} °dKH"),
        Step("the reading is old: no correction towards the target", "0 °dKH")
        if stale
        else Step(
            f"part of the way to the target: {CORRECTION_SHARE:g} × {gap:+.2f}", f"{CORRECTION_SHARE * gap:+.2f} °dKH"
        ),
        Step(f"together, between 0 and the day's limit of {limit_dkh:g}", f"{dose_dkh:.2f} °dKH"),
        Step(f"as {pond.substance.replace('_', ' ')} in {volume_l:.0f} L", f"{dose_g:.0f} g"),
        Step("the limit, in the same", f"{limit_g:.0f} g in 24 h"),
    ]
    if pond.capful_g:
        steps.insert(-1, Step(f"in capfuls of {pond.capful_g:g} g, to the quarter", f"{dose_g / pond.capful_g:.2f}"))
    warnings: tuple[str, ...] = ()
    if state.doubted_at is not None:
        on = state.doubted_at.astimezone(zone_named(pond.zone))
        warnings = (f"The reading of {on.day} {on:%b} is far from the others, not believed: test again.",)
    return Workings(
        title="Buffer",
        inputs=tuple(inputs),
        steps=tuple(steps),
        result=f"{dose_g:.0f} g",
        source="Stoichiometry of bicarbonate (1 °dKH = 0.35665 meq/L); the loss is our own filter over this log.",
        warnings=warnings,
    )


def _days(lasts_days: float) -> str:
    return "a day" if lasts_days == 1 else f"{lasts_days:g} days"
