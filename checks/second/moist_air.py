"""Moist air: vapour pressure in kPa, temperature in degrees Celsius (equations 1, 2 and 5)."""

import math


def saturation_over_water_kpa(celsius):
    """e = 0.6108 exp[17.27 T/(T + 237.3)]."""
    return 0.6108 * math.exp(17.27 * celsius / (celsius + 237.3))


def saturation_over_ice_kpa(celsius):
    """e = 0.6108 exp[21.875 T/(T + 265.5)]."""
    return 0.6108 * math.exp(21.875 * celsius / (celsius + 265.5))


def saturation_at_face_kpa(celsius):
    """Over ice where the face is frozen, over water elsewhere."""
    return saturation_over_ice_kpa(celsius) if celsius < 0.0 else saturation_over_water_kpa(celsius)


def pressure_kpa(elevation_m):
    """P = 101.3 [(293 - 0.0065 z)/293]^5.26."""
    return 101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0) ** 5.26


def psychrometric_constant_kpa_k(pressure):
    """gamma = 0.665e-3 P."""
    return 0.665e-3 * pressure


def air_heat_capacity_j_m3_k(pressure, air_c):
    """rho c_p of air as an ideal gas."""
    return 1005.0 * 1000.0 * pressure / (287.05 * (air_c + 273.15))
