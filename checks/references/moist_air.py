"""Moist air against PsychroLib (ASHRAE), MetPy and scipy: vapour pressure, dew, frost, wet bulb, pressure."""

import metpy.calc as metpy
import numpy as np
import psychrolib
from metpy.units import units
from scipy.optimize import brentq

from compare import Report, column, program, tables

PSYCHROLIB, METPY, SCIPY = program("PsychroLib"), program("MetPy"), program("scipy")


def metpy_saturation_kpa(celsius, phase):
    """MetPy's saturation vapour pressure over water ("liquid") or ice ("solid"), kPa."""
    return metpy.saturation_vapor_pressure(celsius * units.degC, phase=phase).m_as("kPa")


def saturation(report, table):
    """Over water and over ice; PsychroLib gives ice below the triple point and water above."""
    air = column(table, "air_c")
    water, ice = column(table, "over_water_kpa"), column(table, "over_ice_kpa")
    ashrae = np.array([psychrolib.GetSatVapPres(t) for t in air]) / 1000.0
    mild, warm, cold = (air > -10) & (air < 0), air > 0.01, air < 0
    fits = "FAO-56 eq. 11 is a two-constant fit"
    report.compare_percent(
        "saturation over water, 0 to 45 °C",
        water[warm],
        ashrae[warm],
        0.12,
        PSYCHROLIB,
        f"{fits}; Hyland & Wexler there",
    )
    report.compare_percent(
        "saturation over water, 0 to 45 °C",
        water[warm],
        metpy_saturation_kpa(air[warm], "liquid"),
        0.4,
        METPY,
        f"{fits}; Ambaum 2020 there",
    )
    report.compare_percent(
        "saturation over water, -10 to 0 °C",
        water[mild],
        metpy_saturation_kpa(air[mild], "liquid"),
        0.25,
        METPY,
        f"{fits}, worse over supercooled water",
    )
    report.compare_percent(
        "saturation over water, -30 to 0 °C",
        water[cold],
        metpy_saturation_kpa(air[cold], "liquid"),
        1.6,
        METPY,
        f"{fits}, worst over deeply supercooled water",
    )
    report.compare_percent(
        "saturation over ice, -30 to 0 °C",
        ice[cold],
        ashrae[cold],
        1.0,
        PSYCHROLIB,
        "Murray 1967 is a two-constant fit; Hyland & Wexler there",
    )
    report.compare_percent(
        "saturation over ice, -30 to 0 °C",
        ice[cold],
        metpy_saturation_kpa(air[cold], "solid"),
        0.9,
        METPY,
        "Murray 1967 is a two-constant fit; Ambaum 2020 there",
    )


def dew_and_frost_point(report, table):
    """Dew point over water at every temperature; frost point over ice below 0 °C."""
    vapour = column(table, "vapour_kpa")
    dew, frost = column(table, "dew_point_c"), column(table, "frost_point_c")
    air = column(table, "air_c")
    bolton = metpy.dewpoint(vapour * units.kPa).m_as("degC")
    within = (dew >= -35) & (dew <= 35)
    mild = (dew >= -10) & within
    report.compare(
        "dew point, -10 to 35 °C",
        dew[mild],
        bolton[mild],
        0.05,
        "K",
        METPY,
        "the same form with other constants (Bolton 1980)",
    )
    report.compare(
        "dew point, -35 to 35 °C",
        dew[within],
        bolton[within],
        0.25,
        "K",
        METPY,
        "the same, worst over deeply supercooled water",
    )
    wet = dew > 0.01
    ashrae = [
        psychrolib.GetTDewPointFromVapPres(t, 1000 * e) for t, e in zip(air[wet], vapour[wet])
    ]
    report.compare(
        "dew point above 0 °C",
        dew[wet],
        ashrae,
        0.025,
        "K",
        PSYCHROLIB,
        "another saturation formula (Hyland & Wexler)",
    )
    # PsychroLib never answers above the air temperature: supersaturated over ice is left out.
    icy = (frost < -0.01) & (frost > -40) & (frost <= air)
    ashrae = [
        psychrolib.GetTDewPointFromVapPres(t, 1000 * e) for t, e in zip(air[icy], vapour[icy])
    ]
    report.compare(
        "frost point, -40 to 0 °C",
        frost[icy],
        ashrae,
        0.17,
        "K",
        PSYCHROLIB,
        "another saturation formula (Hyland & Wexler)",
    )


def solved_wet_bulb(air, vapour, pressure):
    """FAO-56 eq. 15 solved by Brent's method with MetPy's saturation over water, °C."""

    def surplus(tw):
        return metpy_saturation_kpa(tw, "liquid") - 0.000662 * pressure * (air - tw) - vapour

    return brentq(surplus, air - 50.0, air + 1.0, xtol=1e-9)


def ashrae_wet_bulb(air, vapour, pressure):
    """PsychroLib's wet bulb at our vapour pressure, °C."""
    ratio = psychrolib.GetHumRatioFromVapPres(1000 * vapour, 1000 * pressure)
    return psychrolib.GetTWetBulbFromHumRatio(air, ratio, 1000 * pressure)


def wet_bulb(report, table):
    """Below 0 °C ours stays over water; PsychroLib's goes over ice: held against it only above 0 °C."""
    air, vapour = column(table, "air_c"), column(table, "vapour_kpa")
    pressure, ours = column(table, "pressure_kpa"), column(table, "wet_bulb_c")
    humidity = column(table, "humidity")
    few = np.arange(air.size) % 7 == 0
    same = [solved_wet_bulb(*row) for row in zip(air[few], vapour[few], pressure[few])]
    report.compare(
        "wet bulb, all temperatures, FAO-56 eq. 15",
        ours[few],
        same,
        0.07,
        "K",
        f"{SCIPY} on {METPY}",
        "the same equation; another saturation formula",
    )
    above = ours > 0
    ashrae = np.array(
        [ashrae_wet_bulb(*row) for row in zip(air[above], vapour[above], pressure[above])]
    )
    liquid = ashrae > 0
    cool = liquid & (air[above] <= 15)
    reason = "psychrometer (a = 0.000662) here, adiabatic saturation there"
    report.compare(
        "wet bulb above 0 °C, air to 15 °C",
        ours[above][cool],
        ashrae[cool],
        0.19,
        "K",
        PSYCHROLIB,
        reason,
    )
    report.compare(
        "wet bulb above 0 °C, air to 45 °C",
        ours[above][liquid],
        ashrae[liquid],
        0.26,
        "K",
        PSYCHROLIB,
        f"{reason}; grows with dryness",
    )
    some = above & (air <= 30) & (humidity >= 0.5) & (np.arange(air.size) % 7 == 0)
    normand = metpy.wet_bulb_temperature(
        pressure[some] * units.kPa, air[some] * units.degC, metpy.dewpoint(vapour[some] * units.kPa)
    ).m_as("degC")
    report.compare(
        "wet bulb above 0 °C, humidity from 50 %",
        ours[some],
        normand,
        0.21,
        "K",
        METPY,
        "psychrometer here, pseudo-adiabat through the condensation level there",
    )


def pressure(report, table):
    """Pressure by height."""
    height, ours = column(table, "elevation_m"), column(table, "pressure_kpa")
    low = height <= 1000
    ashrae = np.array([psychrolib.GetStandardAtmPressure(z) for z in height]) / 1000.0
    reason = "20 °C at sea level in FAO-56 eq. 7, 15 °C in the standard atmosphere"
    report.compare_percent(
        "pressure, -400 to 1000 m", ours[low], ashrae[low], 0.18, PSYCHROLIB, reason
    )
    report.compare_percent("pressure, -400 to 4000 m", ours, ashrae, 0.85, PSYCHROLIB, reason)
    standard = metpy.height_to_pressure_std(height * units.m).m_as("kPa")
    report.compare_percent("pressure, -400 to 4000 m", ours, standard, 0.85, METPY, reason)


def main():
    """All comparisons of this subject."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    report, air = Report("moist_air"), tables("moist_air")
    saturation(report, air["saturation"])
    dew_and_frost_point(report, air["moist"])
    wet_bulb(report, air["moist"])
    pressure(report, air["pressure"])
    report.finish()


if __name__ == "__main__":
    main()
