"""The model in numpy: one step of all members at once, arrays of shape (members,) or (cells, members).

Unknowns of the balance: ground, leaf, inner and outer cover where there are any, air, vapour; faces first, so that
radiation and latent heat are one operation over a slice. What does not depend on the unknowns is put together once
per solve. Loose covers are left out: the night has none.
"""

from collections import namedtuple
from dataclasses import dataclass

import numpy as np
from numpy_surfaces import *  # noqa: F403
from parameters import *  # noqa: F403

Site = namedtuple(
    "Site", "bed cover profile layers draws column free per_store ice_per_kelvin"
)
Stores = namedtuple("Stores", "leaf air vapour cover")
Response = namedtuple("Response", "slope at_zero partial passed")


@dataclass
class State:
    """State of all members; `face` holds ground, leaf and each layer of cover."""

    face: np.ndarray
    air: np.ndarray
    vapour: np.ndarray
    leaf_water: np.ndarray
    cover_water: np.ndarray
    soil: np.ndarray
    ice: np.ndarray


def site_of(bed, cover, profile, layers, draws, column):
    """Everything a step reads and does not change."""
    free = eliminate_soil(column, np.zeros_like(column.store))
    return Site(
        bed, cover, profile, layers, draws, column, free, 1.0 / column.store, column.capacity / -FUSION_J_KG
    )


def resting(layers, members, air_c, vapour_kpa, soil_c, cells):
    """A dry bed in which all is equally warm."""
    full = np.full
    face = full((2 + layers, members), air_c)
    face[GROUND] = soil_c
    return State(
        face, full(members, air_c), full(members, vapour_kpa), np.zeros(members), np.zeros(members),
        full((cells, members), soil_c), np.zeros((cells, members)),
    )  # fmt: skip


def step(site, force, start):
    """The state ten minutes later, and the greatest residual of the energy budget."""
    longwave = longwave_exchange(site, force, start)
    sun = sunlight(site, force)
    received = longwave.outside + sun

    def balance_at(now):
        g = conductances(site, force, now)
        return g, supply_of(site, force, start, now, g), stores_of(site, g)

    first = respond(site, start, start.ice)
    now = solve(site, force, start, received, longwave.matrix, first, *balance_at(start), start, 1)
    _, ice = advanced(site, start, first, now.face[GROUND])
    response = respond(site, start, ice)
    g, supply, stores = balance_at(now)
    now = solve(
        site, force, start, received, longwave.matrix, response, g, supply, stores, now,
        MOST_ITERATIONS,
    )  # fmt: skip
    book(site, force, supply, now)
    now.soil, now.ice = advanced(site, start, response, now.face[GROUND])
    return now, budget(site, force, start, now, received, longwave.matrix, g, supply, stores)


# --- the coupled balance -----------------------------------------------------------------------


def stores_of(site, g):
    """Heat capacities over the time step."""
    bed, cover = site.bed, site.cover
    height = max(cover.mean_height_m if site.layers else bed.height_m, 0.02)
    air = g.air_capacity * (height / STEP_S)
    return Stores(
        4180.0 * LEAF_WATER_KG_M2 * bed.ground_cover / STEP_S,
        air,
        air / (0.665e-3 * bed.pressure_kpa),
        max(1900.0 * cover.mass_kg_m2 * cover.area_ratio, 1.0) / STEP_S,
    )


def linear_part(site, force, start, received, response, g, supply, stores):
    """Constant and matrix of all that is linear in the unknowns: F = constant + matrix x."""
    faces = 2 + site.layers
    air, vapour, outer, n = faces, faces + 1, faces - 1, faces + 2
    matrix, constant = np.zeros((n, n, len(force.air_c))), np.zeros((n, len(force.air_c)))
    constant[:faces] = received

    def link(a, b, h):
        matrix[a, a] -= h
        matrix[b, b] -= h
        matrix[a, b] += h
        matrix[b, a] += h

    def hold(node, h, known):
        matrix[node, node] -= h
        constant[node] += h * known

    link(GROUND, air, g.ground)
    link(LEAF, air, g.leaf)
    if site.layers:
        link(INNER, air, g.inner)
        if site.cover.contact:
            link(LEAF, INNER, g.contact)
        link(outer, air, g.recirculated)
        hold(outer, g.outer, force.air_c)
        hold(INNER, stores.cover, start.face[INNER])
    if site.layers > 1:
        link(INNER, outer, g.between)
        hold(outer, stores.cover, start.face[outer])
    hold(air, g.vent + stores.air, (g.vent * force.air_c + stores.air * start.air) / (g.vent + stores.air))
    matrix[vapour, vapour] -= supply.vent + stores.vapour + supply.inside.sum(axis=0)
    constant[vapour] += supply.vent * force.vapour_kpa + stores.vapour * start.vapour
    matrix[: len(supply.inside), vapour] += supply.ratio[:3] * supply.inside
    matrix[GROUND, GROUND] -= response.slope
    constant[GROUND] -= response.at_zero
    hold(LEAF, stores.leaf, start.face[LEAF])
    if site.layers:
        constant[outer] += supply.ratio[-1] * supply.outer * force.vapour_kpa
    return constant, matrix


def solve(site, force, start, received, radiative, response, g, supply, stores, guess, most):
    """Newton steps from `guess`, at most `most`, until every residual is small: the new state."""
    constant, linear = linear_part(site, force, start, received, response, g, supply, stores)
    faces = 2 + site.layers
    vapour, inside = faces + 1, min(faces, 3)
    x = np.concatenate((guess.face, guess.air[None], guess.vapour[None]))
    # Latent heat that a face gives off per kPa: inside, and on the outer side of the cover.
    latent = np.zeros((faces, len(force.air_c)))
    latent[:inside] = supply.ratio[:3] * supply.inside
    if site.layers:
        latent[-1] += supply.ratio[-1] * supply.outer
    diagonal = np.arange(faces)
    for _ in range(most):
        kelvin = x[:faces] + 273.15
        cube = kelvin * kelvin * kelvin * SIGMA
        es, slope = saturation_and_slope(x[:faces])
        f = np.einsum("abm,bm->am", linear, x)
        f += constant
        f[:faces] += np.einsum("abm,bm->am", radiative, cube * kelvin)
        f[:faces] -= latent * es
        f[vapour] += np.einsum("am,am->m", supply.inside, es[:inside])
        if np.abs(f).max() < SOLVED_W_M2:
            break
        j = linear.copy()
        j[:faces, :faces] += radiative * (4.0 * cube)
        j[diagonal, diagonal] -= latent * slope
        j[vapour, :inside] += supply.inside * slope[:inside]
        x -= eliminate(j, f)
    return State(
        x[:faces], x[faces], x[vapour], guess.leaf_water, guess.cover_water, guess.soil, guess.ice
    )


def eliminate(j, f):
    """Solves J d = F for every member, without pivoting: J is diagonally dominant."""
    n = len(f)
    for k in range(n):
        j[k, k] = 1.0 / j[k, k]
        m = j[k + 1 :, k] * j[k, k]
        j[k + 1 :, k + 1 :] -= m[:, None] * j[k, k + 1 :]
        f[k + 1 :] -= m * f[k]
    for k in reversed(range(n)):
        f[k] *= j[k, k]
        f[:k] -= j[:k, k] * f[k]
    return f


# --- soil --------------------------------------------------------------------------------------


def eliminate_soil(column, held):
    """1 / pivot of each cell from the bottom up, 0 for a cell that is held at 0 °C; with it, what a cell passes on
    from the one above, and from the one below."""
    above, inverse = column.above, np.empty_like(column.store)
    pivot = column.store + above
    inverse[-1] = (1.0 - held[-1]) / pivot[-1]
    for i in reversed(range(len(above) - 1)):
        below = above[i + 1]
        inverse[i] = (1.0 - held[i]) / (pivot[i] + below * (1.0 - below * inverse[i + 1]))
    return inverse, above * inverse, above[1:] * inverse[:-1]


def respond(site, start, ahead_ice):
    """The linear answer of the ground to its surface temperature."""
    column = site.column
    mixed = (ahead_ice > 0.0) & (ahead_ice < column.water)
    inverse, passed, carried = site.free
    if mixed.any():
        inverse, passed, carried = eliminate_soil(column, mixed)
    partial = column.store * start.soil
    if ahead_ice is not start.ice:
        fused = ahead_ice - start.ice
        fused *= FUSION_J_KG / STEP_S
        partial += fused
    partial *= inverse
    for i in reversed(range(len(carried))):
        partial[i] += carried[i] * partial[i + 1]
    g = column.above[0]
    return Response(g * (1.0 - g * inverse[0]), -(g * partial[0]), partial, passed)


def advanced(site, start, response, surface_c):
    """Temperatures and ice of the column under a surface temperature; uses the response up."""
    column, new = site.column, response.partial
    above_c = surface_c
    for row, share in zip(new, response.passed):
        row += share * above_c
        above_c = row
    flux = np.empty_like(new)
    np.subtract(surface_c, new[0], out=flux[0])
    np.subtract(new[:-1], new[1:], out=flux[1:])
    flux *= column.above
    flux[:-1] -= flux[1:]
    flux *= site.per_store
    t = np.add(flux, start.soil, out=flux)
    # Water freezes below 0 °C and ice melts above, at constant heat content.
    change = np.multiply(t, site.ice_per_kelvin, out=new)
    liquid = column.water - start.ice
    np.minimum(change, np.maximum(liquid, 0.0, out=liquid), out=change)
    np.maximum(change, np.negative(start.ice, out=liquid), out=change)
    t -= np.divide(change, site.ice_per_kelvin, out=liquid)
    change += start.ice
    return t, change


def budget(site, force, start, now, received, radiative, g, supply, stores):
    """Greatest |in − out − stored| of any member, W/m², the soil's heat summed over its cells."""
    es, _ = saturation_and_slope(now.face)
    emitted = SIGMA * (now.face + 273.15) ** 4
    radiation = received.sum(axis=0) + np.einsum("abm,bm->m", radiative, emitted)
    inside = len(supply.inside)
    total = (
        radiation
        + g.vent * (force.air_c - now.air)
        + supply.vent * (force.vapour_kpa - now.vapour)
        - stores.vapour * (now.vapour - start.vapour)
        + ((supply.ratio[:3] - 1.0) * supply.inside * (now.vapour - es[:inside])).sum(axis=0)
        - (site.column.capacity * (now.soil - start.soil)).sum(axis=0) / STEP_S
        + (now.ice - start.ice).sum(axis=0) * (FUSION_J_KG / STEP_S)
        - stores.leaf * (now.face[LEAF] - start.face[LEAF])
        - stores.air * (now.air - start.air)
    )
    if site.layers:
        total += g.outer * (force.air_c - now.face[-1])
        total += supply.ratio[-1] * supply.outer * (force.vapour_kpa - es[-1])
        total -= stores.cover * (now.face[2:] - start.face[2:]).sum(axis=0)
    residual = np.abs(total).max()
    if not residual < BUDGET_LIMIT_W_M2:
        raise ArithmeticError(f"budget open by {residual} W/m2")
    if not np.abs(now.face).max() < 95.0:
        raise ArithmeticError("temperature out of range")
    return residual
