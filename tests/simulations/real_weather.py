"""A real year of hourly weather: Greensboro, North Carolina, TMY3 (US government), from pvlib's data folder."""

import csv
from functools import cache
from importlib.resources import files

import numpy as np

HOURS = 8760


@cache
def year() -> dict[str, np.ndarray]:
    """Air [°C], humidity [0 to 1], wind at ten metres [m/s], clouds [0 to 1], sun on level ground [W/m²], by the hour.

    A composite year: each month is of another one, so the air may jump between months. Local standard time.
    """
    text = (files("pvlib") / "data" / "723170TYA.CSV").read_text()
    head, *rows = list(csv.reader(text.splitlines()[1:]))
    columns = np.array([[row[head.index(name)] for row in rows] for name in _COLUMNS], dtype=float)
    scales = np.array(list(_COLUMNS.values()))[:, None]
    air, humidity, wind, cloud, sun = columns * scales
    return {"air_c": air, "humidity_fraction": humidity, "wind_m_per_s": wind, "cloud_fraction": cloud, "sun": sun}


_COLUMNS = {"Dry-bulb (C)": 1.0, "RHum (%)": 0.01, "Wspd (m/s)": 1.0, "TotCld (tenths)": 0.1, "GHI (W/m^2)": 1.0}
