"""Wind at the bed, convection and air change (equations 11 to 14), in W m-2 K-1 per area of ground."""

import math

ROUGHNESS_M = 0.02
LEAST_AIR_M_S = 0.05
KARMAN = 0.4
AIR_DENSITY_KG_M3 = 1.27
MEAN_AIR_K = 275.0
GRAVITY_M_S2 = 9.81
DIFFUSE_EXTINCTION = 0.8


class AirAbove:
    """The log profile above plants of a height, or above a cover that stands alone in a garden."""

    def __init__(self, plants_m, crown_m=None):
        if crown_m is None:
            height = min(plants_m, 1.5)
            self.zero_plane = height * 2.0 / 3.0
            self.roughness = max(0.123 * height, ROUGHNESS_M)
            self.top = height - self.zero_plane
            self.source = max(self.top, self.roughness)
        else:
            self.zero_plane, self.roughness = 0.0, ROUGHNESS_M
            self.top = self.source = min(max(crown_m, plants_m, 0.1), 1.5)

    def friction_velocity(self, wind, height_m):
        """u* of a wind measured at a height."""
        return KARMAN * wind / math.log((height_m - self.zero_plane) / self.roughness)

    def wind_at_top(self, friction_velocity):
        """Wind where it meets plants or cover."""
        u = friction_velocity / KARMAN * math.log(1.0 + self.top / self.roughness)
        return max(LEAST_AIR_M_S, u)

    def exchange(self, air_capacity, friction_velocity, air_c, surface_c, still_air):
        """From plants or cover to 2 m: both turbulence and what still air carries have the shorter way from there."""
        way = max(0.25, math.log((2.0 - self.zero_plane) / self.source))
        whole_way = math.log((2.0 - self.zero_plane) / self.roughness)
        wind_2_m = friction_velocity / KARMAN * whole_way
        turbulent = air_capacity * KARMAN * friction_velocity / way
        damped = turbulent * stability_factor(air_c, surface_c, wind_2_m)
        return damped + still_air * whole_way / way


def leaf_layers(bed):
    """Ground all leaves could hide, that of the leaves out of sight, and the area of those in sight."""
    f = bed["ground_cover"]
    depth = math.log(1.0 / (1.0 - min(f, 0.98)))
    return depth, max(0.0, depth - f), f / DIFFUSE_EXTINCTION


def wind_among_plants(bed, top):
    """Mean wind over the leaves and wind over the ground, exponential profile of Campbell & Norman."""
    area = max(leaf_layers(bed)[0] / DIFFUSE_EXTINCTION, 0.01)
    h, w = bed["height_m"], bed["leaf_m"]
    apart = (6.0 * w**2 * h / (math.pi * area)) ** (1.0 / 3.0)
    a = math.sqrt(0.2 * area * h / apart)
    below = top * math.exp(-a)
    return (top - below) / a + LEAST_AIR_M_S, below + LEAST_AIR_M_S


def soil_surface_resistance_s_m(saturation):
    """Sellers and others 1992."""
    return math.exp(8.206 - 4.255 * saturation)


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
    """Over 2 m: Beljaars & Holtslag in closed form over a cold surface, Louis, at most 4, over a warm one."""
    speed = max(wind_2_m, 0.3)
    richardson = GRAVITY_M_S2 * 2.0 * (air_c - surface_c) / (MEAN_AIR_K * speed**2)
    if richardson >= 0.0:
        return 1.0 / (1.0 + 10.0 * richardson + 100.0 * richardson**2)
    return min(4.0, math.sqrt(1.0 - 16.0 * richardson))


def air_change_m_s(fabric, cover, speed, inside_c, outside_c):
    """Air through cloth and gaps, m3 per m2 of ground and second, from wind pressure and buoyancy."""
    pressure = 0.4 * 0.5 * AIR_DENSITY_KG_M3 * speed**2
    lift = GRAVITY_M_S2 * cover["crown_m"] * abs(inside_c - outside_c) / MEAN_AIR_K
    pressure += 0.5 * AIR_DENSITY_KG_M3 * lift
    # Half of it on the way in, half on the way out.
    pressure *= 0.5
    through_gaps = 0.6 * 0.5 * cover["gap_ratio"] * math.sqrt(2.0 * pressure / AIR_DENSITY_KG_M3)
    if fabric.permeability_m_s == 0.0:
        return through_gaps
    each_layer = pressure / (200.0 * cover["layers"])
    face_speed = fabric.permeability_m_s * each_layer**fabric.flow_exponent
    return through_gaps + 0.5 * cover["area_ratio"] * face_speed
