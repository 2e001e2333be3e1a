"""Heat in the ground against the same equations solved by numpy, the analytic wave and the analytic front of frost."""

import numpy as np
from metpy import constants
from scipy.optimize import brentq
from scipy.special import erf, erfc

from compare import Report, column, program, tables

NUMPY, SCIPY, METPY = program("numpy"), program("scipy"), program("metpy")
NEUMANN = f"Neumann's front by {SCIPY}, heat of fusion by {METPY}"
CELL_BY_CELL = "the front stands still while it crosses a cell"
FUSION_J_KG = constants.water_heat_fusion.m_as("J/kg")


def solved(case, hours):
    """Backward Euler on the same cells as one dense matrix, temperature at each hour."""
    thickness, step = np.array(case["thickness_m"]), case["step_s"]
    k, capacity = case["conductivity_w_m_k"], case["capacity_j_m3_k"]
    between = 2.0 * k / (thickness + np.concatenate([[0.0], thickness[:-1]]))
    store = capacity * thickness / step
    matrix = np.diag(store + between + np.append(between[1:], 0.0))
    matrix -= np.diag(between[1:], 1) + np.diag(between[1:], -1)
    inverse = np.linalg.inv(matrix)
    soil, out = np.array(case["start_c"]), []
    per_hour = round(3600 / step)
    for n in range(1, hours * per_hour + 1):
        heat = store * soil
        heat[0] += between[0] * surface(case, n * step)
        soil = inverse @ heat
        if n % per_hour == 0:
            out.append(soil)
    return np.array(out)


def surface(case, second):
    """The sine held at the surface, °C."""
    return case["mean_c"] + case["amplitude_k"] * np.sin(2.0 * np.pi * second / case["period_s"])


def analytic_wave(case, second, depth):
    """T = mean + A exp(-z/d) sin(wt - z/d), d = sqrt(2 D/w): ground without a bottom."""
    omega = 2.0 * np.pi / case["period_s"]
    diffusivity = case["conductivity_w_m_k"] / case["capacity_j_m3_k"]
    down = depth / np.sqrt(2.0 * diffusivity / omega)
    return case["mean_c"] + case["amplitude_k"] * np.exp(-down) * np.sin(omega * second - down)


def wave(report, case, tolerance_k, reason):
    """A daily wave of ±8 K for five days at the depths of all cells."""
    second, depth, soil = (column(case["table"], name) for name in ("second", "depth_m", "soil_c"))
    what = f"daily wave, step {case['step_s']:g} s"
    report.compare(
        what,
        soil,
        solved(case, round(second[-1] / 3600)).ravel(),
        1e-11,
        "K",
        NUMPY,
        "the same equations by a dense matrix",
    )
    report.compare(
        what, soil, analytic_wave(case, second, depth), tolerance_k, "K", "analytic wave", reason
    )


def front_number(case):
    """Neumann's root: front depth X = 2 root sqrt(D t); both phases conduct alike."""
    cold = -case["surface_c"] * case["capacity_j_m3_k"] / (FUSION_J_KG * case["water_kg_m3"])
    warm = case["start_c"] * case["capacity_j_m3_k"] / (FUSION_J_KG * case["water_kg_m3"])

    def balance(x):
        return cold * np.exp(-x * x) / erf(x) - warm * np.exp(-x * x) / erfc(x) - np.sqrt(np.pi) * x

    return brentq(balance, 1e-6, 3.0, xtol=1e-14)


def implicit_frost(case, hours, surface_c=None, loss_w_m2=None):
    """Heat content solved implicitly by Newton's method on the same cells and steps.

    Shows what these cells and steps can reach. At each hour: frost (ice over water, m), cells and surface in °C.
    """
    thickness, step = np.array(case["thickness_m"]), case["step_s"]
    k, store = case["conductivity_w_m_k"], case["capacity_j_m3_k"] * thickness
    latent = FUSION_J_KG * case["water_kg_m3"] * thickness
    between = 2.0 * k / (thickness + np.concatenate([[0.0], thickness[:-1]]))
    held = loss_w_m2 is None
    top = between[0] if held else 0.0
    conduct = np.diag(np.append(between[1:], 0.0)) + np.diag(np.append(top, between[1:]))
    conduct -= np.diag(between[1:], 1) + np.diag(between[1:], -1)
    gain = np.zeros(thickness.size)
    gain[0] = top * surface_c if held else -loss_w_m2

    def warmth(heat):
        return (np.maximum(heat, 0.0) + np.minimum(heat + latent, 0.0)) / store

    heat, out = store * case["start_c"], []
    for n in range(1, round(hours * 3600 / step) + 1):
        before = heat
        for _ in range(50):
            surplus = heat - before - step * (gain - conduct @ warmth(heat))
            if np.abs(surplus).max() < 1e-6:
                break
            slope = np.where((heat > 0) | (heat < -latent), 1.0 / store, 0.0)
            heat = heat - np.linalg.solve(np.eye(heat.size) + step * conduct * slope, surplus)
        if n * step % 3600 == 0:
            soil = warmth(heat)
            frost = np.sum(np.clip(-heat / latent, 0.0, 1.0) * thickness)
            out.append((frost, soil, surface_c if held else soil[0] - loss_w_m2 / between[0]))
    return [np.array(values) for values in zip(*out)]


def freezing(report, case, front_mm, soil_k, reason):
    """Surface suddenly at -5 °C: depth of frost from the ice of all cells; temperatures from hour 6 on."""
    cells = len(case["thickness_m"])
    names = ("second", "depth_m", "soil_c", "ice_kg_m2")
    second, depth, soil, ice = (column(case["table"], name).reshape(-1, cells) for name in names)
    root = front_number(case)
    spread = 2.0 * np.sqrt(case["conductivity_w_m_k"] / case["capacity_j_m3_k"] * second)
    front = root * spread[:, 0]
    cold = case["surface_c"] * (1.0 - erf(depth / spread) / erf(root))
    warm = case["start_c"] * (1.0 - erfc(depth / spread) / erfc(root))
    exact = np.where(depth < front[:, None], cold, warm)
    frost = ice.sum(axis=1) / case["water_kg_m3"]
    implicit_frost_m, implicit_c, _ = implicit_frost(case, len(second), surface_c=case["surface_c"])
    what = f"from {case['start_c']:g} °C, step {case['step_s']:g} s"
    for who, frost_m, soil_c in [
        ("", frost, soil),
        (f", {NUMPY} implicit", implicit_frost_m, implicit_c),
    ]:
        report.compare(
            f"depth of frost {what}{who}",
            1e3 * frost_m,
            1e3 * front,
            front_mm,
            "mm",
            NEUMANN,
            reason,
        )
        report.compare(
            f"freezing soil {what}{who}", soil_c[5:], exact[5:], soil_k, "K", NEUMANN, reason
        )


def losing(report, case, tolerance_k, reason):
    """A surface that loses 60 W/m² over wet soil at 0 °C: steady heat through the frost, T = -q²t/(k L w)."""
    second, surface_c = column(case["table"], "second"), column(case["table"], "surface_c")
    latent, loss = FUSION_J_KG * case["water_kg_m3"], case["loss_w_m2"]
    exact = -loss * loss * second / (case["conductivity_w_m_k"] * latent)
    _, _, implicit = implicit_frost(case, len(second), loss_w_m2=loss)
    what = f"surface over freezing soil, step {case['step_s']:g} s"
    reference = f"steady heat through the frost, heat of fusion by {METPY}"
    report.compare(what, surface_c, exact, tolerance_k, "K", reference, reason)
    report.compare(
        f"{what}, {NUMPY} implicit", implicit, exact, tolerance_k, "K", reference, reason
    )


def main():
    """All comparisons of this subject."""
    report, soil = Report("soil"), tables("soil")
    coarse, fine = soil["wave"]
    wave(report, coarse, 0.045, "fifteen growing cells and ten-minute steps")
    wave(report, fine, 0.02, "fifteen growing cells and the bottom at 1 m")
    model, fine, warm = soil["freezing"]
    freezing(report, model, 2.0, 0.7, CELL_BY_CELL)
    freezing(report, fine, 0.5, 0.5, f"{CELL_BY_CELL} of 1 cm")
    freezing(
        report, warm, 2.0, 0.85, f"{CELL_BY_CELL}; ours foresees freezing once a step, not to the end"
    )
    for case in soil["losing"]:
        losing(report, case, 0.3, CELL_BY_CELL)
    report.finish()


if __name__ == "__main__":
    main()
