"""What the files of the numba model share: how to compile, the workspace, the records passed between functions."""

from collections import namedtuple

from numba import njit

CELLS = 15
GROUND, LEAF, INNER = 0, 1, 2
# All of fastmath but the promise that nothing is NaN or infinite, which the budget check relies on.
FAST = {"contract", "reassoc", "arcp", "nsz", "afn"}
# Nothing here makes an array, so that numba need not count references to those it is given (`_nrt`, not in its manual):
# about a sixth faster.
OPTIONS = {"cache": True, "fastmath": FAST, "error_model": "numpy", "_nrt": False}
jit, inlined = njit(**OPTIONS), njit(inline="always", **OPTIONS)

# One workspace that every step of every member reuses, and where in it each row of 16 numbers begins: one flat array
# instead of many, because numba counts references to every array it passes on.
ROW = 16
RECEIVED, CONSTANT, F, X, INSIDE, LATENT = (ROW * i for i in range(6))
INVERSE, PASSED, PARTIAL, NEW, FLUX, SOIL, ICE = (ROW * i for i in range(6, 13))
# Matrices: rows are eight numbers apart.
RADIATIVE, LINEAR, J, DESK = ROW * 13, ROW * 15, ROW * 18, ROW * 21
# The soil of one member in one flat array, likewise: per cell, the conductance above, C dz/dt and its inverse, C dz,
# water that can freeze, and 1 / pivot of the elimination when no cell is held at 0 °C.
ABOVE, STORE, PER_STORE, CAPACITY, WATER, FREE, COLUMN = (ROW * i for i in range(7))
Conductances = namedtuple(
    "Conductances", "ground leaf inner between contact vent outer recirculated air_capacity"
)
Supply = namedtuple("Supply", "ground leaf inner outer vent leaf_film ratio")
Optics = namedtuple("Optics", "passed taken lost")
# The part of the exchange of radiation that does not depend on the sources.
Geometry = namedtuple("Geometry", "a_g a_l f q dg1 ug1 u1 r inner outer p tau rho gain closed")
