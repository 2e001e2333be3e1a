"""The numpy model's faces: radiation between them, convection on them, and what evaporates and condenses there."""

from collections import namedtuple

import numpy as np
from parameters import *  # noqa: F403

Conductances = namedtuple(
    "Conductances", "ground leaf inner between contact vent outer recirculated air_capacity"
)
Supply = namedtuple("Supply", "inside outer ratio vent leaf_film")
Stack = namedtuple("Stack", "ground leaf_cover leaf roof area_ratio")
# Long-wave: what sky and surroundings bring to each face, and the matrix on the emissions.
Longwave = namedtuple("Longwave", "outside matrix")
GROUND, LEAF, INNER = 0, 1, 2


# --- radiation ---------------------------------------------------------------------------------


def longwave_exchange(site, force, state):
    """Net long-wave of every face as a linear function of the emissions."""
    cover, faces = site.cover, 2 + site.layers
    roof = []
    if site.layers > 0:
        brim = FULL_FILM_KG_M2 * max(cover.area_ratio, 1.0)
        wet = np.clip(state.cover_water / brim, 0.0, 1.0)
        roof.append(blend(cover, wet, site.draws.transmissivity))
    if site.layers > 1:
        roof.append(blend(cover, 0.0, site.draws.transmissivity))
    stack = Stack(
        site.bed.emissivity, site.bed.ground_cover, LEAF_EMISSIVITY, roof, max(cover.area_ratio, 1.0)
    )
    black = SIGMA * (force.air_c + 273.15) ** 4
    outside = np.empty((faces, len(force.air_c)))
    exchange(stack, (0.0, 0.0, 0.0, 0.0), force.sky_w_m2, black, outside)
    matrix = np.empty((faces, *outside.shape))
    for j in range(faces):
        source = [0.0, 0.0, 0.0, 0.0]
        source[j] = 1.0
        exchange(stack, source, 0.0, 0.0, matrix[:, j])
    return Longwave(outside, matrix)


def blend(cover, wet, shift):
    """Transmissivity, absorptivity and reflectivity of a partly wet layer."""
    dry = 1.0 - wet
    passed = np.clip(dry * cover.dry_passed + wet * cover.wet_passed + shift, 0.0, 0.95)
    lost_dry = 1.0 - cover.dry_passed - cover.dry_taken
    lost_wet = 1.0 - cover.wet_passed - cover.wet_taken
    taken = np.clip(1.0 - passed - (dry * lost_dry + wet * lost_wet), 0.0, 1.0)
    return passed, taken, 1.0 - passed - taken


def sunlight(site, force):
    """Sunlight taken up by every face."""
    if force.sun_w_m2.max() <= 0.0:
        return 0.0
    cover = site.cover
    layer = (cover.sun_passed, cover.sun_taken, 1.0 - cover.sun_passed - cover.sun_taken)
    stack = Stack(
        1.0 - site.bed.albedo, site.bed.ground_cover, LEAF_SUN_ABSORPTIVITY,
        [layer] * site.layers, max(cover.area_ratio, 1.0),
    )  # fmt: skip
    net = np.empty((2 + site.layers, len(force.sun_w_m2)))
    exchange(stack, (0.0, 0.0, 0.0, 0.0), force.sun_w_m2, force.sun_w_m2 * BESIDE_ALBEDO, net)
    return net


def exchange(stack, source, sky, beside, net):
    """Net radiation of every face for the given sources, into `net` (radiosity)."""
    f, a_l, a_g, r = stack.leaf_cover, stack.leaf, stack.ground, stack.area_ratio
    s_g, s_l, s_1, s_2 = source
    rho_l, rho_g = 1.0 - a_l, 1.0 - a_g
    q = 1.0 / (1.0 - f * rho_l * rho_g)
    dg0, dg1 = f * (a_l * s_l + rho_l * a_g * s_g) * q, (1.0 - f) * q
    ug0, ug1 = a_g * s_g + rho_g * dg0, rho_g * dg1
    u0, u1 = f * a_l * s_l + (1.0 - f) * ug0, f * rho_l + (1.0 - f) * ug1
    self_view = 1.0 - 1.0 / r
    outside = sky * (0.5 * (1.0 + 1.0 / r)) + beside * (0.5 * self_view)
    stray = (sky + beside) * (0.5 * self_view)

    def inside(c, rho, tau):
        known = (u0 + u1 * tau * sky) / r + tau * stray
        gain = u1 / r + self_view
        j = (c + rho * known) / (1.0 - rho * gain)
        return j, known + gain * j

    if not stack.roof:
        down = sky
    elif len(stack.roof) == 1:
        ((tau, a, rho),) = stack.roof
        j, h = inside(a * s_1, rho, tau)
        down = j + tau * sky
        net[2] = a * (h + outside - 2.0 * s_1) * r
    else:
        (tau_1, a_1, rho_1), (tau_2, a_2, rho_2) = stack.roof
        p = 1.0 / (1.0 - rho_1 * rho_2)
        e_1, e_2 = a_1 * s_1, a_2 * s_2
        tau = tau_1 * tau_2 * p
        j, h = inside(
            e_1 + tau_1 * p * (e_2 + rho_2 * e_1), rho_1 + tau_1 * tau_1 * rho_2 * p, tau
        )
        from_above = e_2 + tau_2 * outside
        a_up = (e_1 + tau_1 * h + rho_1 * from_above) * p
        b_down = from_above + rho_2 * a_up
        down = j + tau * sky
        net[2] = (a_1 * (h + b_down) - 2.0 * e_1) * r
        net[3] = (a_2 * (a_up + outside) - 2.0 * e_2) * r
    dg, ug = dg0 + dg1 * down, ug0 + ug1 * down
    net[0] = a_g * (dg - s_g)
    net[1] = f * a_l * (down + ug - 2.0 * s_l)


# --- convection and water ----------------------------------------------------------------------


def conductances(site, force, at):
    """All conductances of a step."""
    bed, cover, profile, draws = site.bed, site.cover, site.profile, site.draws
    capacity = 1005.0 * bed.pressure_kpa * 1000.0 / 287.05 / (force.air_c + 273.15)
    wind = np.maximum(force.wind_m_s * draws.shelter, LEAST_AIR_M_S)
    at_level = np.maximum(wind * profile.at_level, LEAST_AIR_M_S)
    surface = at.face[-1] if site.layers else at.air
    factor = stability(force.air_c, surface, wind * profile.at_2_m)
    aloft = capacity * wind * profile.neutral * factor + draws.still_air * profile.still
    faces = 2.0 * profile.leaf_area
    over_ground, over_leaf = at.face[GROUND] - at.air, at.face[LEAF] - at.air
    if not site.layers:
        below = at_level * profile.below + LEAST_AIR_M_S
        among = at_level * profile.among + LEAST_AIR_M_S
        return Conductances(
            face(below, 0.1, over_ground), face(among, bed.leaf_m, over_leaf) * faces,
            0.0, 0.0, 0.0, aloft, 0.0, 0.0, capacity,
        )  # fmt: skip
    r = cover.area_ratio
    flow = air_change(cover, site.layers, at_level, at.air - force.air_c) * draws.leak
    leak = capacity * flow
    skin = (at_level**0.49 * 6.76 + 0.95) * r
    free = draws.convection * INSIDE_CONVECTION
    # Above the cover: a star point between cover, leak and the air at 2 m.
    star = 1.0 / (skin + leak + aloft)
    return Conductances(
        ground=free * np.cbrt(np.abs(over_ground)) + STILL_INSIDE_W_M2_K,
        leaf=face(flow * 2.0 + LEAST_AIR_M_S, bed.leaf_m, over_leaf) * faces,
        inner=(free * np.cbrt(np.abs(at.face[INNER] - at.air)) + STILL_INSIDE_W_M2_K) * r,
        between=SHEET_GAP_W_M2_K * r if site.layers > 1 else 0.0,
        contact=CONTACT_W_M2_K * cover.contact * bed.ground_cover,
        vent=leak * aloft * star,
        outer=skin * aloft * star,
        recirculated=skin * leak * star,
        air_capacity=capacity,
    )


def face(speed, size_m, dt):
    """Convection of a small flat face, forced or free, the greater."""
    forced = np.sqrt(speed * ((29.3 * 1.4 * 0.135) ** 2 / size_m))
    free = np.sqrt(np.sqrt(np.abs(dt) * ((29.3 * 0.05) ** 4 / size_m)))
    return np.maximum(forced, free)


def stability(air_c, surface_c, wind):
    """Stability factor of the exchange aloft."""
    ri = (air_c - surface_c) * (9.81 * 2.0 / 275.0) / np.maximum(wind, 0.3) ** 2
    stable, unstable = np.maximum(ri, 0.0), np.maximum(-ri, 0.0)
    damped = 1.0 / (stable * 10.0 * (stable * 10.0 + 1.0) + 1.0)
    return damped * np.minimum(np.sqrt(unstable * 16.0 + 1.0), 4.0)


def air_change(cover, layers, speed, warmer):
    """Volume of air changed per area of ground, m/s."""
    wind = speed * speed * (PRESSURE_COEFFICIENT * 0.5 * AIR_DENSITY_KG_M3)
    rise = np.abs(warmer) * (0.5 * AIR_DENSITY_KG_M3 * 9.81 * cover.crown_m / 275.0)
    pressure = 0.5 * (wind + rise)
    gaps = np.sqrt(pressure * (2.0 / AIR_DENSITY_KG_M3)) * (DISCHARGE * 0.5 * cover.gap_ratio)
    if cover.permeability_m_s == 0.0:
        return gaps
    cloth = (pressure / (200.0 * layers)) ** cover.flow_exponent
    return gaps + cloth * (cover.permeability_m_s * INFLOW_SHARE * cover.area_ratio)


def saturation_and_slope(celsius):
    """Over ice below 0 °C, over water above: kPa, and its slope, kPa/K."""
    frozen = celsius < 0.0
    a, b = np.where(frozen, 21.875, 17.27), np.where(frozen, 265.5, 237.3)
    below = 1.0 / (celsius + b)
    a *= below
    e = a * celsius
    np.exp(e, out=e)
    e *= 0.6108
    a *= b
    a *= below
    a *= e
    return e, a


def supply_of(site, force, start, now, g):
    """Latent-heat conductances: `inside` of ground, leaf, inner face; `ratio` of every face."""
    bed, cover = site.bed, site.cover
    per_gamma = 1.0 / (0.665e-3 * bed.pressure_kpa)
    es, _ = saturation_and_slope(now.face)
    lack = es - now.vapour

    def film(full, lack, water, wet):
        most = water * (VAPORISATION_J_KG / STEP_S) / np.maximum(lack, 1e-6)
        return np.where(lack < 0.0, full, np.minimum(full * wet, most))

    inside = np.empty((min(3, len(lack)), len(force.air_c)))
    full = g.ground * per_gamma
    way = 1.0 / g.ground + site.draws.soil_resistance / g.air_capacity
    way += site.profile.lower_layers / LOWER_AIR_W_M2_K
    inside[GROUND] = np.where(lack[GROUND] < 0.0, full, per_gamma * bed.evaporates / way)
    sunlit = np.clip(force.sun_w_m2 / 400.0, 0.0, 1.0) * SUNLIT_STOMATA_MOL_M2_S
    stomata = (sunlit + NIGHT_STOMATA_MOL_M2_S) * 29.3 * site.profile.leaf_area
    wet = np.clip(start.leaf_water / (FULL_FILM_KG_M2 * 2.0 * bed.ground_cover), 0.0, 1.0)
    full = g.leaf * per_gamma
    leaf_film = film(full, lack[LEAF], start.leaf_water, wet)
    through = g.leaf * stomata / (g.leaf + stomata) * (1.0 - wet) * (per_gamma * bed.alive)
    inside[LEAF] = leaf_film + np.where(lack[LEAF] < 0.0, 0.0, through)
    outer = 0.0
    if site.layers:
        wet = np.clip(start.cover_water / (FULL_FILM_KG_M2 * cover.area_ratio), 0.0, 1.0)
        half = start.cover_water * 0.5
        inside[INNER] = film(g.inner * per_gamma, lack[INNER], half, wet)
        outer = film(g.outer * per_gamma, es[-1] - force.vapour_kpa, half, wet)
    ratio = np.where(now.face < 0.0, FROST_RATIO, 1.0)
    return Supply(inside, outer, ratio, g.vent * per_gamma, leaf_film)


def book(site, force, supply, now):
    """Books the water of the step; what is too much drips off."""
    step = STEP_S / VAPORISATION_J_KG
    es, _ = saturation_and_slope(now.face)
    leaf = supply.leaf_film * (es[LEAF] - now.vapour) * step
    most = 4.0 * FULL_FILM_KG_M2 * site.bed.ground_cover
    now.leaf_water = np.clip(now.leaf_water - leaf, 0.0, most)
    if site.layers:
        inner = supply.inside[INNER] * (es[INNER] - now.vapour)
        outer = supply.outer * (es[-1] - force.vapour_kpa)
        most = 2.0 * FULL_FILM_KG_M2 * site.cover.area_ratio
        now.cover_water = np.clip(now.cover_water - (inner + outer) * step, 0.0, most)
