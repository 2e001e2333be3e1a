"""Wind at the bed, convection and air change (equations 11 to 14), in W m-2 K-1 per area of ground."""

import math

ROUGHNESS_M = 0.02
LEAST_AIR_M_S = 0.05
KARMAN = 0.4
AIR_DENSITY_KG_M3 = 1.27
MEAN_AIR_K = 275.0
GRAVITY_M_S2 = 9.81


def log_height(z):
    """ln((z + z0)/z0)."""
    return math.log((z + ROUGHNESS_M) / ROUGHNESS_M)


def wind_at(level_m, wind, wind_height_m):
    """Log profile of the wind."""
    return max(LEAST_AIR_M_S, wind * log_height(level_m) / log_height(wind_height_m))


def small_face(speed, size_m, difference_k):
    """Forced 29.3 1.4 0.135 sqrt(u/d) or free 29.3 0.05 (dT/d)^(1/4), the greater."""
    forced = 29.3 * 1.4 * 0.135 * math.sqrt(speed / size_m)
    free = 29.3 * 0.05 * (abs(difference_k) / size_m) ** 0.25
    return max(forced, free)


def face_inside(coefficient, difference_k):
    """Free convection C dT^(1/3) above the least of still air."""
    return coefficient * abs(difference_k) ** (1.0 / 3.0) + 0.3


def face_above(warmer_k):
    """Free convection from a level face that is warmer than the air above it, 1.52 dT^(1/3)."""
    return 1.52 * max(0.0, warmer_k) ** (1.0 / 3.0)


def face_outside(speed):
    """0.95 + 6.76 u^0.49."""
    return 0.95 + 6.76 * speed**0.49


def stability_factor(air_c, surface_c, wind_2_m):
    """Louis in bulk form over 2 m: damped at least to 0.3 over a cold surface, at most 4 over a warm one."""
    speed = max(wind_2_m, 0.3)
    richardson = GRAVITY_M_S2 * 2.0 * (air_c - surface_c) / (MEAN_AIR_K * speed**2)
    if richardson >= 0.0:
        return max(0.3, 1.0 / (1.0 + 10.0 * richardson / math.sqrt(1.0 + 5.0 * richardson)))
    return min(4.0, math.sqrt(1.0 - 16.0 * richardson))


def exchange_aloft(air_capacity, level_m, wind, wind_height_m, air_c, surface_c, still_air):
    """From the bed's level to 2 m: rho c_p k u*/ln(2/z), damped by stability, and a still-air floor."""
    friction_velocity = KARMAN * wind / log_height(wind_height_m)
    neutral = air_capacity * KARMAN * friction_velocity / max(0.25, math.log(2.0 / level_m))
    wind_2_m = wind * log_height(2.0) / log_height(wind_height_m)
    factor = stability_factor(air_c, surface_c, wind_2_m)
    return neutral * factor + still_air


def air_change_m_s(fabric, cover, speed, inside_c, outside_c):
    """Air through cloth and gaps, m3 per m2 of ground and second, from wind pressure and buoyancy."""
    pressure = 0.4 * 0.5 * AIR_DENSITY_KG_M3 * speed**2
    lift = GRAVITY_M_S2 * cover["crown_m"] * abs(inside_c - outside_c) / MEAN_AIR_K
    pressure += 0.5 * AIR_DENSITY_KG_M3 * lift
    through_gaps = 0.6 * 0.5 * cover["gap_ratio"] * math.sqrt(2.0 * pressure / AIR_DENSITY_KG_M3)
    if fabric.permeability_m_s == 0.0:
        return through_gaps
    each_layer = pressure / (200.0 * cover["layers"])
    face_speed = fabric.permeability_m_s * each_layer**fabric.flow_exponent
    return through_gaps + 0.5 * cover["area_ratio"] * face_speed
