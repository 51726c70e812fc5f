"""Learns a pond's own losses from its temperatures: an extended Kalman filter over the heat balance.

- The state is the water's temperature with everything about the pond that a keeper cannot tell exactly. Each step
  carries mean and covariance on to the next event: an hour's end, a cover moved, a reading.
- What was not written down is not guessed: through hours without air temperature, or with a cover nobody answered for,
  the temperature is forgotten and nothing is learned of them.
- A reading that lies far off is set aside; if the next one lies there as well, both were right and we were wrong.
"""

from collections.abc import Sequence
from math import exp, expm1, sqrt
from typing import Final

import numpy as np
from msgspec import Struct

from evenwater.domain.units import SECONDS_PER_HOUR
from evenwater.domain.warmth.heat.heat_balance import (
    Fluxes,
    HeatModel,
    Numbers,
    bubbled_loss,
    open_loss,
    surroundings_c,
)

MODEL_VERSION: Final = "heat-balance-1"
"""Changed with what it foretells: forecasts are kept and scored under it."""
# Places in the state. Shares are held as logarithms of what the keeper told or physics says.
T, AIR, UA, OPEN, INFLOW, SUN_COVERED, SUN_OPEN, GAIN, CAPACITY, FLUX = range(10)
_SIZE: Final = 10
# How sure the beginning is, from simulations: logarithms of open multiplier, inflow, sun, capacity.
_PRIOR_SD: Final = {OPEN: 0.35, INFLOW: 0.2, SUN_COVERED: 0.6, SUN_OPEN: 0.6, CAPACITY: 0.05}
# How far each wanders in a day: a pond in March is not quite the one of November.
_WANDER_PER_DAY: Final = {UA: 0.01, OPEN: 0.02, SUN_COVERED: 0.03, SUN_OPEN: 0.03}
# What the air at the pond is off from the station's, and what the model does not know of the losses, for how long: both
# from simulations.
_AIR_SD_K, _AIR_TAU_H = 1.33, 8.0
_FLUX_SHARE, _FLUX_TAU_H = 0.15, 4.0
_FAR_SIGMAS: Final = 4.5
_FORGOTTEN_SD_K: Final = 5.0
_SURELY_OFF_K: Final = 1.0
READING_SD_K: Final = 0.104
"""A thermometer that shows tenths, as read at a pond [K]."""


class Known(Struct, frozen=True, kw_only=True):
    """What was written down, by hours since the weather's beginning.

    `covers`: (when, share covered from then on; None is not known). `readings`: (when, °C, sd [K]), in order.
    `heat_w`: heat given in each hour, NaN where only the thermostat's setting `setpoint_c` is known (NaN: off). Where
    nobody told what the heater can give, or when it may, `by_setting` is False: then its setting says too little.
    """

    covers: Sequence[tuple[float, float | None]]
    readings: Sequence[tuple[float, float, float]]
    heat_w: Numbers
    setpoint_c: Numbers
    power_w: float = 0.0
    by_setting: bool = True


class Foretold(Struct, frozen=True):
    """What was expected just before a reading: hours since the beginning, mean and sd [°C], the reading, believed."""

    at_h: float
    mean_c: float
    sd_k: float
    reading_c: float
    believed: bool


class Belief(Struct, frozen=True, kw_only=True):
    """Mean and covariance of the state, `at_h` hours after the beginning, and what it rests on.

    `loss_k_h`, `difference_k_h`: over the covered hours learned from, the sums of water less its surroundings, and of
    water less air. `covered_h`, `left_out_h`: hours learned from, and hours that could not be.
    """

    prior: HeatModel
    mean: Numbers
    covariance: Numbers
    at_h: float
    readings: int = 0
    loss_k_h: float = 0.0
    difference_k_h: float = 0.0
    covered_h: float = 0.0
    left_out: tuple[float, ...] = ()
    foretold: tuple[Foretold, ...] = ()


def believed_model(belief: Belief) -> HeatModel:
    """The pond as it is believed to be."""
    prior, mean = belief.prior, belief.mean
    return HeatModel(
        capacity_j_per_k=prior.capacity_j_per_k * exp(mean[CAPACITY]),
        surface_m2=prior.surface_m2,
        ua_w_per_k=prior.ua_w_per_k * exp(mean[UA]),
        open_multiplier=prior.open_multiplier * exp(mean[OPEN]),
        sun_covered_m2=prior.sun_covered_m2 * exp(mean[SUN_COVERED]),
        sun_open_m2=prior.sun_open_m2 * exp(mean[SUN_OPEN]),
        ground_fraction=prior.ground_fraction,
        ground_c=prior.ground_c,
        inflow_w_per_k=prior.inflow_w_per_k * exp(mean[INFLOW]),
        inflow_c=prior.inflow_c,
        gain_w=prior.gain_w + float(mean[GAIN]),
        dry_air_kg_per_s=prior.dry_air_kg_per_s,
    )


def begin(prior: HeatModel, temperature_c: float, sd_k: float, at_h: float = 0.0, sd_ln_ua: float = 0.45) -> Belief:
    """Before anything was learned: the pond as told, its temperature as read."""
    mean = np.zeros(_SIZE)
    mean[T] = temperature_c
    variance = np.zeros(_SIZE)
    variance[T] = sd_k**2
    variance[AIR] = _AIR_SD_K**2
    for place, sd in _PRIOR_SD.items():
        variance[place] = sd**2
    variance[UA] = sd_ln_ua**2
    gain_sd = sqrt((0.2 * prior.gain_w) ** 2 + prior.ua_w_per_k**2 + (1.2 * prior.inflow_w_per_k) ** 2)
    variance[GAIN] = gain_sd**2
    variance[FLUX] = 1.0
    return Belief(prior=prior, mean=mean, covariance=np.diag(variance), at_h=at_h)


class LossFilter:
    """Carries a belief on through what was written down."""

    def __init__(self, belief: Belief, fluxes: Fluxes, known: Known) -> None:
        self._fluxes, self._known = fluxes, known
        self._belief = belief
        self.mean, self.covariance, self.at_h = belief.mean.copy(), belief.covariance.copy(), belief.at_h
        self.loss_k_h, self.difference_k_h, self.covered_h = belief.loss_k_h, belief.difference_k_h, belief.covered_h
        self.readings, self.left_out, self.foretold = belief.readings, list(belief.left_out), list(belief.foretold)
        self._aside: float | None = None

    def run(self, until_h: float) -> Belief:
        """The belief at `until_h`, every reading up to then taken in."""
        moves = sorted(self._known.covers, key=lambda move: move[0])
        readings = [one for one in self._known.readings if one[0] > self.at_h or self.readings == 0]
        next_move, covered = 0, None
        for at_h, value_c, sd_k in [*readings, (until_h, None, 0.0)]:
            if at_h > until_h:
                at_h, value_c = until_h, None
            while self.at_h < at_h:
                while next_move < len(moves) and moves[next_move][0] <= self.at_h:
                    covered = moves[next_move][1]
                    next_move += 1
                stop_h = min(at_h, float(int(self.at_h) + 1))
                if next_move < len(moves):
                    stop_h = min(stop_h, moves[next_move][0])
                self._carry(stop_h, covered)
            if value_c is not None:
                self._take(value_c, sd_k)
            if at_h >= until_h:
                break
        return Belief(
            prior=self._belief.prior,
            mean=self.mean,
            covariance=self.covariance,
            at_h=self.at_h,
            readings=self.readings,
            loss_k_h=self.loss_k_h,
            difference_k_h=self.difference_k_h,
            covered_h=self.covered_h,
            left_out=tuple(self.left_out),
            foretold=tuple(self.foretold),
        )

    def _carry(self, stop_h: float, covered: float | None) -> None:
        hour, step_h = int(self.at_h), stop_h - self.at_h
        if covered is None or not self._can_be_followed(hour):
            self._forget(step_h)
        else:
            self._step(hour, step_h, covered)
        self.at_h = stop_h

    def _can_be_followed(self, hour: int) -> bool:
        """Whether the air is known, and what the heater does."""
        if hour >= len(self._fluxes.air_c) or np.isnan(self._fluxes.air_c[hour]):
            return False
        if self._known.by_setting or np.isfinite(self._known.heat_w[hour]):
            return True
        # Water well above the setting: then the heater is off, whatever it is.
        return not self._known.setpoint_c[hour] > float(self.mean[T]) - _SURELY_OFF_K

    def _forget(self, step_h: float) -> None:
        """Through these hours nobody knows what happened: only how the pond is made stays known."""
        if not self.left_out or self.left_out[-1] < self.at_h - 24:
            self.left_out.append(self.at_h)
        for place in (T, AIR, FLUX):
            self.covariance[place, :] = 0.0
            self.covariance[:, place] = 0.0
        self.covariance[T, T] = _FORGOTTEN_SD_K**2
        self.covariance[AIR, AIR], self.covariance[FLUX, FLUX] = _AIR_SD_K**2, 1e4
        self.mean[AIR], self.mean[FLUX] = 0.0, 0.0
        self._wander(step_h)

    def _wander(self, step_h: float) -> None:
        for place, sd in _WANDER_PER_DAY.items():
            self.covariance[place, place] += sd**2 * step_h / 24

    def _step(self, hour: int, step_h: float, covered: float) -> None:
        """One step of the heat balance, its losses taken as straight about the mean."""
        mean, step_s = self.mean, step_h * SECONDS_PER_HOUR
        capacity = self._belief.prior.capacity_j_per_k * exp(mean[CAPACITY])
        parts, slope, losses_w = self._parts(hour, covered)
        net_w = float(parts.sum()) + float(mean[FLUX])
        rate = slope / capacity
        held_s = -expm1(-rate * step_s) / rate if rate > 1e-12 else step_s
        heat_w, holds = self._heat(hour, net_w, held_s, capacity)
        net_w += heat_w

        carry = np.eye(_SIZE)
        air_kept, flux_kept = exp(-step_h / _AIR_TAU_H), exp(-step_h / _FLUX_TAU_H)
        if holds:
            carry[T, :] = 0.0  # a thermostat that holds makes the water as warm as its setting, whatever it was
        else:
            carry[T, :] = self._slopes(parts, hour, covered) * held_s / capacity
            carry[T, T] = 1.0 - slope * held_s / capacity
            carry[T, CAPACITY] = -net_w * held_s / capacity
        carry[AIR, AIR], carry[FLUX, FLUX] = air_kept, flux_kept
        self.mean = mean.copy()
        self.mean[T] += net_w * held_s / capacity
        self.mean[AIR] *= air_kept
        self.mean[FLUX] *= flux_kept
        self.covariance = carry @ self.covariance @ carry.T
        self.covariance[AIR, AIR] += _AIR_SD_K**2 * (1 - air_kept**2)
        self.covariance[FLUX, FLUX] += (_FLUX_SHARE * losses_w) ** 2 * (1 - flux_kept**2)
        self.covariance[T, T] += 1e-5 + (0.15**2 if holds else 0.0)
        self._wander(step_h)
        if covered >= 0.5:
            around_c = surroundings_c(self._belief.prior, float(self._fluxes.air_c[hour]))
            self.loss_k_h += (float(mean[T]) - around_c) * step_h
            self.difference_k_h += (float(mean[T]) - float(self._fluxes.air_c[hour])) * step_h
            self.covered_h += step_h

    def _parts(self, hour: int, covered: float) -> tuple[Numbers, float, float]:
        """What each of the state's shares brings [W], by place; how fast the whole falls with T [W/K]; losses [W]."""
        prior, mean, fluxes = self._belief.prior, self.mean, self._fluxes
        temperature_c, air_c = float(mean[T]), float(fluxes.air_c[hour]) + float(mean[AIR])
        parts = np.zeros(_SIZE)
        bubbled, slope = bubbled_loss(fluxes, hour, temperature_c, prior.dry_air_kg_per_s)
        inflow = prior.inflow_w_per_k * exp(mean[INFLOW])
        parts[INFLOW] = inflow * (prior.inflow_c - temperature_c)
        slope += inflow
        parts[GAIN] = prior.gain_w + float(mean[GAIN]) - bubbled
        if covered > 0:
            ua = covered * prior.ua_w_per_k * exp(mean[UA])
            parts[UA] = -ua * (temperature_c - surroundings_c(prior, air_c))
            slope += ua
        if covered < 1:
            lost, lost_slope = open_loss(fluxes, hour, temperature_c)
            bare_m2 = (1 - covered) * prior.surface_m2 * prior.open_multiplier * exp(mean[OPEN])
            # An error of the air's temperature acts through the convection alone.
            lost -= float(fluxes.convection_w_per_m2_k[hour]) * float(mean[AIR])
            parts[OPEN] = -bare_m2 * lost
            slope += bare_m2 * lost_slope
        sun = float(fluxes.sun_w_per_m2[hour])
        parts[SUN_COVERED] = covered * prior.sun_covered_m2 * exp(mean[SUN_COVERED]) * sun
        parts[SUN_OPEN] = (1 - covered) * prior.sun_open_m2 * exp(mean[SUN_OPEN]) * sun
        losses_w = abs(float(parts[UA])) + abs(float(parts[OPEN])) + bubbled
        return parts, slope, losses_w

    def _slopes(self, parts: Numbers, hour: int, covered: float) -> Numbers:
        """How the gain changes with each of the state [W per unit]; with a logarithm it is the part itself."""
        prior, mean = self._belief.prior, self.mean
        slopes = parts.copy()
        ua = covered * prior.ua_w_per_k * exp(mean[UA])
        bare_m2 = (1 - covered) * prior.surface_m2 * prior.open_multiplier * exp(mean[OPEN])
        slopes[AIR] = ua * (1 - prior.ground_fraction) + bare_m2 * float(self._fluxes.convection_w_per_m2_k[hour])
        slopes[GAIN] = slopes[FLUX] = 1.0
        return slopes

    def _heat(self, hour: int, net_w: float, held_s: float, capacity: float) -> tuple[float, bool]:
        """Heat given in this step [W], and whether the thermostat held the water at its setting."""
        known_w = float(self._known.heat_w[hour])
        if known_w == known_w:
            return known_w, False
        setpoint_c = float(self._known.setpoint_c[hour])
        lacking_k = setpoint_c - (float(self.mean[T]) + net_w * held_s / capacity)
        if not lacking_k > 0:  # NaN: the heater is off
            return 0.0, False
        wanted_w = lacking_k * capacity / held_s
        return min(wanted_w, self._known.power_w), wanted_w < self._known.power_w

    def _take(self, value_c: float, sd_k: float) -> None:
        variance = float(self.covariance[T, T]) + sd_k**2
        residual = value_c - float(self.mean[T])
        far = abs(residual) > _FAR_SIGMAS * sqrt(variance)
        again = self._aside is not None and abs(self._aside - residual) < 1.0
        self.foretold.append(Foretold(self.at_h, float(self.mean[T]), sqrt(variance), value_c, not far or again))
        if far and not again:
            self._aside = residual
            return
        self._aside = None
        if far:
            self._forget(0.0)
            variance = float(self.covariance[T, T]) + sd_k**2
        gain = self.covariance[:, T] / variance
        self.mean = self.mean + gain * residual
        self.covariance = self.covariance - np.outer(gain, self.covariance[T, :])
        self.covariance = (self.covariance + self.covariance.T) / 2
        self.readings += 1


def loss_w_per_k(belief: Belief) -> tuple[float, float] | None:
    """Loss of the covered pond's envelope per degree between water and air [W/K], and the sd of its logarithm.

    Defined as the mean over covered hours of the envelope's loss / (water - air): without trickle, pumps, sun, heater.
    None while the covered hours differ from the air by less than 4 K on average: then nothing can be told.
    """
    if belief.covered_h < 24 or belief.difference_k_h < 4.0 * belief.covered_h:
        return None
    ua = belief.prior.ua_w_per_k * exp(belief.mean[UA]) * belief.loss_k_h / belief.difference_k_h
    return ua, sqrt(float(belief.covariance[UA, UA]))
