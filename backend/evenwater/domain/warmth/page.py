"""The Warmth page of one pond, put together from what stands in the log, and what it means for today's jobs."""

import hashlib
from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta

import msgspec
import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from evenwater.domain.entries import zone_named
from evenwater.domain.errors import DomainError
from evenwater.domain.fold import Known, Seen
from evenwater.domain.keeper_units import level_words
from evenwater.domain.kit import Tariff
from evenwater.domain.pond import Pond
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.covers import CoverAdvice, Night, Windows, cover_advice, night_of
from evenwater.domain.warmth.from_log import Heat, heat_of
from evenwater.domain.warmth.heat_log import heater_jobs, latest_water
from evenwater.domain.warmth.heater.heater_finding import HeaterAdvice, Part, heater_advice
from evenwater.domain.warmth.house_finding import house_finding
from evenwater.domain.warmth.level_finding import level_fall_of, level_finding
from evenwater.domain.warmth.loss_finding import loss_finding, track_words
from evenwater.domain.warmth.month_cost import Held, month_cost, month_finding
from evenwater.domain.warmth.outlook import MonthCost, PondWarmth, Proposal, Section, Tonight, WarmthFinding
from evenwater.domain.warmth.pond_air import HOUR, Samples
from evenwater.domain.warmth.season.season import COLD_SNAP_K, DaySetting, setting_today, settings_ahead
from evenwater.domain.warmth.season.season_care import care_findings
from evenwater.domain.warmth.season.season_cost import cost_findings, so_far
from evenwater.domain.warmth.season.season_offer import offer_of
from evenwater.domain.warmth.warnings import warnings_of

_DAYS = 14
_FRESH = timedelta(days=7)
"""How long a water temperature says anything of food, cost and the season."""


class WarmthAdvice(Struct, frozen=True, kw_only=True):
    """What the page means for jobs: covers by date and slot, settings by date and part of the day; each with why."""

    covers: dict[tuple[date, str], CoverAdvice] = {}
    settings: dict[tuple[date, Part], DaySetting] = {}


class Warm(Struct, frozen=True):
    """A pond's page, what it means for its jobs, and the samples it rests on."""

    page: PondWarmth
    advice: WarmthAdvice
    samples: Samples = Samples()


def warmth_of(known: Known, pond: Pond, samples: Samples, windows: Windows, today: date, now: datetime) -> Warm:
    """Everything the Warmth page shows of a pond.

    Args:
        known: All that stands in the log.
        pond: The pond as set for today.
        samples: What probes and the weather service sent.
        windows: When covers go off and on, by date and slot.
        today: The civil date at the pond.
        now: The moment, aware.
    """
    facts = tuple(one for one in known.of_pond(pond.id) if one.at <= now)
    jobs = known.standing_jobs(pond.id, today)
    heat = heat_of(pond, jobs, facts, samples, now)
    if heat is None:
        return _stamped(PondWarmth(pond=pond.id, tag="", lacking=("The pond's volume.",)), WarmthAdvice())
    water = latest_water(facts, samples)
    water_c = _sure_c(heat, water) if water and now - water[0] < _FRESH else None
    night = night_of(heat, windows, today, now)
    made = [(at.astimezone(zone_named(pond.zone)).date(), setting_c) for at, setting_c in heat.settings]
    setting = _season_setting(heat, made, water_c, today)
    target_c = setting.setting_c if setting else made[-1][1] if made else _planned(jobs)
    covers = cover_advice(heat, night, windows, today)
    season_c = setting.setting_c if setting else None
    heater = heater_advice(heat, samples, windows, covers, season_c, _mornings(jobs))
    settings = _settings(heat, setting, heater, today)
    tariff = pond.tariff
    findings: list[WarmthFinding] = [*warnings_of(heat, facts, samples, night, target_c, now), *heater.findings]
    proposal: Proposal | None = None
    if tariff is not None and water_c is not None and target_c is not None and setting is None:
        offer = offer_of(heat, tariff, water_c, target_c, today)
        proposal = offer.proposal
        findings += [offer.holding] if offer.holding else []
    season = pond.season if setting else None
    held = None if water_c is None or target_c is None else Held(water_c, target_c, season)
    month, costs = _costs(known, heat, facts, samples, held, today)
    findings += costs
    if water_c is not None:
        findings += care_findings(pond, water_c, today)
        findings += _tried("house", lambda: [house_finding(heat, water_c, facts, samples, now)])
    findings += _tried("care", lambda: [level_finding(level_fall_of(pond, jobs, facts, samples, now))])
    findings.append(loss_finding(heat))
    page = PondWarmth(
        pond=pond.id,
        tag="",
        water_c=water[1] if water else None,
        water_at=water[0] if water else None,
        says=_says(pond, setting, target_c, today),
        tonight=_tonight(heat, night, covers, heater, now) if night else None,
        proposal=proposal,
        settings=_dated(settings) if pond.season else (),
        findings=tuple(findings),
        lacking=_lacking(pond, heat, night, tariff),
        month=month,
    )
    return _stamped(page, WarmthAdvice(covers=covers, settings=settings))


def _costs(
    known: Known, heat: Heat, facts: Sequence[Seen], samples: Samples, held: Held | None, today: date
) -> tuple[MonthCost | None, list[WarmthFinding]]:
    """What the month comes to, and all that is said of cost."""
    pond, tariff = heat.pond, heat.pond.tariff
    if tariff is None:
        return None, []
    tariffs = _tariffs(known, pond, tariff)
    month: MonthCost | None = None
    findings: list[WarmthFinding] = []
    try:
        month = month_cost(heat, facts, samples, tariffs, held, today) if held else None
        findings += [month_finding(tariff, month)] if month else []
    except (DomainError, ArithmeticError) as error:
        findings.append(_not_said("cost", error))
    water_c, target_c = (held.water_c, held.setting_c) if held else (None, None)
    return month, findings + _tried(
        "cost", lambda: cost_findings(heat, so_far(heat, facts, samples, tariffs, today), water_c, target_c, today)
    )


def _tried(section: Section, find: Callable[[], Sequence[WarmthFinding | None]]) -> list[WarmthFinding]:
    """The findings of a section; one odd setting must not take the others with it."""
    try:
        return [one for one in find() if one is not None]
    except (DomainError, ArithmeticError) as error:
        return [_not_said(section, error)]


def _mornings(jobs: Sequence[StandingJob]) -> bool:
    """Whether a job sends somebody to the heater in the morning."""
    windows = [window for job in heater_jobs(jobs) for window in job.windows.values()]
    return any(window.part == "morning" for window in windows)


def _sure_c(heat: Heat, water: tuple[datetime, float]) -> float:
    """The water to act upon [°C]: as last read, or as expected while that reading is doubted."""
    last = heat.belief.foretold[-1] if heat.belief and heat.belief.foretold else None
    if last is None or last.believed or abs(heat.place(water[0]) - last.at_h) > 0.5:
        return water[1]
    return last.mean_c


def _tariffs(known: Known, pond: Pond, tariff: Tariff) -> Callable[[date], Tariff]:
    """The tariff that held on a date; today's where none did yet."""

    def on(day: date) -> Tariff:
        then = next((one for one in known.ponds(day) if one.id == pond.id), None)
        return then.tariff if then is not None and then.tariff is not None else tariff

    return on


def _dated(settings: dict[tuple[date, Part], DaySetting]) -> tuple[tuple[date, float], ...]:
    """The days on which the setting changes, and to what."""
    found: list[tuple[date, float]] = []
    for (on, _), one in sorted(settings.items()):
        if not found or found[-1][1] != one.setting_c:
            found.append((on, one.setting_c))
    return tuple(found)


def _stamped(page: PondWarmth, advice: WarmthAdvice) -> Warm:
    return Warm(replace(page, tag=hashlib.sha256(msgspec.json.encode(page)).hexdigest()[:12]), advice)


def _planned(jobs: Sequence[StandingJob]) -> float | None:
    return next((job.setting_c for job in heater_jobs(jobs) if job.setting_c is not None), None)


def _season_setting(
    heat: Heat, made: Sequence[tuple[date, float]], water_c: float | None, today: date
) -> DaySetting | None:
    season = heat.pond.season
    return setting_today(heat.pond, season, made, water_c, _cold_snap(heat), today) if season else None


def _cold_snap(heat: Heat) -> bool:
    """Whether the next two days are much colder than the last week, as far as both are known."""
    here, air = int(heat.now_h), heat.air.weather.air_c
    before, after = air[max(0, here - 168) : here], air[here : here + 48]
    if np.isfinite(before).sum() < 48 or np.isfinite(after).sum() < 12:
        return False
    return bool(np.nanmean(after) < np.nanmean(before) - COLD_SNAP_K)


def _settings(
    heat: Heat, setting: DaySetting | None, heater: HeaterAdvice, today: date
) -> dict[tuple[date, Part], DaySetting]:
    """The heater's setting on each day ahead: by the season that was agreed, else by the plan for the next nights."""
    season = heat.pond.season
    if season is None:
        return heater.settings
    if setting is None:
        return {}
    ahead = settings_ahead(season, setting.setting_c, today, _DAYS)
    later = [(on, DaySetting(setting_c, "Step by step, if the weather allows.")) for on, setting_c in ahead]
    return {(on, "evening"): one for on, one in [(today, setting), *later]}


def _says(pond: Pond, setting: DaySetting | None, target_c: float | None, today: date) -> str:
    if target_c is None:
        return ""
    words = f"tonight's setting {level_words(pond, 'temperature_c', target_c)}"
    if pond.season is None or setting is None:
        return words
    name = "step-down" if pond.season.to_c < pond.season.from_c else "step-up"
    return f"{name}, day {(today - pond.season.starts_on).days + 1} · {words}"


def _tonight(
    heat: Heat, night: Night, covers: dict[tuple[date, str], CoverAdvice], heater: HeaterAdvice, now: datetime
) -> Tonight:
    until = night.dawn_at + HOUR * 9
    advice = covers.get((night.on, "on"))
    since_h = heat.now_h - 24
    low, wind = _night_words(heat, night)
    return Tonight(
        dawn_at=night.dawn_at,
        covered=_tenths(night.covered.fan(until)),
        bare=_tenths(night.bare.fan(until)),
        covered_dawn=_band(night.covered.at(night.dawn_at)),
        bare_dawn=_band(night.bare.at(night.dawn_at)),
        air=tuple(
            (heat.at(hour), round(float(heat.air.weather.air_c[hour]), 1))
            for hour in range(int(heat.now_h), min(len(heat.air.weather), int(heat.place(until)) + 1))
            if heat.air.weather.air_c[hour] == heat.air.weather.air_c[hour]
        ),
        measured=tuple(
            (heat.at(at_h), round(value, 2)) for at_h, value, _ in heat.known.readings if since_h <= at_h <= heat.now_h
        ),
        planned=tuple((at, round(c, 2)) for at, c in heater.planned if at <= until),
        cheap=tuple((a, b) for a, b in heater.cheap if a < until),
        says=f"air down to {low}{wind}",
        source=heat.air.says,
        advice=advice.reason if advice else "",
        track=track_words(heat),
    )


def _tenths(fan: Sequence[tuple[datetime, float, float, float]]) -> tuple[tuple[datetime, float, float, float], ...]:
    return tuple((at, round(low, 2), round(middle, 2), round(high, 2)) for at, low, middle, high in fan)


def _band(level: tuple[float, float]) -> tuple[float, float, float]:
    mean_c, half_k = level
    return round(mean_c - half_k, 2), round(mean_c, 2), round(mean_c + half_k, 2)


def _night_words(heat: Heat, night: Night) -> tuple[str, str]:
    first, last = int(heat.place(night.begins_at)), int(heat.place(night.dawn_at)) + 1
    low_c = float(np.nanmin(heat.air.weather.air_c[first:last]))
    gust = heat.air.gust_m_per_s[first:last]
    wind = f", gusts to {np.nanmax(gust):.0f} m/s" if np.isfinite(gust).any() else ""
    return level_words(heat.pond, "air_temperature_c", round(low_c)), wind


def _lacking(pond: Pond, heat: Heat, night: Night | None, tariff: Tariff | None) -> tuple[str, ...]:
    """What to tell, to be told more."""
    lacking: list[str] = []
    if heat.belief is None:
        lacking.append("Water temperature, morning and evening.")
    elif night is None:
        lacking.append("Tonight's low, or the weather service switched on: then the night can be foretold.")
    if pond.shell is None or not pond.shell.walls:
        lacking.append("Walls and floor.")
    if pond.cover is None:
        lacking.append("The cover.")
    if heat.heater is not None and heat.heater_assumed:
        lacking.append("The heater: its power, and whether a time switch keeps it to cheap hours.")
    if heat.heater is not None and tariff is None:
        lacking.append("The tariff: when the heater is on, and what it costs.")
    if pond.latitude is None:
        lacking.append("Where the pond is: dusk, dawn and sun hang on it.")
    return tuple(lacking)


def not_worked_out(pond: Pond, error: DomainError | ArithmeticError | ValueError) -> Warm:
    """One line that says why not: one odd setting must not take everybody's plan with it."""
    return _stamped(PondWarmth(pond=pond.id, tag="", findings=(_not_said("warning", error),)), WarmthAdvice())


def _not_said(section: Section, error: DomainError | ArithmeticError | ValueError) -> WarmthFinding:
    what = error.what if isinstance(error, DomainError) else "a number is far too large or too small"
    says = f"Something set or read lies outside what the formulas hold for: {what}."
    return WarmthFinding(id=f"{section}-not-worked-out", section=section, title="Not worked out", says=says)
