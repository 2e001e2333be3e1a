"""The sun against pvlib's own SPA (Reda & Andreas 2004): position, sunrise, sunset, civil dusk."""

import numpy as np
import pandas as pd
from pvlib import solarposition

from compare import Report, column, program, tables

PVLIB = program("pvlib")
DELTA_T_S = 69.0  # TT - UT as our code takes it


def utc(unix_s):
    """Seconds since 1970 as UTC times."""
    return pd.to_datetime(np.asarray(unix_s), unit="s", utc=True)


def gardens(table):
    """Latitude, longitude and the rows of each garden."""
    latitude, longitude = column(table, "latitude_deg"), column(table, "longitude_deg")
    for place in dict.fromkeys(zip(latitude, longitude)):
        yield *place, (latitude == place[0]) & (longitude == place[1])


def positions(table, elevation_m, moments, delta_t_s):
    """pvlib's SPA: geometric zenith and azimuth, degrees."""
    zenith, azimuth = np.full(moments.size, np.nan), np.full(moments.size, np.nan)
    for latitude, longitude, rows in gardens(table):
        spa = solarposition.spa_python(
            utc(moments[rows]), latitude, longitude, altitude=elevation_m, delta_t=delta_t_s
        )
        zenith[rows], azimuth[rows] = spa["zenith"], spa["azimuth"]
    return zenith, azimuth


def position(report, table):
    """Zenith and azimuth at all hours of 2020 to 2030."""
    moments, ours = column(table, "unix_s"), column(table, "zenith_deg")
    elevation = column(table, "elevation_m")[0]
    zenith, azimuth = positions(table, elevation, moments, DELTA_T_S)
    turn = (column(table, "azimuth_deg") - azimuth + 180.0) % 360.0 - 180.0
    across = turn * np.sin(np.radians(zenith))
    same = "the same algorithm written twice, same TT - UT"
    report.compare("zenith", ours, zenith, 1e-8, "°", PVLIB, same)
    report.compare(
        "azimuth, as an arc across the sky", across, 0.0 * across, 1e-8, "°", PVLIB, same
    )
    zenith, _ = positions(table, elevation, moments, None)
    report.compare(
        "zenith, TT - UT of the date",
        ours,
        zenith,
        1.5e-4,
        "°",
        PVLIB,
        "69 s here for all years, a formula of year and month there",
    )


def crossing(report, table, name):
    """The sun must stand at the crossing's height at the second we found, and stay above it where we found none."""
    moments, height = column(table, "unix_s"), column(table, "altitude_deg")
    found = np.isfinite(moments)
    zenith, _ = positions(table, 0.0, np.where(found, moments, 0.0), DELTA_T_S)
    report.compare(
        f"height of the sun at our {name}",
        90.0 - zenith[found],
        height[found],
        0.0042,
        "°",
        PVLIB,
        "ours is the first whole second past it; the sun moves at most 0.0042° a second",
    )
    start, depth = column(table, "from_unix_s")[~found], []
    places = zip(
        column(table, "latitude_deg")[~found], column(table, "longitude_deg")[~found], start
    )
    for latitude, longitude, second in places:
        night = utc(second + np.arange(0, 36 * 3600, 300))
        spa = solarposition.spa_python(night, latitude, longitude, delta_t=DELTA_T_S)
        depth.append(np.clip(height[0] - (90.0 - spa["zenith"]).min(), 0.0, None))
    if depth:
        report.compare(
            f"the sun below that height where we found no {name}",
            depth,
            np.zeros(len(depth)),
            0.0,
            "°",
            PVLIB,
            "there is none to find",
        )


def clock(report, table, event, noon_after_s):
    """Sunrise or sunset by the clock, where it falls on the UTC date of its noon.

    Elsewhere pvlib wraps the event into that date but not the sun's declination: its own SPA then has the sun up
    to a third of a degree from the horizon.
    """
    moments, latitudes = column(table, "unix_s"), column(table, "latitude_deg")
    noon = column(table, "from_unix_s") + noon_after_s
    theirs = np.full(moments.size, np.nan)
    for latitude, longitude, rows in gardens(table):
        spa = solarposition.sun_rise_set_transit_spa(
            utc(noon[rows]), latitude, longitude, delta_t=DELTA_T_S
        )
        theirs[rows] = [moment.timestamp() for moment in spa[event]]
    date = noon // 86400
    same_date = (moments // 86400 == date) & (theirs // 86400 == date)
    inner = np.abs(latitudes) <= 55
    for name, rows, tolerance in [("to 55°", inner, 3.0), ("60° and 65°", ~inner, 7.0)]:
        rows = rows & same_date
        report.compare(
            f"{event}, latitudes {name}",
            moments[rows],
            theirs[rows],
            tolerance,
            "s",
            PVLIB,
            "first whole second here; -0.833° and parallax here, -0.8333° there: 0.0027°, up to 5 s in a white night",
        )


def main():
    """All comparisons of this subject."""
    report, sun = Report("sun"), tables("sun")
    position(report, sun["position"])
    for name, table in [
        ("sunrise", sun["rise"]),
        ("sunset", sun["set"]),
        ("civil dusk", sun["dusk"]),
    ]:
        crossing(report, table, name)
    clock(report, sun["rise"], "sunrise", 43200)
    clock(report, sun["set"], "sunset", 0)
    report.finish()


if __name__ == "__main__":
    main()
