"""Sunlight and long-wave of a clear sky against pvlib's Haurwitz and FAO-56 as refet has it.

FAO-56 and our formulas differ by nature: Rso is a fixed share of the light above the air, ours falls with the path
through it; FAO's net long-wave is a regression on vapour pressure, ours is the sky of Dilley & O'Brien over a black ground.
Those tolerances say how far the formulas lie apart, not how good either is.
"""

import numpy as np
import pandas as pd
from pvlib import clearsky
from refet import calcs

from compare import Report, column, program, tables

PVLIB, REFET = program("pvlib"), program("refet")
STEFAN_BOLTZMANN_W_M2_K4 = 5.670374e-8
MJ_PER_WATT_DAY = 0.0864


def sunlight(report, table):
    """The Haurwitz formula itself."""
    zenith = pd.Series(column(table, "zenith_deg"))
    report.compare(
        "clear sunlight by zenith angle",
        column(table, "sunlight_w_m2"),
        clearsky.haurwitz(zenith)["ghi"],
        0.02,
        "W/m²",
        PVLIB,
        "the same formula; ours ends where the sun is below half a degree",
    )


def day_sums(report, table):
    """Clear-sky sunlight of a day against Rso, from 60° S to 65° N in every month."""
    above = calcs.ra_daily(np.radians(column(table, "latitude_deg")), column(table, "day_of_year"))
    ours, theirs = column(table, "sunlight_mj_m2"), calcs.rso_simple(above, 0.0)
    high = above >= 20
    fixed = "light thinned by its path here, 0.75 of the light above the air there, and no Sun-Earth distance here"
    report.compare_percent(
        "clear sunlight of a day, Ra from 20 MJ/m²", ours[high], theirs[high], 13.5, REFET, fixed
    )
    report.compare(
        "clear sunlight of a day, Ra from 20 MJ/m²",
        ours[high],
        theirs[high],
        2.7,
        "MJ/m²",
        REFET,
        fixed,
    )
    report.compare(
        "clear sunlight of a day, Ra below 20 MJ/m²",
        ours[~high],
        theirs[~high],
        1.8,
        "MJ/m²",
        REFET,
        f"{fixed}; the low sun of winter",
    )


def sky(report, table):
    """Net long-wave loss of a clear day at a steady temperature."""
    air, vapour = column(table, "air_c"), column(table, "vapour_kpa")
    black = STEFAN_BOLTZMANN_W_M2_K4 * (air + 273.15) ** 4 * MJ_PER_WATT_DAY
    ours = (1.0 - column(table, "emissivity")) * black
    theirs = calcs.rnl_daily(air, air, vapour, 1.0)
    for name, rows, tolerance in [
        ("10 to 30 °C", air >= 10, 3.1),
        ("-10 to 10 °C", air < 10, 2.0),
    ]:
        report.compare(
            f"net long-wave of a clear day, air {name}",
            ours[rows],
            theirs[rows],
            tolerance,
            "MJ/m²",
            REFET,
            "Dilley & O'Brien 1998 here, FAO-56 eq. 39 there, which loses less; furthest apart in dry air",
        )


def main():
    """All comparisons of this subject."""
    report, radiation = Report("radiation"), tables("radiation")
    sunlight(report, radiation["sunlight"])
    day_sums(report, radiation["day_sum"])
    sky(report, radiation["sky"])
    report.finish()


if __name__ == "__main__":
    main()
