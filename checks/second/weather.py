"""The invented weather of a scenario, by formulas that hold at any time."""

import math
from collections import namedtuple

from moist_air import saturation_over_water_kpa

Weather = namedtuple("Weather", "air_c vapour_kpa wind_m_s cloud sun_w_m2")


def weather_at(w, hours):
    """Weather `hours` after the first midnight.

    Air: mean + swing cos(2 pi (h - warmest)/24). Vapour: that of a dew point a fixed step above
    the coldest air, at most saturation. Wind: the same cosine. Sun: a half sine from 6 to 18,
    dimmed by 1 - 0.75 c^3.4.
    """
    day = math.cos(2.0 * math.pi * (hours - w["warmest_h"]) / 24.0)
    air = w["mean_c"] + w["swing_k"] * day
    dew = min(air, w["mean_c"] - w["swing_k"] + w["dew_above_low_k"])
    height = max(0.0, math.sin(2.0 * math.pi * (hours - 6.0) / 24.0))
    return Weather(
        air_c=air,
        vapour_kpa=saturation_over_water_kpa(dew),
        wind_m_s=w["wind_m_s"] + w["wind_swing_m_s"] * day,
        cloud=w["cloud"],
        sun_w_m2=w["sun_peak_w_m2"] * height * (1.0 - 0.75 * w["cloud"] ** 3.4),
    )
