"""Simulated ponds, finer than what the learner believes: many at once, in steps of five minutes.

Walls and soil store heat, the cover is a plate of its own between film coefficients that hang on the wind, under the
sky and in the sun, its edges leak with the wind, the thermostat has a differential, covers are moved when somebody has
time, the weather station stands kilometres away, and volume, trickle and tap are not quite what was told.
"""

from dataclasses import dataclass

import numpy as np
from real_weather import HOURS, year

STEPS_PER_HOUR = 12
STEP_S = 3600 / STEPS_PER_HOUR
CP_J_PER_L = 4185.0
SIGMA = 5.670374e-8


@dataclass
class Ponds:
    """One array each, an element a pond: as they are."""

    volume_l: np.ndarray
    surface_m2: np.ndarray
    wall_w_per_k: np.ndarray  # water to the middle of the wall, and from there outwards: twice this each
    wall_j_per_k: np.ndarray
    above_ground: np.ndarray  # share of walls and floor against air
    soil_j_per_k: np.ndarray
    soil_w_per_k: np.ndarray
    cover_u: np.ndarray
    clear: np.ndarray  # share of sun through the cover
    absorbed: np.ndarray  # share of sun the cover takes up
    edges_w_per_k: np.ndarray
    shelter: np.ndarray  # wind at the pond, of the airport's
    evaporation: np.ndarray  # against Smith, Löf & Jones
    pumps_w: np.ndarray
    inflow_l_per_day: np.ndarray
    tap_c: np.ndarray
    heater_w: np.ndarray
    differential_c: np.ndarray
    setpoint_c: np.ndarray
    keeps_covered: np.ndarray  # leaves the covers on through cold days
    start_hour: np.ndarray  # of the year


@dataclass
class Told:
    """What happened, by five minutes (rows) and pond (columns), and what the envelope lost per degree while covered."""

    water_c: np.ndarray
    heat_w: np.ndarray
    covered: np.ndarray  # as logged: 1 on, 0 off
    ua_w_per_k: np.ndarray
    difference_k: np.ndarray


def ponds(count: int, chance: np.random.Generator) -> Ponds:
    """Ponds such as keepers have: 5 to 50 m³, some well insulated, clear or opaque covers, heated or not."""

    def between(low: float, high: float) -> np.ndarray:
        return chance.uniform(low, high, count)

    volume_l = np.exp(between(np.log(5000), np.log(50_000)))
    surface_m2 = volume_l / 1000 / between(1.2, 1.9)
    walls_m2 = 4 * np.sqrt(surface_m2) * 1.5 + surface_m2
    opaque = chance.random(count) < 0.25
    cover_u = np.where(opaque, between(0.5, 1.4), between(1.5, 3.2))
    ua_guess = cover_u * surface_m2 + 0.5 * walls_m2
    seasons = np.array([274, 335, 15, 60]) * 24  # October, December, January, March
    return Ponds(
        volume_l=volume_l,
        surface_m2=surface_m2,
        wall_w_per_k=walls_m2 * between(0.25, 0.9),
        wall_j_per_k=walls_m2 * between(0.5e5, 3e5),
        above_ground=between(0.1, 0.9),
        soil_j_per_k=walls_m2 * 2e6 * between(0.3, 0.8),
        soil_w_per_k=walls_m2 * between(1.0, 2.5),
        cover_u=cover_u,
        clear=np.where(opaque, 0.0, between(0.45, 0.75)),
        absorbed=np.where(opaque, between(0.3, 0.8), between(0.08, 0.2)),
        edges_w_per_k=cover_u * surface_m2 * between(0.0, 0.4),
        shelter=between(0.1, 0.5),
        evaporation=between(0.6, 1.3),
        pumps_w=between(50, 300),
        inflow_l_per_day=volume_l * between(0.005, 0.05),
        tap_c=between(7, 14),
        heater_w=ua_guess * between(18, 40),
        differential_c=between(0.2, 0.6),
        setpoint_c=np.where(chance.random(count) < 0.8, between(12, 20), -50.0),
        keeps_covered=chance.random(count) < 0.5,
        start_hour=chance.choice(seasons, count) + chance.integers(0, 20, count) * 24,
    )


def run(many: Ponds, days: int, chance: np.random.Generator) -> Told:
    """What those ponds do for so many days, beginning at noon."""
    steps, count = days * 24 * STEPS_PER_HOUR, len(many.volume_l)
    air, wind = _of(many, "air_c", steps), _of(many, "wind_m_per_s", steps) * many.shelter
    humidity, cloud, sun = (_of(many, name, steps) for name in ("humidity_fraction", "cloud_fraction", "sun"))
    vapour_hpa = humidity * 6.1094 * np.exp(17.625 * air / (air + 243.04))
    clear_sky = 1.24 * (vapour_hpa / (air + 273.15)) ** (1 / 7)  # Brutsaert 1975; the learner uses another
    sky_w = SIGMA * (clear_sky + (1 - clear_sky) * 0.9 * cloud) * (air + 273.15) ** 4
    covered, really = _covers(many, air, chance)
    warm = np.where(many.setpoint_c > 0, many.setpoint_c, np.maximum(air[: 24 * STEPS_PER_HOUR].mean(0) + 3, 4))
    soil = 0.5 * (warm + 11.0)
    water, wall = warm + chance.uniform(-0.5, 0.5, count), 0.5 * (warm + soil)
    heating = np.zeros(count, bool)
    capacity = many.volume_l * CP_J_PER_L
    out = Told(*(np.empty((steps, count)) for _ in range(2)), covered, np.zeros(count), np.zeros(count))
    lost_sum, difference_sum = np.zeros(count), np.zeros(count)
    for step in range(steps):
        a, v, on, g = air[step], wind[step], really[step], sun[step]
        outside = many.above_ground * a + (1 - many.above_ground) * soil
        to_wall = 2 * many.wall_w_per_k * (water - wall)
        wall = wall + STEP_S / many.wall_j_per_k * (to_wall - 2 * many.wall_w_per_k * (wall - outside))
        into_soil = 2 * many.wall_w_per_k * (1 - many.above_ground) * (wall - soil)
        soil = soil + STEP_S / many.soil_j_per_k * (into_soil - many.soil_w_per_k * (soil - 11.0))
        film = 5.0 + 4.0 * v
        sky = sky_w[step] - 0.9 * SIGMA * (a + 273.15) ** 4  # net long-wave at air temperature
        through = 1 / (1 / many.cover_u - 0.04)  # sheet and air below it, without its outer film
        outer = a + 0.9 * sky / (film + 4.5)
        lost_cover = many.surface_m2 * (water - outer) / (1 / through + 1 / (film + 4.5))
        leaks = many.edges_w_per_k * (0.5 + 0.5 * v) * (water - a)
        gained_sun = many.surface_m2 * g * (many.clear * 0.9 + many.absorbed * through / (through + film + 4.5))
        saturation = 0.61094 * np.exp(17.625 * water / (water + 243.04))
        evaporation = (63.8 + 66.9 * v) * many.evaporation
        open_w = (
            evaporation * (saturation - vapour_hpa[step] / 10)
            + evaporation * 0.0618 * (water - a)
            + 0.96 * SIGMA * (water + 273.15) ** 4
            - 0.96 * sky_w[step]
        ) * many.surface_m2 - 0.88 * g * many.surface_m2
        hour = (12 + step / STEPS_PER_HOUR) % 24
        cheap = 0.5 <= hour < 7.5
        heating = cheap & np.where(heating, water < many.setpoint_c, water < many.setpoint_c - many.differential_c)
        heat = np.where(heating, many.heater_w, 0.0)
        trickle = many.inflow_l_per_day * CP_J_PER_L / 86_400 * (many.tap_c - water)
        net = heat + many.pumps_w + trickle - to_wall
        net = net + np.where(on > 0.5, gained_sun - lost_cover - leaks, -open_w)
        envelope = to_wall + lost_cover + leaks
        counts = covered[step] > 0.5
        lost_sum += np.where(counts, envelope, 0.0)
        difference_sum += np.where(counts, water - a, 0.0)
        water = water + STEP_S * net / capacity
        out.water_c[step], out.heat_w[step] = water, heat
    out.ua_w_per_k = lost_sum / np.maximum(difference_sum, 1e-9)
    out.difference_k = difference_sum / np.maximum(covered.sum(0), 1)
    return out


def _of(many: Ponds, name: str, steps: int) -> np.ndarray:
    """A column of the weather at each pond, by steps: straight lines between hours."""
    at = (many.start_hour + 12)[None, :] + np.arange(steps)[:, None] / STEPS_PER_HOUR
    return np.interp(at % HOURS, np.arange(HOURS + 1), np.append(year()[name], year()[name][0]))


def _covers(many: Ponds, air: np.ndarray, chance: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Cover as logged, and as it was: off about nine, on about dusk, and for a feeding nobody writes down."""
    steps, count = air.shape
    logged = np.ones((steps, count))
    per_day = 24 * STEPS_PER_HOUR
    for day in range(steps // per_day + 1):
        noon = day * per_day
        mean_air = air[noon : noon + per_day].mean(0) if noon < steps else air[-per_day:].mean(0)
        stays = many.keeps_covered & (mean_air < 8)
        off = noon - (chance.uniform(2.5, 4.0, count) * STEPS_PER_HOUR).astype(int)
        on = noon + (chance.uniform(4.0, 6.0, count) * STEPS_PER_HOUR).astype(int)
        at = np.arange(steps)[:, None]
        logged[(at >= off) & (at < on) & ~stays] = 0.0
    really = logged.copy()
    for day in range(steps // per_day):
        fed = day * per_day + (chance.uniform(0, 3, count) * STEPS_PER_HOUR).astype(int)
        at = np.arange(steps)[:, None]
        really[(at >= fed) & (at < fed + 5)] = 0.0  # 25 minutes
    return logged, really
