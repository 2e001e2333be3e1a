"""The model in numba: one member at a time through the whole night, numbers in registers, one workspace reused.

`layers` is a tuple as long as the cover has layers: numba knows its length when it compiles, so that each
cover gets its own machine code without the branches and rows it does not need, as the Rust gets from its
constant generics. Unknowns of the balance: ground, leaf, inner and outer cover where there are any, air,
vapour. Loose covers are left out: the night has none.
"""

import math

import numpy as np
from night import Draws
from numba_workspace import *  # noqa: F403
from numba_surfaces import *  # noqa: F403
from parameters import *  # noqa: F403


@jit
def night(bed, cover, profile, layers, draws, column, forcing, nodes, water, soil, ice, workspace):
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
            ice[m], workspace,
        )  # fmt: skip
        worst = max(worst, residual)
    return worst


@jit
def through(bed, cover, profile, layers, draws, column, forcing, node, water, soil, ice, workspace):
    """One member through its night."""
    worst = 0.0
    for k in range(len(forcing)):
        weather = (forcing[k, 0], forcing[k, 1], forcing[k, 2], forcing[k, 3], forcing[k, 4])
        residual = step(
            bed, cover, profile, layers, draws, weather, column, node, water, soil, ice, workspace
        )
        if not residual < BUDGET_LIMIT_W_M2:
            worst = math.inf
        worst = max(worst, residual)
    return worst


@inlined
def step(bed, cover, profile, layers, draws, weather, column, node, water, soil, ice, workspace):
    """One member ten minutes on, in place; the residual of its energy budget."""
    air_c, vapour_kpa, wind, sky, sun = weather
    longwave_exchange(bed, cover, layers, draws, air_c, sky, water[1], workspace)
    if sun > 0.0:
        sunlight(bed, cover, layers, sun, workspace)
    films = (water[0], water[1])
    start = (node[0], node[1], node[2], node[3], node[4], node[5])

    g = conductances(bed, cover, profile, layers, draws, air_c, wind, start)
    s = supply(bed, cover, profile, layers, draws, vapour_kpa, sun, films, start, g)
    eliminate_soil(column, ice, 0, workspace)
    at_zero, slope = respond(column, soil, ice, ice, 0, workspace)
    now = solve(bed, cover, layers, air_c, vapour_kpa, start, start, g, s, at_zero, slope, 1, workspace)
    advance(column, soil, ice, now[0], workspace)
    eliminate_soil(column, workspace, ICE, workspace)
    at_zero, slope = respond(column, soil, ice, workspace, ICE, workspace)
    g = conductances(bed, cover, profile, layers, draws, air_c, wind, now)
    s = supply(bed, cover, profile, layers, draws, vapour_kpa, sun, films, now, g)
    now = solve(
        bed, cover, layers, air_c, vapour_kpa, start, now, g, s, at_zero, slope, MOST_ITERATIONS, workspace
    )
    book(bed, cover, layers, vapour_kpa, s, water, now)
    advance(column, soil, ice, now[0], workspace)
    residual = budget(bed, cover, layers, air_c, vapour_kpa, column, soil, ice, start, now, g, s, workspace)
    for i in range(6):
        node[i] = now[i]
    for i in range(CELLS):
        soil[i], ice[i] = workspace[SOIL + i], workspace[ICE + i]
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
def link(workspace, a, b, h):
    """Heat that passes between two nodes."""
    workspace[LINEAR + 8 * a + a] -= h
    workspace[LINEAR + 8 * b + b] -= h
    workspace[LINEAR + 8 * a + b] += h
    workspace[LINEAR + 8 * b + a] += h


@jit
def hold(workspace, node, h, known):
    """Heat that passes between a node and something known."""
    workspace[LINEAR + 8 * node + node] -= h
    workspace[CONSTANT + node] += h * known


@jit
def linear_part(bed, cover, layers, air_c, vapour_kpa, start, g, s, at_zero, slope, workspace):
    """Constant and matrix of all that is linear in the unknowns: F = constant + matrix x."""
    faces = 2 + len(layers)
    n, air, vapour, outer = faces + 2, faces, faces + 1, faces - 1
    for a in range(n):
        workspace[CONSTANT + a] = workspace[RECEIVED + a] if a < faces else 0.0
        for b in range(n):
            workspace[LINEAR + 8 * a + b] = 0.0
    leaf_store, air_store, vapour_store, cover_store = stores(bed, cover, layers, g.air_capacity)
    link(workspace, GROUND, air, g.ground)
    link(workspace, LEAF, air, g.leaf)
    if len(layers) > 0:
        link(workspace, INNER, air, g.inner)
        link(workspace, LEAF, INNER, g.contact)
        link(workspace, outer, air, g.recirculated)
        hold(workspace, outer, g.outer, air_c)
        hold(workspace, INNER, cover_store, start[4])
    if len(layers) > 1:
        link(workspace, INNER, outer, g.between)
        hold(workspace, outer, cover_store, start[5])
    hold(workspace, air, g.vent, air_c)
    hold(workspace, air, air_store, start[2])
    hold(workspace, vapour, s.vent, vapour_kpa)
    hold(workspace, vapour, vapour_store, start[3])
    hold(workspace, LEAF, leaf_store, start[1])
    workspace[LINEAR + 8 * GROUND + GROUND] -= slope
    workspace[CONSTANT + GROUND] -= at_zero
    workspace[INSIDE], workspace[INSIDE + 1], workspace[INSIDE + 2] = s.ground, s.leaf, s.inner
    workspace[LATENT] = s.ratio[0] * s.ground
    workspace[LATENT + 1] = s.ratio[1] * s.leaf
    if len(layers) > 0:
        workspace[LATENT + 2] = s.ratio[2] * s.inner
    for a in range(min(faces, 3)):
        workspace[LINEAR + 8 * a + vapour] += workspace[LATENT + a]
        workspace[LINEAR + 8 * vapour + vapour] -= workspace[INSIDE + a]
    if len(layers) > 0:
        latent = s.ratio[3] * s.outer
        workspace[CONSTANT + outer] += latent * vapour_kpa
        if len(layers) > 1:
            workspace[LATENT + 3] = latent
        else:
            workspace[LATENT + 2] += latent


@inlined
def solve(bed, cover, layers, air_c, vapour_kpa, start, guess, g, s, at_zero, slope, most, workspace):
    """Newton steps from `guess`, at most `most`, until every residual is small: the new nodes."""
    linear_part(bed, cover, layers, air_c, vapour_kpa, start, g, s, at_zero, slope, workspace)
    faces = 2 + len(layers)
    workspace[X + GROUND], workspace[X + LEAF] = guess[0], guess[1]
    if len(layers) > 0:
        workspace[X + INNER] = guess[4]
    if len(layers) > 1:
        workspace[X + INNER + 1] = guess[5]
    workspace[X + faces], workspace[X + faces + 1] = guess[2], guess[3]
    newton(layers, most, workspace)
    inner = workspace[X + INNER] if len(layers) > 0 else guess[4]
    outer = workspace[X + INNER + len(layers) - 1] if len(layers) > 0 else guess[5]
    return workspace[X + GROUND], workspace[X + LEAF], workspace[X + faces], workspace[X + faces + 1], inner, outer


@jit
def newton(layers, most, workspace):
    """Newton steps on the unknowns of the workspace."""
    faces = 2 + len(layers)
    n, vapour, inside = faces + 2, faces + 1, min(faces, 3)
    for _ in range(most):
        for a in range(n):
            sum_a = workspace[CONSTANT + a]
            for b in range(n):
                sum_a += workspace[LINEAR + 8 * a + b] * workspace[X + b]
                workspace[J + 8 * a + b] = workspace[LINEAR + 8 * a + b]
            workspace[F + a] = sum_a
        for b in range(faces):
            kelvin = workspace[X + b] + 273.15
            cube = SIGMA * kelvin * kelvin * kelvin
            for a in range(faces):
                workspace[F + a] += workspace[RADIATIVE + 8 * a + b] * cube * kelvin
                workspace[J + 8 * a + b] += workspace[RADIATIVE + 8 * a + b] * 4.0 * cube
            es, slope = saturation_and_slope(workspace[X + b])
            workspace[F + b] -= workspace[LATENT + b] * es
            workspace[J + 8 * b + b] -= workspace[LATENT + b] * slope
            if b < inside:
                workspace[F + vapour] += workspace[INSIDE + b] * es
                workspace[J + 8 * vapour + b] += workspace[INSIDE + b] * slope
        worst = 0.0
        for a in range(n):
            worst = max(worst, abs(workspace[F + a]))
        if worst < SOLVED_W_M2:
            return
        for k in range(n):
            inverse = 1.0 / workspace[J + 8 * k + k]
            workspace[J + 8 * k + k] = inverse
            for i in range(k + 1, n):
                m = workspace[J + 8 * i + k] * inverse
                for c in range(k + 1, n):
                    workspace[J + 8 * i + c] -= m * workspace[J + 8 * k + c]
                workspace[F + i] -= m * workspace[F + k]
        for k in range(n - 1, -1, -1):
            d = workspace[F + k]
            for c in range(k + 1, n):
                d -= workspace[J + 8 * k + c] * workspace[F + c]
            workspace[F + k] = d * workspace[J + 8 * k + k]
            workspace[X + k] -= workspace[F + k]


# --- soil --------------------------------------------------------------------------------------


@jit
def is_held(ice, water):
    """1 where a cell holds both ice and water, else 0."""
    return 1.0 if 0.0 < ice < water else 0.0


@jit
def eliminate_soil(column, ice, at, workspace):
    """1 / pivot of each cell from the bottom up, 0 for a cell that holds both ice and water; what each passes on."""
    held = 0.0
    for i in range(CELLS):
        held += is_held(ice[at + i], column[WATER + i])
        workspace[INVERSE + i] = column[FREE + i]
    below = 0.0
    for i in range(CELLS - 1, -1 if held > 0.0 else CELLS - 1, -1):
        pivot = column[STORE + i] + column[ABOVE + i] + below
        workspace[INVERSE + i] = (1.0 - is_held(ice[at + i], column[WATER + i])) / pivot
        below = column[ABOVE + i] * (1.0 - column[ABOVE + i] * workspace[INVERSE + i])
    for i in range(CELLS):
        workspace[PASSED + i] = column[ABOVE + i] * workspace[INVERSE + i]


@jit
def free_elimination(columns):
    """Fills in 1 / pivot of each cell when none is held, for every member."""
    for column in columns:
        below = 0.0
        for i in range(CELLS - 1, -1, -1):
            column[FREE + i] = 1.0 / (column[STORE + i] + column[ABOVE + i] + below)
            below = column[ABOVE + i] * (1.0 - column[ABOVE + i] * column[FREE + i])


@jit
def respond(column, soil, ice, ahead, at, workspace):
    """Heat flux into the ground at a surface of 0 °C, and its slope."""
    for i in range(CELLS):
        fused = (ahead[at + i] - ice[i]) * (FUSION_J_KG / STEP_S)
        workspace[PARTIAL + i] = (column[STORE + i] * soil[i] + fused) * workspace[INVERSE + i]
    last = workspace[PARTIAL + CELLS - 1]
    for i in range(CELLS - 2, -1, -1):
        last = workspace[PARTIAL + i] + column[ABOVE + i + 1] * workspace[INVERSE + i] * last
        workspace[PARTIAL + i] = last
    return -column[ABOVE] * last, column[ABOVE] * (1.0 - column[ABOVE] * workspace[INVERSE])


@jit
def advance(column, soil, ice, surface_c, workspace):
    """Temperatures and ice of the column under a surface temperature, onto the workspace."""
    last = surface_c
    workspace[NEW] = surface_c
    for i in range(CELLS):
        last = workspace[PARTIAL + i] + workspace[PASSED + i] * last
        workspace[NEW + i + 1] = last
    for i in range(CELLS):
        workspace[FLUX + i] = column[ABOVE + i] * (workspace[NEW + i] - workspace[NEW + i + 1])
    for i in range(CELLS):
        t = soil[i] + (workspace[FLUX + i] - workspace[FLUX + i + 1]) * column[PER_STORE + i]
        # Water freezes below 0 °C and ice melts above, at constant heat content.
        liquid = max(column[WATER + i] - ice[i], 0.0)
        change = max(min(-column[CAPACITY + i] * t / FUSION_J_KG, liquid), -ice[i])
        workspace[ICE + i] = ice[i] + change
        workspace[SOIL + i] = t + change * (FUSION_J_KG / STEP_S) * column[PER_STORE + i]


@jit
def budget(bed, cover, layers, air_c, vapour_kpa, column, soil, ice, start, now, g, s, workspace):
    """|in − out − stored|, W/m2, the soil's heat summed over its cells; infinite if a temperature is out of range."""
    ground, leaf, air, vapour, inner, outer = now
    leaf_store, air_store, vapour_store, cover_store = stores(bed, cover, layers, g.air_capacity)
    face = (ground, leaf, inner, outer)
    total = 0.0
    for b in range(2 + len(layers)):
        if not abs(face[b]) < 95.0:
            return math.inf
        emitted = SIGMA * (face[b] + 273.15) ** 4
        total += workspace[RECEIVED + b]
        for a in range(2 + len(layers)):
            total += workspace[RADIATIVE + 8 * a + b] * emitted
    for i in range(CELLS):
        total -= column[CAPACITY + i] * (workspace[SOIL + i] - soil[i]) / STEP_S
        total += (workspace[ICE + i] - ice[i]) * (FUSION_J_KG / STEP_S)
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
