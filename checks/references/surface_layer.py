"""The stable surface layer of Beljaars & Holtslag 1991 (J. Appl. Meteorol. 30:327) against the closed form of the model.

Their integrated functions, a 1, b 0.667, c 5, d 0.35, are solved for the bulk Richardson number; the factor is the heat
flux over the neutral one. Exits with 1 where 1/(1 + 10 Ri (1 + 10 Ri)) is off by more than 0.04 for z0 2 cm (heat and
momentum alike) and z 2 to 10 m. Needs numpy.
"""

import sys

import numpy as np

LIMIT = 0.04
A, B, C, D = 1.0, 0.667, 5.0, 0.35


def wave(zeta):
    """The part that heat and momentum share."""
    return B * (zeta - C / D) * np.exp(-D * zeta) + B * C / D


def psi_momentum(zeta):
    """Integrated, of momentum."""
    return -(A * zeta + wave(zeta))


def psi_heat(zeta):
    """Integrated, of heat."""
    return -((1.0 + 2.0 / 3.0 * A * zeta) ** 1.5 - 1.0 + wave(zeta))


def factor_by_richardson(z, z0):
    """Bulk Richardson numbers and the factor at each."""
    zeta = np.logspace(-4, 2.3, 6000)
    near = zeta * z0 / z
    momentum = np.log(z / z0) - psi_momentum(zeta) + psi_momentum(near)
    heat = np.log(z / z0) - psi_heat(zeta) + psi_heat(near)
    return zeta * heat / momentum**2, np.log(z / z0) ** 2 / (momentum * heat)


def main():
    """Prints the greatest difference for each height; 1 where the limit is passed."""
    numbers = np.concatenate([np.linspace(0.005, 0.5, 100), np.linspace(0.5, 4.0, 36)])
    closed = 1.0 / (1.0 + 10.0 * numbers * (1.0 + 10.0 * numbers))
    missed = False
    for z in (2.0, 3.0, 5.0, 10.0):
        richardson, factor = factor_by_richardson(z, 0.02)
        off = np.abs(np.interp(numbers, richardson, factor) - closed)
        missed |= bool(off.max() > LIMIT)
        print(f"z {z:4.0f} m: greatest difference {off.max():.3f} at Ri {numbers[off.argmax()]:.2f}")
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
