"""Holds a hundred random hoops of the structure crate against rods in exact geometry computed here.

    cargo run -p structure --example hundred > hundred.jsonl
    python checks/structure/compare.py hundred.jsonl

Needs numpy and scipy; takes a minute. The crate cuts a hoop into 64 links; here the equations of the rod are shot from foot
to foot, moments under a small load come from the force method, curves from scipy's elliptic functions. Buckling is
where the determinant of the shot changes sign. All the crate's loads, sizes and moments must lie within 1 % (moments
of the greatest moment, places of the rise). Exits with 1 where one does not.
"""

import json
import sys

import numpy as np
from rods import Rods

TOLERANCE = 0.01


def tell(what, differences, tolerance=TOLERANCE):
    """One line of the table; whether it is missed. A value that is not a number misses."""
    worst = np.max(np.abs(differences)) if len(differences) else np.nan
    ok = bool(worst <= tolerance)
    print(f"structure | {what} | n {len(differences)} | greatest {100 * worst:.3f} % "
          f"| tolerance {100 * tolerance:g} % | {'ok' if ok else 'MISSED'}")
    return not ok


def force_method(rods, i, pressure):
    """Moments of a hoop that does not notice how it bends: least bending energy of all moments in equilibrium."""
    x, z, s = rods.x0[:, i], rods.z0[:, i], rods.curves[i].s
    piece = np.diff(s)
    middle = lambda v: 0.5 * (v[1:] + v[:-1])  # noqa: E731
    slope = middle(rods.curves[i].slope)
    push, weight = pressure * middle(rods.push[:, i]), pressure * middle(rods.weight[:, i])
    fx, fz = push * np.sin(slope) * piece, (-push * np.cos(slope) - weight) * piece
    xm, zm = middle(x), middle(z)
    # Moment of all that pushes on the left of each point, as of a rod held on the right.
    before = lambda v: np.concatenate([[0.0], np.cumsum(v)])  # noqa: E731
    moment = -(before(fz * xm - fx * zm) - x * before(fz) + z * before(fx))
    ways = [z] if not rods.fixed[i] else [z, x, np.ones_like(x)]
    if not rods.fixed[i]:
        moment = moment - moment[-1] * (x - x[0]) / (x[-1] - x[0])
    root = np.sqrt(np.gradient(s))
    matrix = np.stack(ways, axis=1)
    shares = np.linalg.lstsq(matrix * root[:, None], -moment * root, rcond=None)[0]
    return moment + matrix @ shares


def at_points(values, count):
    """Values on the grid at evenly spaced points."""
    return np.interp(np.linspace(0.0, 1.0, count), np.linspace(0.0, 1.0, len(values)), values)


def sizes(hoops, rods):
    """Rise, area and greatest curvature."""
    rise, area, curvature = [], [], []
    for hoop, curve in zip(hoops, rods.curves):
        rise.append(hoop["rise_m"] / curve.rise - 1.0)
        area.append(hoop["area_m2"] / np.trapezoid(curve.z, curve.x) - 1.0)
        curvature.append(hoop["greatest_curvature_per_m"] / curve.greatest_curvature - 1.0)
    return tell("rise", rise, 1e-6) | tell("area", area, 1e-4) | tell("greatest curvature", curvature, 1e-6)


def small_load(hoops, rods):
    """Moments under a small load."""
    out = []
    for i, hoop in enumerate(hoops):
        if hoop["straight"]:
            continue
        ours = np.array(hoop["small_standing"]["moments_n_m"])
        theirs = at_points(force_method(rods, i, hoop["small_standing"]["pa"]), len(ours))
        out.append(np.max(np.abs(ours - theirs)) / np.max(np.abs(theirs)))
    return tell("moments under a small load, force method", out)


def standing(hoops, rods, unknown, pressure, done):
    """Moments and places of the hoops well under load."""
    _, course = rods.shoot(unknown, pressure, keep=True)
    moments, places = [], []
    for i, hoop in enumerate(hoops):
        if not done[i]:
            moments.append(np.nan)
            continue
        ours = np.array(hoop["standing"]["moments_n_m"])
        theirs = at_points(course[:, 3, i], len(ours))
        moments.append(np.max(np.abs(ours - theirs)) / np.max(np.abs(theirs)))
        points = np.array(hoop["standing"]["points_m"]).reshape(-1, 2)
        away = np.hypot(*(points.T - [at_points(course[:, j, i], len(ours)) for j in (0, 1)]))
        places.append(np.max(away) / hoop["rise_m"])
    return tell("moments well under load", moments) | tell(
        "places well under load, of the rise", places
    )


def main():
    """Prints the table; 1 where something is missed."""
    with open(sys.argv[1], encoding="utf-8") as file:
        hoops = [json.loads(line) for line in file]
    rods = Rods(hoops)
    most = np.array([h["collapse_pa"] for h in hoops])
    missed = sizes(hoops, rods) | small_load(hoops, rods)
    unknown, first, done = rods.solve(rods.start, 0.0 * most)
    missed |= tell("unloaded hoops that were not found", [1.0 - done.mean()], 0.0)
    standing_pa = np.array([h["standing"]["pa"] for h in hoops])
    loaded, _, done = climb(rods, unknown, standing_pa, np.linspace(0.1, 1.0, 10), first)
    missed |= standing(hoops, rods, loaded, standing_pa, done)

    # Beyond that, only hoops that collapse near the load of their stiffness; others are pulled taut by the wind.
    near = np.array([h["collapse_pa"] < 2.0 * p for h, p in zip(hoops, standing_pa)])
    parts = np.array([*np.arange(0.1, 0.95, 0.1), 0.95, 0.98, *np.arange(0.985, 1.0201, 0.0025)])
    _, at, _ = climb(rods, unknown, np.where(near, most, 0.0), parts, first)
    buckled = np.array([h["failure"] == "Buckled" for h in hoops])
    missed |= tell("load at which rods buckle", at[near & buckled] - 1.0)
    missed |= tell("load at which hoops are flattened", at[near & ~buckled] - 1.0)
    return int(missed)


def climb(rods, unknown, most, parts, first):
    """Raises the load by parts: last foot values, part at which each first gives way, whether it stood at the last.

    A hoop gives way where it buckles, or halfway between the parts where it moves half its rise.
    """
    before = unknown
    limit = np.array([0.5 * max(h["rise_m"], 0.25 * h["span_m"]) for h in rods.hoops])
    at = np.full(len(most), np.nan)
    was, earlier = 0.0, -1.0
    for part in parts:
        # The next guess goes on along the line of the last two.
        guess = unknown + (unknown - before) * (part - was) / (was - earlier)
        solved, determinant, done = rods.solve(guess, part * most)
        _, course = rods.shoot(solved, part * most, keep=True)
        moved = np.hypot(course[:, 0] - rods.x0[::2], course[:, 1] - rods.z0[::2]).max(axis=0)
        stands = done & (np.sign(determinant) == np.sign(first)) & (moved <= limit)
        at = np.where(np.isnan(at) & ~stands, 0.5 * (part + was), at)
        before, unknown = unknown, np.where(done, solved, unknown)
        was, earlier = part, was
    return unknown, at, done


if __name__ == "__main__":
    sys.exit(main())
