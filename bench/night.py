"""The bed, the covers, the sixteen members and the weather of the night that the rivals run: the same formulas as the
Rust example `night`. Materials, soil and moist air come from `checks/second`."""

import math
import sys
from collections import namedtuple
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent / "checks" / "second"))

import convection  # noqa: E402
import materials  # noqa: E402
import moist_air  # noqa: E402
import soil  # noqa: E402
from parameters import LOWER_LAYER_W_M2_K, SIGMA, STEP_S  # noqa: E402

STEPS, LANES = 96, 16
BED_HOURS = STEPS * STEP_S / 3600.0
SATURATION = 0.6
EARTH = {
    "porosity": 0.46, "quartz": 0.4, "bulk_density_kg_m3": 1400.0, "organic": 0.02, "coarse": False,
}  # fmt: skip

Bed = namedtuple(
    "Bed", "emissivity albedo height_m ground_cover leaf_m alive evaporates wind_height_m pressure_kpa"
)
# Fabric and shape; for an open bed all 0 but `area_ratio`.
Cover = namedtuple(
    "Cover",
    "dry_passed dry_taken wet_passed wet_taken sun_passed sun_taken permeability_m_s flow_exponent"
    " mass_kg_m2 area_ratio mean_height_m crown_m gap_ratio contact",
)
# Wind at the top of plants or cover and at 2 m over that of the forcing; exchange aloft over heat capacity and wind, neutral,
# and over what still air carries; wind over leaves and ground over that at the top; area of the leaves in sight, and layers
# of those out of sight.
Profile = namedtuple("Profile", "at_level at_2_m neutral still among below leaf_area lower_layers")
# What a member does not share with the others, one number or array each.
Draws = namedtuple("Draws", "soil_resistance convection leak transmissivity shelter still_air")
# The soil column, cell by cell: conductance above, C dz/dt, C dz, water that can freeze.
Column = namedtuple("Column", "above store capacity water")
# One step of weather.
Forcing = namedtuple("Forcing", "air_c vapour_kpa wind_m_s sky_w_m2 sun_w_m2")

BED = Bed(0.95, 0.17, 0.15, 0.3, 0.05, 1.0, 1.0, 10.0, moist_air.pressure_kpa(320.0))
COVERS = {"open": 0, "50 g": 1, "50 g doubled": 2}


def cover(layers):
    """The open bed, or row cover of 50 g over hoops."""
    if layers == 0:
        return Cover(*[0.0] * 9, 1.0, 0.0, 0.0, 0.0, 0.0)
    fabric = materials.fabric_of({"kind": "row_cover", "weight_g_m2": 50.0})
    return Cover(
        *fabric.dry, *fabric.wet, *fabric.sunlight, fabric.permeability_m_s, fabric.flow_exponent,
        fabric.mass_kg_m2, 1.45, 0.38, 0.5, 0.007, 0.0,
    )  # fmt: skip


def profile(bed, over):
    """The log profile of the wind over a bed and its cover."""
    air = convection.AirAbove(bed.height_m, over.crown_m or None)
    friction = air.friction_velocity(1.0, bed.wind_height_m)
    whole_way = math.log((2.0 - air.zero_plane) / air.roughness)
    way = max(0.25, math.log((2.0 - air.zero_plane) / air.source))
    among, below = convection.wind_among_plants(bed._asdict(), 1.0)
    _, lower_layers, leaf_area = convection.leaf_layers(bed._asdict())
    least = convection.LEAST_AIR_M_S
    return Profile(
        friction / 0.4 * math.log(1.0 + air.top / air.roughness), friction / 0.4 * whole_way,
        0.4 * friction / way, whole_way / way, among - least, below - least, leaf_area, lower_layers,
    )  # fmt: skip


def draws(members):
    """The middle of every prior for each member."""
    resistance = convection.soil_surface_resistance_s_m(SATURATION)
    central = Draws(resistance, 1.0, 1.0, 0.0, 1.0, 2.25)
    return Draws(*(np.full(members, value) for value in central))


def column(members):
    """The soil of each member, shape (cells, members)."""
    dz = np.array(soil.growing_thicknesses(soil.CELLS))
    half = 0.5 * dz / materials.soil_conductivity_w_m_k(EARTH, SATURATION)
    capacity = dz * materials.soil_heat_capacity_j_m3_k(EARTH, SATURATION)
    lower_layers = convection.leaf_layers(BED._asdict())[1]
    above = 1.0 / np.concatenate(
        (half[:1] + lower_layers / LOWER_LAYER_W_M2_K, half[:-1] + half[1:])
    )
    water = 1000.0 * EARTH["porosity"] * SATURATION * dz
    rows = (above, capacity / STEP_S, capacity, water)
    return Column(*(np.repeat(row[:, None], members, axis=1) for row in rows))


def forcing(members):
    """Sunset to mid-morning: a list of `Forcing`, arrays over the members; every eight members are alike."""
    m = 0.5 * (np.arange(members) % LANES) - 3.75
    over_water = np.vectorize(moist_air.saturation_over_water_kpa)
    vapour, wind, cloud = over_water(-3.0 + 0.3 * m), 1.5 + 0.2 * m, 0.2 + 0.05 * m
    night = []
    for k in range(STEPS):
        hours = k / 6.0
        air = 6.0 - 8.0 * math.sin(hours / 16.0 * math.pi) + 0.5 * m
        sun = np.full(members, max(200.0 * (hours - 13.0), 0.0))
        night.append(Forcing(air, vapour, wind, _sky(air, vapour, cloud), sun))
    return night


def _sky(air, vapour, cloud):
    """Long-wave of the sky, W/m2 (Dilley & O'Brien with cloud)."""
    kelvin = air + 273.15
    black = SIGMA * kelvin**4
    clear = 59.38 + 113.7 * (kelvin / 273.16) ** 6 + 96.96 * np.sqrt(4650.0 * vapour / kelvin / 25.0)
    share = np.clip(clear / black, 0.4, 1.0)
    return (share + 0.84 * cloud * (1.0 - share)) * black
