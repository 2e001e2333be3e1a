"""The model in numba: one member at a time through the whole night, numbers in registers, one workspace reused.

`layers` is a tuple as long as the cover has layers: numba knows its length when it compiles, so that each
cover gets its own machine code without the branches and rows it does not need, as the Rust gets from its
constant generics. Unknowns of the balance: ground, leaf, inner and outer cover where there are any, air,
vapour. Loose covers are left out: the night has none.
"""

import math

import numpy as np
from night import Draws
from numba_desk import *  # noqa: F403
from numba_faces import *  # noqa: F403
from parameters import *  # noqa: F403


@jit
def night(bed, cover, profile, layers, draws, column, forcing, nodes, water, soil, ice, desk):
    """Moves every member through the night, in place; the greatest residual of the energy budget, W/m2.

    `forcing` (members, steps, 5), `nodes` (members, ground leaf air vapour inner outer), `water` (members, leaf
    cover), `soil` and `ice` (members, cells), `draws` and `column` one row a member.
    """
    worst = 0.0
    for m in range(len(nodes)):
        d = draws[m]
        drawn = Draws(d[0], d[1], d[2], d[3], d[4], d[5])
        residual = through(
            bed, cover, profile, layers, drawn, column[m], forcing[m], nodes[m], water[m], soil[m],
            ice[m], desk,
        )  # fmt: skip
        worst = max(worst, residual)
    return worst


@jit
def through(bed, cover, profile, layers, draws, column, forcing, node, water, soil, ice, desk):
    """One member through its night."""
    worst = 0.0
    for k in range(len(forcing)):
        weather = (forcing[k, 0], forcing[k, 1], forcing[k, 2], forcing[k, 3], forcing[k, 4])
        residual = step(
            bed, cover, profile, layers, draws, weather, column, node, water, soil, ice, desk
        )
        if not residual < BUDGET_LIMIT_W_M2:
            worst = math.inf
        worst = max(worst, residual)
    return worst


@inlined
def step(bed, cover, profile, layers, draws, weather, column, node, water, soil, ice, desk):
    """One member ten minutes on, in place; the residual of its energy budget."""
    air_c, vapour_kpa, wind, sky, sun = weather
    longwave_exchange(bed, cover, layers, draws, air_c, sky, water[1], desk)
    if sun > 0.0:
        sunlight(bed, cover, layers, sun, desk)
    films = (water[0], water[1])
    start = (node[0], node[1], node[2], node[3], node[4], node[5])

    g = conductances(bed, cover, profile, layers, draws, air_c, wind, start)
    s = supply(bed, cover, layers, draws, vapour_kpa, sun, films, start, g)
    eliminate_soil(column, ice, 0, desk)
    at_zero, slope = respond(column, soil, ice, ice, 0, desk)
    now = solve(bed, cover, layers, air_c, vapour_kpa, start, start, g, s, at_zero, slope, 1, desk)
    advance(column, soil, ice, now[0], desk)
    eliminate_soil(column, desk, ICE, desk)
    at_zero, slope = respond(column, soil, ice, desk, ICE, desk)
    g = conductances(bed, cover, profile, layers, draws, air_c, wind, now)
    s = supply(bed, cover, layers, draws, vapour_kpa, sun, films, now, g)
    now = solve(
        bed, cover, layers, air_c, vapour_kpa, start, now, g, s, at_zero, slope, MOST_ITERATIONS, desk
    )
    book(bed, cover, layers, vapour_kpa, s, water, now)
    advance(column, soil, ice, now[0], desk)
    residual = budget(bed, cover, layers, air_c, vapour_kpa, column, soil, ice, start, now, g, s, desk)
    for i in range(6):
        node[i] = now[i]
    for i in range(CELLS):
        soil[i], ice[i] = desk[SOIL + i], desk[ICE + i]
    return residual


def packed(forces, draws, column):
    """Weather, draws and soil with the members first, as `night` wants them."""
    soil = np.zeros((column.store.shape[1], COLUMN))
    rows = (column.above, column.store, 1.0 / column.store, column.capacity, column.water)
    for start, row in zip((ABOVE, STORE, PER_STORE, CAPACITY, WATER), rows, strict=True):
        soil[:, start : start + CELLS] = row.T
    free_elimination(soil)
    return np.ascontiguousarray(np.moveaxis(np.array(forces), 2, 0)), np.array(draws).T.copy(), soil


# --- the coupled balance -----------------------------------------------------------------------


@jit
def stores(bed, cover, layers, air_capacity):
    """Heat capacities over the time step: leaf, air, vapour, each cover node."""
    height = max(cover.mean_height_m if len(layers) > 0 else bed.height_m, 0.02)
    air = air_capacity * (height / STEP_S)
    return (
        4180.0 * LEAF_WATER_KG_M2 * bed.ground_cover / STEP_S,
        air,
        air / (0.665e-3 * bed.pressure_kpa),
        max(1900.0 * cover.mass_kg_m2 * cover.area_ratio, 1.0) / STEP_S,
    )


@jit
def link(desk, a, b, h):
    """Heat that passes between two nodes."""
    desk[LINEAR + 8 * a + a] -= h
    desk[LINEAR + 8 * b + b] -= h
    desk[LINEAR + 8 * a + b] += h
    desk[LINEAR + 8 * b + a] += h


@jit
def hold(desk, node, h, known):
    """Heat that passes between a node and something known."""
    desk[LINEAR + 8 * node + node] -= h
    desk[CONSTANT + node] += h * known


@jit
def linear_part(bed, cover, layers, air_c, vapour_kpa, start, g, s, at_zero, slope, desk):
    """Constant and matrix of all that is linear in the unknowns: F = constant + matrix x."""
    faces = 2 + len(layers)
    n, air, vapour, outer = faces + 2, faces, faces + 1, faces - 1
    for a in range(n):
        desk[CONSTANT + a] = desk[RECEIVED + a] if a < faces else 0.0
        for b in range(n):
            desk[LINEAR + 8 * a + b] = 0.0
    leaf_store, air_store, vapour_store, cover_store = stores(bed, cover, layers, g.air_capacity)
    link(desk, GROUND, air, g.ground)
    link(desk, LEAF, air, g.leaf)
    if len(layers) > 0:
        link(desk, INNER, air, g.inner)
        link(desk, LEAF, INNER, g.contact)
        link(desk, outer, air, g.recirculated)
        hold(desk, outer, g.outer, air_c)
        hold(desk, INNER, cover_store, start[4])
    if len(layers) > 1:
        link(desk, INNER, outer, g.between)
        hold(desk, outer, cover_store, start[5])
    hold(desk, air, g.vent, air_c)
    hold(desk, air, air_store, start[2])
    hold(desk, vapour, s.vent, vapour_kpa)
    hold(desk, vapour, vapour_store, start[3])
    hold(desk, LEAF, leaf_store, start[1])
    desk[LINEAR + 8 * GROUND + GROUND] -= slope
    desk[CONSTANT + GROUND] -= at_zero
    desk[INSIDE], desk[INSIDE + 1], desk[INSIDE + 2] = s.ground, s.leaf, s.inner
    desk[LATENT] = s.ratio[0] * s.ground
    desk[LATENT + 1] = s.ratio[1] * s.leaf
    if len(layers) > 0:
        desk[LATENT + 2] = s.ratio[2] * s.inner
    for a in range(min(faces, 3)):
        desk[LINEAR + 8 * a + vapour] += desk[LATENT + a]
        desk[LINEAR + 8 * vapour + vapour] -= desk[INSIDE + a]
    if len(layers) > 0:
        latent = s.ratio[3] * s.outer
        desk[CONSTANT + outer] += latent * vapour_kpa
        if len(layers) > 1:
            desk[LATENT + 3] = latent
        else:
            desk[LATENT + 2] += latent


@inlined
def solve(bed, cover, layers, air_c, vapour_kpa, start, guess, g, s, at_zero, slope, most, desk):
    """Newton steps from `guess`, at most `most`, until every residual is small: the new nodes."""
    linear_part(bed, cover, layers, air_c, vapour_kpa, start, g, s, at_zero, slope, desk)
    faces = 2 + len(layers)
    desk[X + GROUND], desk[X + LEAF] = guess[0], guess[1]
    if len(layers) > 0:
        desk[X + INNER] = guess[4]
    if len(layers) > 1:
        desk[X + INNER + 1] = guess[5]
    desk[X + faces], desk[X + faces + 1] = guess[2], guess[3]
    newton(layers, most, desk)
    inner = desk[X + INNER] if len(layers) > 0 else guess[4]
    outer = desk[X + INNER + len(layers) - 1] if len(layers) > 0 else guess[5]
    return desk[X + GROUND], desk[X + LEAF], desk[X + faces], desk[X + faces + 1], inner, outer


@jit
def newton(layers, most, desk):
    """Newton steps on the unknowns of the desk."""
    faces = 2 + len(layers)
    n, vapour, inside = faces + 2, faces + 1, min(faces, 3)
    for _ in range(most):
        for a in range(n):
            sum_a = desk[CONSTANT + a]
            for b in range(n):
                sum_a += desk[LINEAR + 8 * a + b] * desk[X + b]
                desk[J + 8 * a + b] = desk[LINEAR + 8 * a + b]
            desk[F + a] = sum_a
        for b in range(faces):
            kelvin = desk[X + b] + 273.15
            cube = SIGMA * kelvin * kelvin * kelvin
            for a in range(faces):
                desk[F + a] += desk[RADIATIVE + 8 * a + b] * cube * kelvin
                desk[J + 8 * a + b] += desk[RADIATIVE + 8 * a + b] * 4.0 * cube
            es, slope = saturation_and_slope(desk[X + b])
            desk[F + b] -= desk[LATENT + b] * es
            desk[J + 8 * b + b] -= desk[LATENT + b] * slope
            if b < inside:
                desk[F + vapour] += desk[INSIDE + b] * es
                desk[J + 8 * vapour + b] += desk[INSIDE + b] * slope
        worst = 0.0
        for a in range(n):
            worst = max(worst, abs(desk[F + a]))
        if worst < SOLVED_W_M2:
            return
        for k in range(n):
            inverse = 1.0 / desk[J + 8 * k + k]
            desk[J + 8 * k + k] = inverse
            for i in range(k + 1, n):
                m = desk[J + 8 * i + k] * inverse
                for c in range(k + 1, n):
                    desk[J + 8 * i + c] -= m * desk[J + 8 * k + c]
                desk[F + i] -= m * desk[F + k]
        for k in range(n - 1, -1, -1):
            d = desk[F + k]
            for c in range(k + 1, n):
                d -= desk[J + 8 * k + c] * desk[F + c]
            desk[F + k] = d * desk[J + 8 * k + k]
            desk[X + k] -= desk[F + k]


# --- soil --------------------------------------------------------------------------------------


@jit
def is_held(ice, water):
    """1 where a cell holds both ice and water, else 0."""
    return 1.0 if 0.0 < ice < water else 0.0


@jit
def eliminate_soil(column, ice, at, desk):
    """1 / pivot of each cell from the bottom up, 0 for a cell that holds both ice and water; what each passes on."""
    held = 0.0
    for i in range(CELLS):
        held += is_held(ice[at + i], column[WATER + i])
        desk[INVERSE + i] = column[FREE + i]
    below = 0.0
    for i in range(CELLS - 1, -1 if held > 0.0 else CELLS - 1, -1):
        pivot = column[STORE + i] + column[ABOVE + i] + below
        desk[INVERSE + i] = (1.0 - is_held(ice[at + i], column[WATER + i])) / pivot
        below = column[ABOVE + i] * (1.0 - column[ABOVE + i] * desk[INVERSE + i])
    for i in range(CELLS):
        desk[PASSED + i] = column[ABOVE + i] * desk[INVERSE + i]


@jit
def free_elimination(columns):
    """Fills in 1 / pivot of each cell when none is held, for every member."""
    for column in columns:
        below = 0.0
        for i in range(CELLS - 1, -1, -1):
            column[FREE + i] = 1.0 / (column[STORE + i] + column[ABOVE + i] + below)
            below = column[ABOVE + i] * (1.0 - column[ABOVE + i] * column[FREE + i])


@jit
def respond(column, soil, ice, ahead, at, desk):
    """Heat flux into the ground at a surface of 0 °C, and its slope."""
    for i in range(CELLS):
        fused = (ahead[at + i] - ice[i]) * (FUSION_J_KG / STEP_S)
        desk[PARTIAL + i] = (column[STORE + i] * soil[i] + fused) * desk[INVERSE + i]
    last = desk[PARTIAL + CELLS - 1]
    for i in range(CELLS - 2, -1, -1):
        last = desk[PARTIAL + i] + column[ABOVE + i + 1] * desk[INVERSE + i] * last
        desk[PARTIAL + i] = last
    return -column[ABOVE] * last, column[ABOVE] * (1.0 - column[ABOVE] * desk[INVERSE])


@jit
def advance(column, soil, ice, surface_c, desk):
    """Temperatures and ice of the column under a surface temperature, onto the desk."""
    last = surface_c
    desk[NEW] = surface_c
    for i in range(CELLS):
        last = desk[PARTIAL + i] + desk[PASSED + i] * last
        desk[NEW + i + 1] = last
    for i in range(CELLS):
        desk[FLUX + i] = column[ABOVE + i] * (desk[NEW + i] - desk[NEW + i + 1])
    for i in range(CELLS):
        t = soil[i] + (desk[FLUX + i] - desk[FLUX + i + 1]) * column[PER_STORE + i]
        # Water freezes below 0 °C and ice melts above, at constant heat content.
        liquid = max(column[WATER + i] - ice[i], 0.0)
        change = max(min(-column[CAPACITY + i] * t / FUSION_J_KG, liquid), -ice[i])
        desk[ICE + i] = ice[i] + change
        desk[SOIL + i] = t + change * (FUSION_J_KG / STEP_S) * column[PER_STORE + i]


@jit
def budget(bed, cover, layers, air_c, vapour_kpa, column, soil, ice, start, now, g, s, desk):
    """|in − out − stored|, W/m2, the soil's heat summed over its cells; infinite if a temperature is out of range."""
    ground, leaf, air, vapour, inner, outer = now
    leaf_store, air_store, vapour_store, cover_store = stores(bed, cover, layers, g.air_capacity)
    face = (ground, leaf, inner, outer)
    total = 0.0
    for b in range(2 + len(layers)):
        if not abs(face[b]) < 95.0:
            return math.inf
        emitted = SIGMA * (face[b] + 273.15) ** 4
        total += desk[RECEIVED + b]
        for a in range(2 + len(layers)):
            total += desk[RADIATIVE + 8 * a + b] * emitted
    for i in range(CELLS):
        total -= column[CAPACITY + i] * (desk[SOIL + i] - soil[i]) / STEP_S
        total += (desk[ICE + i] - ice[i]) * (FUSION_J_KG / STEP_S)
    total += g.vent * (air_c - air) + s.vent * (vapour_kpa - vapour)
    total -= vapour_store * (vapour - start[3]) + air_store * (air - start[2])
    total -= leaf_store * (leaf - start[1])
    total += frost(ground, s.ground, s.ratio[0], vapour) + frost(leaf, s.leaf, s.ratio[1], vapour)
    if len(layers) > 0:
        total += frost(inner, s.inner, s.ratio[2], vapour) + g.outer * (air_c - outer)
        es = saturation_and_slope(outer)[0]
        total += s.ratio[3] * s.outer * (vapour_kpa - es) - cover_store * (inner - start[4])
    if len(layers) > 1:
        total -= cover_store * (outer - start[5])
    return abs(total)


@jit
def frost(celsius, conductance, ratio, vapour):
    """Heat that frost gives off beyond that of dew."""
    if ratio == 1.0:
        return 0.0
    return (ratio - 1.0) * conductance * (vapour - saturation_and_slope(celsius)[0])
