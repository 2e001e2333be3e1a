"""Radiation between ground, leaves, cover and sky as one dense linear system of fluxes (equation 10).

Unknowns are the fluxes that leave or reach each face; one row states what each is made of. The
ground sees only leaves and cover. A cover of r times the ground's area sees the ground with 1/r,
itself with 1 - 1/r, and, outside, the sky with (1 + 1/r)/2 and what lies beside with the rest.
"""

from collections import namedtuple

import numpy as np

# Absorbed by ground, leaves, inner and outer cover, per area of ground.
Absorbed = namedtuple("Absorbed", "ground leaf inner outer")
# `emitted`: black-body emission of ground, leaf, inner and outer cover.
Light = namedtuple("Light", "emitted sky beside")


class Equations:
    """Linear equations  flux = constant + sum(coefficient * other flux),  named by flux."""

    def __init__(self, names):
        self.index = {name: i for i, name in enumerate(names)}
        self.matrix = np.eye(len(names))
        self.constant = np.zeros(len(names))

    def row(self, name, constant, **others):
        """States what one flux is made of."""
        i = self.index[name]
        self.constant[i] = constant
        for other, coefficient in others.items():
            self.matrix[i, self.index[other]] -= coefficient

    def solve(self):
        """All fluxes by name."""
        values = np.linalg.solve(self.matrix, self.constant)
        return {name: float(values[i]) for name, i in self.index.items()}


def _bed_rows(equations, ground, leaf, leaf_cover, light):
    """Ground and leaves under a flux `down` from above."""
    f = leaf_cover
    own_ground, own_leaf = ground * light.emitted[0], leaf * light.emitted[1]
    equations.row("on_ground", f * own_leaf, down=1.0 - f, from_ground=f * (1.0 - leaf))
    equations.row("from_ground", own_ground, on_ground=1.0 - ground)
    equations.row("up", f * own_leaf, down=f * (1.0 - leaf), from_ground=1.0 - f)


def _bed_absorbed(flux, ground, leaf, leaf_cover, light):
    taken_ground = ground * (flux["on_ground"] - light.emitted[0])
    both_sides = flux["down"] + flux["from_ground"] - 2.0 * light.emitted[1]
    return taken_ground, leaf_cover * leaf * both_sides


def open_bed(ground, leaf, leaf_cover, light):
    """Nothing between bed and sky."""
    e = Equations(["on_ground", "from_ground", "up", "down"])
    _bed_rows(e, ground, leaf, leaf_cover, light)
    e.row("down", light.sky)
    return Absorbed(*_bed_absorbed(e.solve(), ground, leaf, leaf_cover, light), 0.0, 0.0)


def under_cloth(ground, leaf, leaf_cover, layers, area_ratio, light):
    """One or two see-through layers, the inner one first; in the gap between two, fluxes go to and fro.

    Fluxes that come through from outside keep apart from those of inside, because what falls
    through the cloth goes straight down: the share 1/r of a cover's sky light meets the ground.
    """
    r = area_ratio
    itself = 1.0 - 1.0 / r
    outside = light.sky * (1.0 + 1.0 / r) / 2.0 + light.beside * itself / 2.0
    inner, outer = layers[0], layers[-1]
    emit_in = inner.absorbed * light.emitted[2]
    emit_out = outer.absorbed * light.emitted[3]
    echo_in, echo_out = 1.0 - sum(inner), 1.0 - sum(outer)
    two = len(layers) == 2

    names = ["on_ground", "from_ground", "up", "down", "on_cover", "from_cover"]
    if two:
        names += ["gap_up", "gap_down", "gap_up_outside", "gap_down_outside"]
    e = Equations(names)
    _bed_rows(e, ground, leaf, leaf_cover, light)
    # The share of outside light that comes through is worked out first: it fixes the direct beam.
    through = inner.transmitted
    if two:
        # Light between two layers: 1 + (rr') + (rr')^2 + ...
        through *= outer.transmitted / (1.0 - echo_in * echo_out)
        e.row("gap_up", emit_in, on_cover=inner.transmitted, gap_down=echo_in)
        e.row("gap_down", emit_out, gap_up=echo_out)
        e.row("gap_up_outside", 0.0, gap_down_outside=echo_in)
        e.row("gap_down_outside", outer.transmitted * outside, gap_up_outside=echo_out)
        e.row("from_cover", emit_in, on_cover=echo_in, gap_down=inner.transmitted)
    else:
        e.row("from_cover", emit_in, on_cover=echo_in)
    e.row("down", through * light.sky, from_cover=1.0)
    stray = through * (outside - light.sky / r)
    e.row("on_cover", stray, up=1.0 / r, from_cover=itself)

    flux = e.solve()
    bed = _bed_absorbed(flux, ground, leaf, leaf_cover, light)
    if not two:
        taken = inner.absorbed * (flux["on_cover"] + outside) - 2.0 * emit_in
        return Absorbed(*bed, r * taken, 0.0)
    from_gap_in = flux["gap_down"] + flux["gap_down_outside"]
    from_gap_out = flux["gap_up"] + flux["gap_up_outside"]
    taken_in = inner.absorbed * (flux["on_cover"] + from_gap_in) - 2.0 * emit_in
    taken_out = outer.absorbed * (outside + from_gap_out) - 2.0 * emit_out
    return Absorbed(*bed, r * taken_in, r * taken_out)


def under_opaque(ground, leaf, leaf_cover, faces, area_ratio, light):
    """A layer that nothing passes, straw or snow on cloth: one face below, one above, no radiation between them."""
    below, above = faces
    r = area_ratio
    itself = 1.0 - 1.0 / r
    e = Equations(["on_ground", "from_ground", "up", "down", "on_cover"])
    _bed_rows(e, ground, leaf, leaf_cover, light)
    e.row("on_cover", 0.0, up=1.0 / r, down=itself)
    e.row("down", below * light.emitted[2], on_cover=1.0 - below)
    flux = e.solve()
    bed = _bed_absorbed(flux, ground, leaf, leaf_cover, light)
    outside = light.sky * (1.0 + 1.0 / r) / 2.0 + light.beside * itself / 2.0
    inner = below * (flux["on_cover"] - light.emitted[2])
    outer = above * (outside - light.emitted[3])
    return Absorbed(*bed, r * inner, r * outer)
