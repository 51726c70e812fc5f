"""A log of a heated pond, simulated without error: covers, settings, air, two readings a day."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
from written_log import Log, starter

from evenwater.domain.fold import fold
from evenwater.domain.pond import Pond
from evenwater.domain.rounds.warmth_now import warmth_now
from evenwater.domain.standing_job import StandingJob
from evenwater.domain.warmth.from_log import Heat, heat_of
from evenwater.domain.warmth.heat.heat_balance import HeatModel, Weather, fluxes_of, simulate
from evenwater.domain.warmth.page import Warm
from evenwater.domain.warmth.pond_air import Samples

NOW = datetime(2026, 11, 3, 17, 0, tzinfo=UTC)
TODAY = NOW.date()
HOUR = timedelta(hours=1)
DAYS = 24
CLEAR = {"kind": "multiwall", "thickness_mm": 16}
TARIFF = {
    "windows": [{"from": "00:30", "to": "07:30", "rate_per_kwh": 0.12}],
    "otherwise_rate_per_kwh": 0.3,
    "currency": "£",
}
TRUTH = HeatModel(
    capacity_j_per_k=16_800 * 4187.0,
    surface_m2=12.6,
    ua_w_per_k=50.0,
    open_multiplier=0.9,
    sun_covered_m2=6.0,
    sun_open_m2=10.0,
    ground_fraction=0.3,
    ground_c=10.0,
    inflow_w_per_k=0.0,
    inflow_c=10.0,
    gain_w=110.0,
)


class WarmLog(Log):
    """A pond that is looked after, up to `NOW`."""

    def __init__(self) -> None:
        super().__init__()
        self.samples = Samples()

    def keep(
        self,
        air_c: float = 7.0,
        setting_c: float | None = 16.0,
        days: int = DAYS,
        cover: object = CLEAR,
        **settings: object,
    ) -> None:
        """So many days of covers, readings, air and settings; the air swings by 3 K about its mean."""
        self.pond(
            volume_l=16_800,
            latitude=52.0,
            longitude=0.0,
            cover=cover,
            appliances=[{"name": "Pump", "power_w": 110, "heats_fraction": 1}],
            **settings,
        )
        self.job(starter("cover"))
        self.job(starter("heater"), setting_c=setting_c)
        begins = NOW.replace(hour=0) - timedelta(days=days)
        hours = int((NOW - begins) / HOUR)
        clock = np.arange(hours) % 24
        airs = air_c + 3 * np.cos((clock - 15) / 24 * 2 * np.pi)
        weather = Weather(
            starts_at=begins,
            air_c=airs,
            humidity_fraction=np.full(hours, 0.85),
            wind_m_per_s=np.full(hours, 0.8),
            cloud_fraction=np.full(hours, 0.6),
            sun_w_per_m2=np.zeros(hours),
        )
        covered = [0.0 if 9 <= hour < 16 else 1.0 for hour in clock]
        cheap = np.where((clock >= 1) & (clock < 7), setting_c or np.nan, np.nan)
        start_c = setting_c or air_c + 4
        run = simulate(TRUTH, fluxes_of(weather), covered, start_c, cheap.tolist(), 3000.0)
        water, self.begins, self.heat_w = run.temperature_c, begins, run.heat_w
        for day in range(days + 1):
            at = begins + timedelta(days=day)
            if setting_c is not None and day == 0:
                self.tick("heater", at.date(), "dusk", at + 17 * HOUR, setting_c=setting_c)
            for hour, slot in ((9, "off"), (16, "on")):
                if at + hour * HOUR <= NOW:
                    self.tick("cover", at.date(), slot, at + hour * HOUR)
            for hour in (7, 17):
                if at + hour * HOUR <= NOW and day * 24 + hour <= hours:
                    self.warm(round(water[day * 24 + hour - 1], 1), at + hour * HOUR)
        self.samples = Samples(
            measured={
                "air_c": [(begins + HOUR * hour, float(one)) for hour, one in enumerate(airs)],
                "sun_w_per_m2": [(begins + HOUR * hour, 0.0) for hour in range(hours)],
            }
        )

    def warm(self, value: float, at: datetime, **more: object) -> None:
        self.write("reading", at, quantity="temperature_c", value=value, **more)

    def foretell(self, low_c: float, on: date = TODAY, high_c: float | None = None) -> None:
        self.write("air_forecast", NOW - HOUR, on=on.isoformat(), low_c=low_c, high_c=high_c)

    def pond_now(self) -> Pond:
        return fold(self.entries).ponds(NOW.date())[0]

    def jobs_now(self) -> list[StandingJob]:
        return fold(self.entries).standing_jobs("main", NOW.date())

    def heat(self, now: datetime = NOW) -> Heat:
        found = heat_of(self.pond_now(), self.jobs_now(), fold(self.entries).of_pond("main"), self.samples, now)
        assert found is not None
        return found

    def warmth(self, now: datetime = NOW) -> Warm:
        return warmth_now(fold(self.entries), self.pond_now(), self.samples, now)

    def says(self, name: str, now: datetime = NOW) -> str:
        """What a finding says, "" where there is none."""
        return next((f"{one.big} {one.says}" for one in self.warmth(now).page.findings if one.id == name), "")
