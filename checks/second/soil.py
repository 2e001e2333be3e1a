"""The ground below the surface: method of lines on heat content, with freezing (equation 18)."""

from collections import namedtuple

from materials import soil_conductivity_w_m_k, soil_heat_capacity_j_m3_k
from scipy.optimize import brentq

CELLS = 15
FIRST_M = 0.008
DEPTH_M = 1.0
LITTER_CELLS = 3
FUSION_J_KG = 3.337e5
SNOW_W_M_K = 0.2

# capacity in J m-2 K-1, resistance of half the cell in m2 K/W, depth of the middle below the soil
# surface (None in mulch), and the span of the freezing of all water, in kelvin of the cell.
Cell = namedtuple("Cell", "capacity half_resistance depth_m freezing_span_k")


def growing_thicknesses(count):
    """`count` thicknesses in geometric progression from the first to the depth of the column."""
    ratio = brentq(lambda q: sum(FIRST_M * q**i for i in range(count)) - DEPTH_M, 1.001, 3.0)
    return [FIRST_M * ratio**i for i in range(count)]


def column_of(bed, saturation):
    """The cells of a bed from the top down: mulch where there is any, then soil."""
    cells = []
    litter = bed["litter"]
    if litter:
        dz = litter["depth_m"] / LITTER_CELLS
        half = 0.5 * dz / litter["conductivity"]
        cells = [Cell(dz * litter["capacity_j_m3_k"], half, None, 0.0)] * LITTER_CELLS
    k, c = soil_conductivity_w_m_k(bed, saturation), soil_heat_capacity_j_m3_k(bed, saturation)
    water = 1000.0 * bed["porosity"] * saturation
    top = 0.0
    for dz in growing_thicknesses(CELLS - len(cells)):
        cells.append(Cell(dz * c, 0.5 * dz / k, top + 0.5 * dz, FUSION_J_KG * water / c))
        top += dz
    return cells


def temperature_c(cell, content_k):
    """Temperature of a cell that holds `content_k` of heat over liquid water at 0 °C, in its own kelvins."""
    if content_k >= 0.0:
        return content_k
    return min(0.0, content_k + cell.freezing_span_k)


def flux_into_top(cells, surface_c, temperatures, snow_m=0.0, lower_leaves=0.0):
    """Heat from the surface, that of snow or lower leaves (m2 K/W), to the middle of the first cell, W/m2."""
    resistance = cells[0].half_resistance + snow_m / SNOW_W_M_K + lower_leaves
    return (surface_c - temperatures[0]) / resistance


def content_rates(cells, into_top, temperatures):
    """Rate of change of every cell's heat content, K/s; nothing leaves below."""
    rates = []
    coming = into_top
    for i, cell in enumerate(cells):
        going = 0.0
        if i + 1 < len(cells):
            resistance = cell.half_resistance + cells[i + 1].half_resistance
            going = (temperatures[i] - temperatures[i + 1]) / resistance
        rates.append((coming - going) / cell.capacity)
        coming = going
    return rates
