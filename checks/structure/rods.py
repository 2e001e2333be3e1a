"""Many inextensible rods at once, in exact geometry: initial values are shot from the left foot to the right one.

State along the length: x, z, turn away from the slope at rest, moment M, force on the cut (fx, fz);
x' = cos, z' = sin of the slope, turn' = M/EI, f' = -load, M' = fx sin - fz cos. Pressure turns with the rod, snow stays
vertical. Runge-Kutta of fourth order; Newton's method on the three unknown values at the foot, with differences.
"""

import numpy as np
from curves import Curve

STEPS = 640
SLIDES = np.radians(60.0)


def snow_at(curve, hoop, slope, x):
    """Weight for one Pa on the plan, per metre of rod: none beyond 60 degrees, half on the left in a drift."""
    weight = np.where(np.abs(slope) > SLIDES, 0.0, np.cos(slope))
    return weight * np.where((hoop["load"] == "drift") & (x < 0.0), 0.5, 1.0)


def wind_at(curve, hoop, slope, x):
    """Inward pressure for one Pa: 1.4 r, -0.7 - r, -0.5 on the quarter, half and quarter of the span."""
    ratio = min(curve.rise / hoop["span_m"], 0.6)
    part = x / hoop["span_m"] + 0.5
    return np.where(part < 0.25, 1.4 * ratio, np.where(part < 0.75, -0.7 - ratio, -0.5))


class Rods:
    """All hoops on one grid of half steps, as arrays of (place along, hoop)."""

    def __init__(self, hoops):
        self.hoops = hoops
        lengths = np.array([h["length_m"] for h in hoops])
        grid = np.linspace(0.0, 1.0, 2 * STEPS + 1)
        curves = [Curve(h, grid * h["length_m"]) for h in hoops]
        self.curves = curves
        self.step = lengths / STEPS
        self.span = np.array([h["span_m"] for h in hoops])
        straight = np.array([h["straight"] for h in hoops])
        slope = np.stack([c.slope for c in curves], axis=1)
        x = np.stack([c.x for c in curves], axis=1)
        self.z0 = np.stack([c.z for c in curves], axis=1)
        self.x0 = x
        self.foot = slope[[0, -1]]
        self.rest = np.where(straight, 0.0, slope)
        self.stiffness = np.array(
            [h["modulus_pa"] * np.pi / 64.0 * (h["outer_m"] ** 4 - h["inner_m"] ** 4) for h in hoops]
        )
        self.fixed = np.array([h["fixed"] for h in hoops])
        wind = np.array([h["load"] == "wind" for h in hoops])
        zero = np.zeros(len(grid))
        columns = zip(curves, hoops)
        self.push = np.stack(
            [wind_at(c, h, c.slope, c.x) if h["load"] == "wind" else zero for c, h in columns], axis=1
        )
        columns = zip(curves, hoops)
        self.weight = np.stack(
            [zero if h["load"] == "wind" else snow_at(c, h, c.slope, c.x) for c, h in columns], axis=1
        )
        self.start = self.drawn_start(wind)

    def drawn_start(self, wind):
        """Foot values of the unloaded hoop: a sprung rod starts with its thrust, EI (kappa/2k)^2 from its curvature."""
        start = np.zeros((3, len(self.hoops)))
        for i, (hoop, curve) in enumerate(zip(self.hoops, self.curves)):
            if hoop["straight"]:
                k = np.sin(0.5 * self.foot[0, i])
                start[1, i] = -self.stiffness[i] * (curve.greatest_curvature / (2.0 * k)) ** 2
        start[0] = np.where(self.fixed, 0.0, self.foot[0] - self.rest[0])
        return start

    def slopes(self, state, at, pressure):
        """Derivative of the states along the length at one place of the grid."""
        _, _, turn, moment, fx, fz = state
        slope = turn + self.rest[at]
        cos, sin = np.cos(slope), np.sin(slope)
        push = pressure * self.push[at]
        weight = pressure * self.weight[at]
        return np.stack(
            [cos, sin, moment / self.stiffness, -push * sin, push * cos + weight, fx * sin - fz * cos]
        )[[0, 1, 2, 5, 3, 4]]

    def shoot(self, unknown, pressure, keep=False):
        """From foot values (3, ..., hoop) to the misses at the right foot; the whole course if asked."""
        turn, moment = np.where(self.fixed, self.foot[0] - self.rest[0], unknown[0]), np.where(
            self.fixed, unknown[0], 0.0
        )
        zero = np.zeros_like(turn)
        state = np.stack([zero - 0.5 * self.span, zero, turn, moment, unknown[1], unknown[2]])
        course = [state]
        for i in range(STEPS):
            a = self.slopes(state, 2 * i, pressure)
            b = self.slopes(state + 0.5 * self.step * a, 2 * i + 1, pressure)
            c = self.slopes(state + 0.5 * self.step * b, 2 * i + 1, pressure)
            d = self.slopes(state + self.step * c, 2 * i + 2, pressure)
            state = state + self.step / 6.0 * (a + 2.0 * b + 2.0 * c + d)
            if keep:
                course.append(state)
        length = self.step * STEPS
        end = np.where(
            self.fixed,
            state[2] + self.rest[-1] - self.foot[1],
            state[3] * length / self.stiffness,
        )
        misses = np.stack([(state[0] - 0.5 * self.span) / length, state[1] / length, end])
        return (misses, np.stack(course)) if keep else misses

    def scales(self):
        """Sizes of the foot values: radians or E I/L, and E I/L^2."""
        length = self.step * STEPS
        bending = self.stiffness / length
        return np.stack([np.where(self.fixed, bending, 1.0), bending / length, bending / length])

    def solve(self, guess, pressure):
        """Newton's method: foot values, determinant of the misses over them, and whether each rod was solved."""
        unknown, scale = guess.copy(), self.scales()
        done = np.zeros(len(self.hoops), bool)
        determinant = np.full(len(self.hoops), np.nan)
        with np.errstate(all="ignore"):
            for _ in range(12):
                tries = unknown[:, None, :].repeat(4, axis=1)
                for j in range(3):
                    tries[j, j + 1] += 1e-6 * scale[j]
                misses = self.shoot(tries, pressure)
                jacobian = (misses[:, 1:] - misses[:, :1]) / 1e-6
                base = misses[:, 0]
                matrix = np.nan_to_num(np.moveaxis(jacobian, 2, 0), nan=1.0, posinf=1.0, neginf=1.0)
                determinant = np.where(done, determinant, np.linalg.det(matrix))
                done |= np.abs(base).max(axis=0) < 1e-8
                if done.all():
                    break
                matrix[np.abs(np.linalg.det(matrix)) < 1e-14] = np.eye(3)
                change = np.linalg.solve(matrix, -np.nan_to_num(base.T)[..., None])[..., 0].T * scale
                unknown = np.where(done, unknown, unknown + change)
        return unknown, determinant, done
