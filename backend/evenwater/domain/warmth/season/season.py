"""The step-down of autumn and the step-up of spring: each day's setting, by what the water really does.

- A step is taken when its days have passed since the last setting was made, not by the calendar alone: a setting
  somebody forgot is not followed by two at once.
- Nature is followed where it is slower: while the water is warmer than the setting by itself, the setting waits. A
  cold snap holds it; in spring a warm spell is kept.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from math import ceil, floor
from typing import Final

from msgspec import Struct

from evenwater.domain.keeper_units import level_words
from evenwater.domain.kit import SeasonSteps
from evenwater.domain.pond import Pond

COLD_SNAP_K: Final = 4.0
"""How much colder than the last week the next two days are in a cold snap [K]. Our own rule of thumb."""
_DIGITS = 6


class DaySetting(Struct, frozen=True):
    """What the heater is to be set to on a day [°C], and why."""

    setting_c: float
    reason: str


def setting_today(
    pond: Pond,
    season: SeasonSteps,
    made: Sequence[tuple[date, float]],
    water_c: float | None,
    cold_snap: bool,
    today: date,
) -> DaySetting | None:
    """The setting of a day within a step-down or step-up.

    Args:
        pond: Its units.
        season: What the keeper agreed to.
        made: Settings as they were made, by date, oldest first; those of today do not count.
        water_c: The water's temperature [°C], None when not known.
        cold_snap: Whether the next two days are much colder than the last week.
        today: The date.

    Returns:
        The setting and why; None before the first day.
    """
    if today < season.starts_on:
        return None
    down = season.to_c < season.from_c
    since = [one for one in made if season.starts_on <= one[0] < today]
    last_on, last_c = since[-1] if since else (season.starts_on, season.from_c)
    here = level_words(pond, "temperature_c", last_c)
    if (last_c <= season.to_c) if down else (last_c >= season.to_c):
        end = level_words(pond, "temperature_c", season.to_c)
        return DaySetting(season.to_c, f"{end} is where the {'step-down' if down else 'step-up'} ends.")
    first_on = min((on for on, setting_c in since if setting_c == last_c), default=last_on)
    due_on = first_on + timedelta(days=ceil(season.days_per_step - 1e-9))
    if today < due_on:
        return DaySetting(last_c, f"{here} until {due_on:%a} {due_on.day} {due_on:%b}, then the next step.")
    if cold_snap:
        return DaySetting(last_c, f"Held at {here}: a cold snap. The next step comes after it.")
    step_c = -season.degrees_per_step if down else season.degrees_per_step
    next_c = max(season.to_c, last_c + step_c) if down else min(season.to_c, last_c + step_c)
    if water_c is not None:
        water = level_words(pond, "temperature_c", round(water_c, 1))
        if down and water_c > last_c + season.degrees_per_step:
            return DaySetting(last_c, f"The water keeps {water} by itself: the setting waits at {here}.")
        if not down and water_c < last_c - 1:
            return DaySetting(last_c, f"The water has not come up to {here} yet, it is {water}.")
        if not down and water_c >= next_c:
            kept_c = min(season.to_c, floor(water_c / season.degrees_per_step) * season.degrees_per_step)
            return DaySetting(round(max(next_c, kept_c), _DIGITS), f"A warm spell brought {water}: that is kept.")
    nth = round(abs(next_c - season.from_c) / season.degrees_per_step)
    word = "down" if down else "up"
    return DaySetting(round(next_c, _DIGITS), f"Step {nth} of the step-{word}, from {here}.")


def settings_ahead(season: SeasonSteps, setting_c: float, today: date, days: int) -> list[tuple[date, float]]:
    """Settings from tomorrow on if each step comes in its time: (date, °C) for every day."""
    down = season.to_c < season.from_c
    wait = ceil(season.days_per_step - 1e-9)
    found: list[tuple[date, float]] = []
    for ahead in range(1, days):
        if ahead % wait == 0:
            step_c = -season.degrees_per_step if down else season.degrees_per_step
            setting_c = setting_c + step_c
            setting_c = max(season.to_c, setting_c) if down else min(season.to_c, setting_c)
        found.append((today + timedelta(days=ahead), round(setting_c, _DIGITS)))
    return found
