"""The numba model's faces: radiation between them, convection on them, and what evaporates and condenses there."""

import math

import numpy as np
from numba_workspace import *  # noqa: F403
from parameters import *  # noqa: F403

# --- radiation ---------------------------------------------------------------------------------


@jit
def clip(x, low, high):
    """`x` kept between two numbers."""
    return min(max(x, low), high)


@jit
def blend(cover, wet, shift):
    """Optics of a partly wet layer."""
    dry = 1.0 - wet
    passed = clip(dry * cover.dry_passed + wet * cover.wet_passed + shift, 0.0, 0.95)
    lost_dry = 1.0 - cover.dry_passed - cover.dry_taken
    lost_wet = 1.0 - cover.wet_passed - cover.wet_taken
    taken = clip(1.0 - passed - (dry * lost_dry + wet * lost_wet), 0.0, 1.0)
    return Optics(passed, taken, 1.0 - passed - taken)


@jit
def geometry(layers, a_g, a_l, f, r, inner, outer):
    """What of the exchange does not depend on the sources: worked out once for all of them."""
    rho_l, rho_g = 1.0 - a_l, 1.0 - a_g
    q = 1.0 / (1.0 - f * rho_l * rho_g)
    dg1 = (1.0 - f) * q
    ug1 = rho_g * dg1
    u1 = f * rho_l + (1.0 - f) * ug1
    p, tau, rho = 1.0, inner.passed, inner.lost
    if len(layers) > 1:
        p = 1.0 / (1.0 - inner.lost * outer.lost)
        tau = inner.passed * outer.passed * p
        rho = inner.lost + inner.passed * inner.passed * outer.lost * p
    gain = u1 / r + 1.0 - 1.0 / r
    closed = 1.0 / (1.0 - rho * gain)
    return Geometry(a_g, a_l, f, q, dg1, ug1, u1, r, inner, outer, p, tau, rho, gain, closed)


@inlined
def exchange(layers, geo, s_g, s_l, s_1, s_2, sky, beside):
    """Net radiation of ground, leaf, inner and outer cover for the given sources (radiosity)."""
    f, a_l, a_g, r = geo.f, geo.a_l, geo.a_g, geo.r
    rho_l, rho_g = 1.0 - a_l, 1.0 - a_g
    dg0 = f * (a_l * s_l + rho_l * a_g * s_g) * geo.q
    ug0 = a_g * s_g + rho_g * dg0
    u0 = f * a_l * s_l + (1.0 - f) * ug0
    self_view = 1.0 - 1.0 / r
    outside = sky * (0.5 * (1.0 + 1.0 / r)) + beside * (0.5 * self_view)
    stray = (sky + beside) * (0.5 * self_view)
    down, net_inner, net_outer = sky, 0.0, 0.0
    if len(layers) > 0:
        e_1 = geo.inner.taken * s_1
        e_2 = geo.outer.taken * s_2 if len(layers) > 1 else 0.0
        c = e_1
        if len(layers) > 1:
            c += geo.inner.passed * geo.p * (e_2 + geo.outer.lost * e_1)
        known = (u0 + geo.u1 * geo.tau * sky) / r + geo.tau * stray
        j = (c + geo.rho * known) * geo.closed
        h = known + geo.gain * j
        down = j + geo.tau * sky
        if len(layers) > 1:
            from_above = e_2 + geo.outer.passed * outside
            up = (e_1 + geo.inner.passed * h + geo.inner.lost * from_above) * geo.p
            back = from_above + geo.outer.lost * up
            net_inner = (geo.inner.taken * (h + back) - 2.0 * e_1) * r
            net_outer = (geo.outer.taken * (up + outside) - 2.0 * e_2) * r
        else:
            net_inner = geo.inner.taken * (h + outside - 2.0 * s_1) * r
    dg, ug = dg0 + geo.dg1 * down, ug0 + geo.ug1 * down
    return a_g * (dg - s_g), f * a_l * (down + ug - 2.0 * s_l), net_inner, net_outer


@jit
def longwave_exchange(bed, cover, layers, draws, air_c, sky, cover_water, workspace):
    """Net long-wave of every face as a linear function of the emissions."""
    r = max(cover.area_ratio, 1.0)
    wet = clip(cover_water / (FULL_FILM_KG_M2 * r), 0.0, 1.0) if len(layers) > 0 else 0.0
    inner = blend(cover, wet, draws.transmissivity)
    outer = blend(cover, 0.0, draws.transmissivity)
    geo = geometry(layers, bed.emissivity, LEAF_EMISSIVITY, bed.ground_cover, r, inner, outer)
    black = SIGMA * (air_c + 273.15) ** 4
    net = exchange(layers, geo, 0.0, 0.0, 0.0, 0.0, sky, black)
    by_ground = exchange(layers, geo, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    by_leaf = exchange(layers, geo, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0)
    by_inner = exchange(layers, geo, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0)
    by_outer = exchange(layers, geo, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    for a in range(2 + len(layers)):
        workspace[RECEIVED + a] = net[a]
        workspace[RADIATIVE + 8 * a] = by_ground[a]
        workspace[RADIATIVE + 8 * a + 1] = by_leaf[a]
        if len(layers) > 0:
            workspace[RADIATIVE + 8 * a + 2] = by_inner[a]
        if len(layers) > 1:
            workspace[RADIATIVE + 8 * a + 3] = by_outer[a]


@jit
def sunlight(bed, cover, layers, sun, workspace):
    """Adds the sunlight that every face takes up."""
    lost = 1.0 - cover.sun_passed - cover.sun_taken
    layer = Optics(cover.sun_passed, cover.sun_taken, lost)
    r = max(cover.area_ratio, 1.0)
    geo = geometry(
        layers, 1.0 - bed.albedo, LEAF_SUN_ABSORPTIVITY, bed.ground_cover, r, layer, layer
    )
    net = exchange(layers, geo, 0.0, 0.0, 0.0, 0.0, sun, sun * BESIDE_ALBEDO)
    for a in range(2 + len(layers)):
        workspace[RECEIVED + a] += net[a]


# --- convection and water ----------------------------------------------------------------------


@jit
def small_face(speed, size_m, dt):
    """Convection of a small flat face, forced or free, the greater."""
    forced = math.sqrt(speed * ((29.3 * 1.4 * 0.135) ** 2 / size_m))
    free = math.sqrt(math.sqrt(abs(dt) * ((29.3 * 0.05) ** 4 / size_m)))
    return max(forced, free)


@jit
def stability(air_c, surface_c, wind):
    """Stability factor of the exchange aloft."""
    speed = max(wind, 0.3)
    ri = (air_c - surface_c) * (9.81 * 2.0 / 275.0) / (speed * speed)
    if ri > 0.0:
        return 1.0 / (ri * 10.0 * (ri * 10.0 + 1.0) + 1.0)
    return min(math.sqrt(1.0 - ri * 16.0), 4.0)


@jit
def conductances(bed, cover, profile, layers, draws, air_c, wind, at):
    """All conductances of a step; `at` is ground, leaf, air, vapour, inner, outer."""
    ground, leaf, air, _, inner, outer = at
    capacity = 1005.0 * bed.pressure_kpa * 1000.0 / 287.05 / (air_c + 273.15)
    speed = max(wind * draws.shelter, LEAST_AIR_M_S)
    at_level = max(speed * profile.at_level, LEAST_AIR_M_S)
    surface = outer if len(layers) > 0 else air
    factor = stability(air_c, surface, speed * profile.at_2_m)
    aloft = capacity * speed * profile.neutral * factor + draws.still_air * profile.still
    faces = 2.0 * profile.leaf_area
    if len(layers) == 0:
        below = at_level * profile.below + LEAST_AIR_M_S
        among = at_level * profile.among + LEAST_AIR_M_S
        to_ground = small_face(below, 0.1, ground - air)
        to_leaf = small_face(among, bed.leaf_m, leaf - air) * faces
        return Conductances(to_ground, to_leaf, 0.0, 0.0, 0.0, aloft, 0.0, 0.0, capacity)
    r = cover.area_ratio
    flow = air_change(cover, layers, at_level, air - air_c) * draws.leak
    leak = capacity * flow
    skin = (at_level**0.49 * 6.76 + 0.95) * r
    free = draws.convection * INSIDE_CONVECTION
    star = 1.0 / (skin + leak + aloft)
    among = flow * 2.0 + LEAST_AIR_M_S
    return Conductances(
        free * cube_root(abs(ground - air)) + STILL_INSIDE_W_M2_K,
        small_face(among, bed.leaf_m, leaf - air) * faces,
        (free * cube_root(abs(inner - air)) + STILL_INSIDE_W_M2_K) * r,
        SHEET_GAP_W_M2_K * r if len(layers) > 1 else 0.0,
        CONTACT_W_M2_K * cover.contact * bed.ground_cover,
        leak * aloft * star,
        skin * aloft * star,
        skin * leak * star,
        capacity,
    )


@jit
def cube_root(x):
    """x^(1/3) of a number that is not negative."""
    return np.cbrt(x)


@jit
def air_change(cover, layers, speed, warmer):
    """Volume of air changed per area of ground, m/s."""
    wind = speed * speed * (PRESSURE_COEFFICIENT * 0.5 * AIR_DENSITY_KG_M3)
    rise = abs(warmer) * (0.5 * AIR_DENSITY_KG_M3 * 9.81 * cover.crown_m / 275.0)
    pressure = 0.5 * (wind + rise)
    gaps = math.sqrt(pressure * (2.0 / AIR_DENSITY_KG_M3)) * (DISCHARGE * 0.5 * cover.gap_ratio)
    if cover.permeability_m_s == 0.0:
        return gaps
    cloth = (pressure / (200.0 * len(layers))) ** cover.flow_exponent
    return gaps + cloth * (cover.permeability_m_s * INFLOW_SHARE * cover.area_ratio)


@jit
def saturation_and_slope(celsius):
    """Over ice below 0 °C, over water above: kPa, kPa/K."""
    a, b = (21.875, 265.5) if celsius < 0.0 else (17.27, 237.3)
    below = 1.0 / (celsius + b)
    e = math.exp(a * celsius * below) * 0.6108
    return e, e * a * b * below * below


@jit
def film(full, lack, water, wet):
    """From a film: all while condensing, else its wet share and at most the water that lies there."""
    if lack < 0.0:
        return full
    most = water * (VAPORISATION_J_KG / STEP_S) / max(lack, 1e-6)
    return min(full * wet, most)


@jit
def supply(bed, cover, profile, layers, draws, vapour_kpa, sun, water, now, g):
    """Latent-heat conductances of every face, W/kPa."""
    ground, leaf, _, vapour, inner, outer = now
    per_gamma = 1.0 / (0.665e-3 * bed.pressure_kpa)
    from_ground = g.ground * per_gamma
    if saturation_and_slope(ground)[0] >= vapour:
        way = 1.0 / g.ground + draws.soil_resistance / g.air_capacity
        way += profile.lower_layers / LOWER_AIR_W_M2_K
        from_ground = per_gamma * bed.evaporates / way
    wet = clip(water[0] / (FULL_FILM_KG_M2 * 2.0 * bed.ground_cover), 0.0, 1.0)
    full = g.leaf * per_gamma
    lack = saturation_and_slope(leaf)[0] - vapour
    leaf_film = film(full, lack, water[0], wet)
    from_leaf = leaf_film
    if lack >= 0.0:
        sunlit = clip(sun / 400.0, 0.0, 1.0) * SUNLIT_STOMATA_MOL_M2_S
        stomata = (sunlit + NIGHT_STOMATA_MOL_M2_S) * 29.3 * profile.leaf_area
        through = g.leaf * stomata / (g.leaf + stomata)
        from_leaf += through * per_gamma * bed.alive * (1.0 - wet)
    from_inner, from_outer = 0.0, 0.0
    if len(layers) > 0:
        wet = clip(water[1] / (FULL_FILM_KG_M2 * cover.area_ratio), 0.0, 1.0)
        half = water[1] * 0.5
        es = saturation_and_slope(inner)[0]
        from_inner = film(g.inner * per_gamma, es - vapour, half, wet)
        if len(layers) > 1:
            es = saturation_and_slope(outer)[0]
        from_outer = film(g.outer * per_gamma, es - vapour_kpa, half, wet)
    ratio = (frost_ratio(ground), frost_ratio(leaf), frost_ratio(inner), frost_ratio(outer))
    vent = g.vent * per_gamma
    return Supply(from_ground, from_leaf, from_inner, from_outer, vent, leaf_film, ratio)


@jit
def frost_ratio(celsius):
    """Latent heat over that of vaporisation."""
    return FROST_RATIO if celsius < 0.0 else 1.0


@jit
def book(bed, cover, layers, vapour_kpa, s, water, now):
    """Books the water of the step; what is too much drips off."""
    _, leaf, _, vapour, inner, outer = now
    step_s = STEP_S / VAPORISATION_J_KG
    lost = s.leaf_film * (saturation_and_slope(leaf)[0] - vapour) * step_s
    water[0] = clip(water[0] - lost, 0.0, 4.0 * FULL_FILM_KG_M2 * bed.ground_cover)
    if len(layers) > 0:
        lost = s.inner * (saturation_and_slope(inner)[0] - vapour)
        lost += s.outer * (saturation_and_slope(outer)[0] - vapour_kpa)
        water[1] = clip(water[1] - lost * step_s, 0.0, 2.0 * FULL_FILM_KG_M2 * cover.area_ratio)
