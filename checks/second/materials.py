"""What cloths let through and what soils conduct, from the formulas of the presets."""

import math
from collections import namedtuple

Band = namedtuple("Band", "transmitted absorbed")
Fabric = namedtuple("Fabric", "dry wet sunlight permeability_m_s flow_exponent mass_kg_m2")


def fabric_of(cover):
    """The fabric a scenario names."""
    return {
        "row_cover": _row_cover,
        "film": _film,
        "insect_net": _insect_net,
        "shade_cloth": _shade_cloth,
    }[cover["kind"]](cover)


def _row_cover(cover):
    w = cover["weight_g_m2"]
    dry = 0.83 * math.exp(-((w / 70.0) ** 0.85))
    wet = max(dry - 0.15, 0.05)
    light = math.exp(-w / 78.0)
    return Fabric(
        Band(dry, 0.93 - dry), Band(wet, 0.95 - wet), Band(light, 0.1 * (1.0 - light)),
        78.0 * w**-1.08, 0.8, w / 1000.0,
    )


def _film(cover):
    t = cover["thickness_um"]
    dry = 0.74 * math.exp((100.0 - t) / 1000.0)
    return Fabric(Band(dry, 0.95 - dry), Band(0.2, 0.75), Band(0.86, 0.04), 0.0, 1.0, 0.92e-3 * t)


def _insect_net(_):
    return Fabric(Band(0.75, 0.20), Band(0.65, 0.30), Band(0.87, 0.04), 12.0, 0.6, 0.06)


def _shade_cloth(cover):
    s = cover["shade"]
    long_wave = Band(1.0 - s, 0.95 * s)
    return Fabric(long_wave, long_wave, Band(1.0 - s, 0.85 * s), 14.0 * (1.0 - s), 0.6, 0.1)


def moist_fabric(fabric, wet_share, shift):
    """Long-wave shares of a partly wet cloth; `shift` is the uncertainty of its transmissivity."""

    def mix(a, b):
        return (1.0 - wet_share) * a + wet_share * b

    reflected = mix(1.0 - sum(fabric.dry), 1.0 - sum(fabric.wet))
    passed = mix(fabric.dry.transmitted, fabric.wet.transmitted) + shift
    passed = min(max(passed, 0.0), 0.95)
    return Band(passed, min(max(1.0 - passed - reflected, 0.0), 1.0))


def soil_heat_capacity_j_m3_k(bed, saturation):
    """C = 1.92 x_m + 2.51 x_o + 4.18 theta, in J m-3 K-1."""
    mineral = 1.0 - bed["porosity"] - bed["organic"]
    water = bed["porosity"] * saturation
    return 1e6 * (1.92 * mineral + 2.51 * bed["organic"] + 4.18 * water)


def soil_conductivity_w_m_k(bed, saturation):
    """Johansen: between dry and saturated by the Kersten number."""
    rho, n, q = bed["bulk_density_kg_m3"], bed["porosity"], bed["quartz"]
    dry = (0.135 * rho + 64.7) / (2700.0 - 0.947 * rho)
    solids = 7.7**q * (3.0 if q <= 0.2 else 2.0) ** (1.0 - q)
    saturated = solids ** (1.0 - n) * 0.57**n
    scale, least = (0.7, 0.05) if bed["coarse"] else (1.0, 0.1)
    kersten = 1.0 + scale * math.log10(saturation) if saturation > least else 0.0
    return dry + (saturated - dry) * min(max(kersten, 0.0), 1.0)
