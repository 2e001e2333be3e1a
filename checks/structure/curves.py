"""The curves of hoops from scipy's elliptic functions: place, slope and curvature along the length."""

import numpy as np
from scipy.integrate import cumulative_simpson
from scipy.optimize import brentq
from scipy.special import ellipe, ellipeinc, ellipj, ellipk


class Curve:
    """One hoop as drawn: x, z (m) and slope (rad) at arc lengths `s` from the left foot."""

    def __init__(self, hoop, s):
        middle = s - 0.5 * hoop["length_m"]
        make = {"arc": arc, "half ellipse": half_ellipse, "elastica": elastica, "bent": bent}
        self.s = s
        self.x, self.z, self.slope, self.greatest_curvature = make[hoop["shape"]](hoop, middle)
        self.rise = float(np.interp(0.5 * hoop["length_m"], s, self.z))


def circle(radius, s):
    """Place and slope on a circle at arc length `s` from its top."""
    return radius * np.sin(s / radius), radius * (np.cos(s / radius) - 1.0), -s / radius


def arc(hoop, s):
    """Circular arc: span / length = sin(a)/a."""
    ratio = hoop["span_m"] / hoop["length_m"]
    half = brentq(lambda a: np.sin(a) / a - ratio, 1e-6, np.pi, xtol=1e-14)
    radius = hoop["length_m"] / (2.0 * half)
    x, z, slope = circle(radius, s)
    return x, z - radius * (np.cos(half) - 1.0), slope, 1.0 / radius


def bent(hoop, s):
    """An arc of given radius and straight legs tangent to it."""
    radius, half_length = hoop["bend_m"], 0.5 * hoop["length_m"]

    def wide(angle):
        return radius * np.sin(angle) + (half_length - radius * angle) * np.cos(angle)

    most = min(half_length / radius, 0.5 * np.pi)
    angle = brentq(lambda a: wide(a) - 0.5 * hoop["span_m"], 0.0, most, xtol=1e-14)
    leg = np.maximum(np.abs(s) - radius * angle, 0.0)
    x, z, slope = circle(radius, np.clip(s, -radius * angle, radius * angle))
    crown = radius * (1.0 - np.cos(angle)) + (half_length - radius * angle) * np.sin(angle)
    x = x + np.sign(s) * leg * np.cos(angle)
    return x, crown + z - leg * np.sin(angle), slope, 1.0 / radius


def half_ellipse(hoop, s):
    """x = a sin t, z = b cos t; arc length from the top by the incomplete integral, turned round by interpolation."""
    a, length = 0.5 * hoop["span_m"], hoop["length_m"]

    def quarter(b):
        return a * ellipe(1.0 - (b / a) ** 2)

    b = brentq(lambda b: 2.0 * quarter(b) - length, 1e-9, length, xtol=1e-14)
    fine = np.linspace(-0.5 * np.pi, 0.5 * np.pi, 400_001)
    t = np.interp(s, a * ellipeinc(fine, 1.0 - (b / a) ** 2), fine)
    slope = np.arctan2(-b * np.sin(t), a * np.cos(t))
    return a * np.sin(t), b * np.cos(t), slope, max(a / b**2, b / a**2)


def elastica(hoop, s):
    """sin(slope/2) = -k sn(u, k), u = 2 K s/L; x by adding up cosines, as ellipeinc of
    scipy 1.17.1 jumps close to 0."""
    ratio, length = hoop["span_m"] / hoop["length_m"], hoop["length_m"]
    m = brentq(lambda m: 2.0 * ellipe(m) / ellipk(m) - 1.0 - ratio, 1e-12, 0.99, xtol=1e-15)
    k, rate = np.sqrt(m), 2.0 * ellipk(m) / length
    sn, cn, _, _ = ellipj(rate * s, m)
    slope = -2.0 * np.arcsin(k * sn)
    x = cumulative_simpson(np.cos(slope), x=s, initial=0.0) - 0.5 * hoop["span_m"]
    return x, 2.0 * k / rate * cn, slope, 2.0 * k * rate
