"""A bed under a cover as a system of ordinary differential equations in continuous time.

Unknowns: ground surface, leaf, air and vapour among the plants, inner and outer cover, water on
leaf and cover, heat content of 15 cells. The surface itself holds no heat in the equations; here
it gets so little that it follows within a second.
"""

from dataclasses import dataclass

import convection
import moist_air
import radiosity
import soil
from materials import fabric_of, moist_fabric
from scipy.integrate import solve_ivp
from weather import weather_at

SIGMA = 5.670374e-8
LEAF_EMISSIVITY = 0.96
LEAF_SUN_ABSORBED = 0.77
STRAW_ABSORBED = 0.95
STRAW_SUN_ABSORBED = 0.70
ALBEDO_BESIDE = 0.2
SNOW_SUN_ABSORBED = 0.25
SNOW_EMISSIVITY = 0.98
FULL_SNOW_M = 0.03
SNOW_AIR_LEFT = 0.1
FULL_FILM_KG_M2 = 0.05
LOWER_LAYER_W_M2_K = 7.0
STILL_BETWEEN_LAYERS_W_M2_K = 2.0
VAPORISATION_J_KG = 2.501e6
SUBLIMATION_J_KG = 2.834e6
SURFACE_CAPACITY_J_M2_K = 50.0
# Two switches of the equations turned into short ramps, for a solver that wants continuous rates:
# a film stops to grow over this much water below its brim, kg/m2,
BRIM_KG_M2 = 1e-3
# and the latent heat of a face grows to that of frost over this much below 0 °C, K.
FROST_RAMP_K = 0.05


@dataclass
class Node:
    """Heat and vapour balance of the moment, W per area of ground."""

    ground: float = 0.0
    leaf: float = 0.0
    air: float = 0.0
    inner: float = 0.0
    outer: float = 0.0
    vapour: float = 0.0


class BedModel:
    """One scenario: what stays the same, and the rates of change."""

    def __init__(self, scenario):
        self.bed, self.draws = scenario["bed"], scenario["draws"]
        self.sky_weather = scenario["weather"]
        self.cover = scenario["cover"]
        self.loose = bool(self.cover) and self.cover["kind"] == "loose"
        self.cloth = bool(self.cover) and not self.loose
        self.fabric = fabric_of(self.cover) if self.cloth else None
        self.area_ratio = self.cover["area_ratio"] if self.cloth else 1.0
        self.roof_snow_m = self.bed["snow_on_cover_m"] if self.cover else 0.0
        # Patches: this share of the cover lies under snow.
        self.patches = min(1.0, self.roof_snow_m / FULL_SNOW_M)
        self.two_sheets = self.cloth and self.cover["layers"] == 2
        self.two_nodes = self.loose or self.two_sheets or self.roof_snow_m > 0.0
        self.column = soil.column_of(self.bed, self.draws["saturation"])
        self.pressure = moist_air.pressure_kpa(self.bed["elevation_m"])
        self.leaf_depth, self.lower_layers, self.leaf_area = convection.leaf_layers(self.bed)
        crown = self.cover["crown_m"] if self.cloth else 0.0
        self.above = convection.AirAbove(self.bed["height_m"], crown if self.cover else None)
        self.gamma = moist_air.psychrometric_constant_kpa_k(self.pressure)
        self.sun_share = self._absorbed_sun_per_unit()

    # --- radiation -------------------------------------------------------------------------

    def _absorbed_sun_per_unit(self):
        light = radiosity.Light((0.0, 0.0, 0.0, 0.0), 1.0, ALBEDO_BESIDE)
        layer = self.fabric.sunlight if self.cloth else None
        white = min(1.0, self.bed["snow_m"] / FULL_SNOW_M)
        ground = (1.0 - white) * (1.0 - self.bed["albedo"]) + white * SNOW_SUN_ABSORBED
        straw = STRAW_SUN_ABSORBED
        return self._exchange(ground, LEAF_SUN_ABSORBED, layer, layer, light, straw, SNOW_SUN_ABSORBED)

    def _exchange(
        self, ground, leaf, inner, outer, light, straw=STRAW_ABSORBED, snow=SNOW_EMISSIVITY
    ):
        f = self.bed["ground_cover"]
        if not self.cover:
            return radiosity.open_bed(ground, leaf, f, light)
        if self.loose:
            bare = radiosity.under_opaque(ground, leaf, f, (straw, straw), 1.0, light)
        else:
            layers = [inner, outer] if self.two_sheets else [outer]
            bare = radiosity.under_cloth(ground, leaf, f, layers, self.area_ratio, light)
        if self.patches == 0.0:
            return bare
        # What the cloth lets through from below ends in the snow on it.
        below = straw if self.loose else inner.transmitted + inner.absorbed
        faces = (below, snow)
        white = radiosity.under_opaque(ground, leaf, f, faces, self.area_ratio, light)
        mixed = ((1.0 - self.patches) * a + self.patches * b for a, b in zip(bare, white))
        return radiosity.Absorbed(*mixed)

    def net_long_wave(self, air, t, cover_water):
        """Net long-wave of every face under the clear sky of Dilley & O'Brien, with cloud."""
        kelvin = air.air_c + 273.15
        black = SIGMA * kelvin**4
        water_kg_m2 = 4650.0 * air.vapour_kpa / kelvin
        clear_w_m2 = 59.38 + 113.7 * (kelvin / 273.16) ** 6 + 96.96 * (water_kg_m2 / 25.0) ** 0.5
        clear = min(max(clear_w_m2 / black + self.draws["sky_emissivity"], 0.4), 1.0)
        sky = ((1.0 - 0.84 * air.cloud) * clear + 0.84 * air.cloud) * black
        faces = (t["ground"], t["leaf"], t["inner"], t["outer"])
        light = radiosity.Light([SIGMA * (c + 273.15) ** 4 for c in faces], sky, black)
        inner = outer = None
        if self.cloth:
            shift = self.draws["transmissivity"]
            # Of two sheets the inner one carries the dew.
            inner = moist_fabric(self.fabric, self._wet_cover(cover_water), shift)
            outer = moist_fabric(self.fabric, 0.0, shift) if self.two_sheets else inner
        return self._exchange(self.bed["emissivity"], LEAF_EMISSIVITY, inner, outer, light)

    # --- heat and vapour carried by air ----------------------------------------------------

    def _wet_cover(self, water):
        return min(max(water / (FULL_FILM_KG_M2 * self.area_ratio), 0.0), 1.0)

    def _wet_leaf(self, water):
        return min(max(water / (FULL_FILM_KG_M2 * 2.0 * self.bed["ground_cover"]), 0.0), 1.0)

    def conductances(self, air, t):
        """Conductances of the moment by name."""
        bed, d = self.bed, self.draws
        f = bed["ground_cover"]
        heat = moist_air.air_heat_capacity_j_m3_k(self.pressure, air.air_c)
        wind = max(air.wind_m_s * d["shelter"], convection.LEAST_AIR_M_S)
        friction = self.above.friction_velocity(wind, bed["wind_height_m"])
        speed = self.above.wind_at_top(friction)
        surface = t["outer"] if self.cover else t["air"]
        aloft = self.above.exchange(heat, friction, air.air_c, surface, d["still_air"])
        over_leaf, over_ground = t["leaf"] - t["air"], t["ground"] - t["air"]
        faces = 2.0 * self.leaf_area
        if not self.cover:
            among, below = convection.wind_among_plants(bed, speed)
            return {
                "heat": heat, "aloft": aloft,
                "ground": convection.small_face(below, 0.1, over_ground),
                "leaf": faces * convection.small_face(among, bed["leaf_m"], over_leaf),
            }
        if self.loose:
            leak, contact = 0.2 / self.cover["depth_m"], 0.0
            way_up = self.cover["depth_m"] / self.cover["conductivity"]
        else:
            flow = convection.air_change_m_s(self.fabric, self.cover, speed, t["air"], air.air_c)
            leak = heat * d["leak"] * flow
            contact = 10.0 * self.cover["contact"] * f
            # Through the gap between two sheets: still air, and long-wave where the upper one is snowed on.
            way_up = 1.0 / (5.0 + 5.0 * self.patches) if self.two_sheets else 0.0
        leak *= 1.0 - (1.0 - SNOW_AIR_LEFT) * self.patches
        way_up += self.roof_snow_m / soil.SNOW_W_M_K
        between = self.area_ratio / way_up if way_up > 0.0 else 0.0
        coefficient = 2.2 * d["convection"]
        among = 2.0 * leak / heat + convection.LEAST_AIR_M_S
        return {
            "heat": heat, "aloft": aloft, "leak": leak, "contact": contact, "between": between,
            "ground": convection.face_inside(coefficient, over_ground),
            "leaf": faces * convection.small_face(among, bed["leaf_m"], over_leaf),
            "inner": self.area_ratio * convection.face_inside(coefficient, t["inner"] - t["air"]),
            "skin": self.area_ratio * convection.face_outside(speed),
        }

    def carry_heat(self, net, g, air, t):
        """Sensible heat between faces, the air among the plants and the air at 2 m."""

        def pass_on(a, b, conductance):
            q = conductance * (t[a] - t[b])
            setattr(net, a, getattr(net, a) - q)
            setattr(net, b, getattr(net, b) + q)

        pass_on("ground", "air", g["ground"])
        pass_on("leaf", "air", g["leaf"])
        if not self.cover:
            net.air += g["aloft"] * (air.air_c - t["air"])
            return
        pass_on("inner", "air", g["inner"])
        pass_on("leaf", "inner", g["contact"])
        if self.two_nodes:
            pass_on("inner", "outer", g["between"])
        # The air close above the cover holds no heat: it mixes cover, leak and the air at 2 m.
        weight = g["skin"] + g["leak"] + g["aloft"]
        close = g["skin"] * t["outer"] + g["leak"] * t["air"] + g["aloft"] * air.air_c
        close /= weight
        net.outer += g["skin"] * (close - t["outer"])
        if self.loose:
            # A face of straw in the sun stirs the air above it: what that carries beyond the way through the close air.
            warmer = t["outer"] - air.air_c
            through = g["skin"] * g["aloft"] / weight
            net.outer -= max(0.0, convection.face_above(warmer) - through) * warmer
        net.air += g["leak"] * (close - t["air"])

    def carry_vapour(self, net, g, air, t, vapour, leaf_water, cover_water):
        """Latent heat; returns the water that leaves leaf and cover, kg m-2 s-1."""
        out_of = g["aloft"]
        if self.cover:
            weight = g["skin"] + g["leak"] + g["aloft"]
            out_of = g["leak"] * g["aloft"] / weight
        net.vapour += out_of / self.gamma * (air.vapour_kpa - vapour)

        def evaporate(face, conductance, other_kpa, giving):
            lack = moist_air.saturation_at_face_kpa(t[face]) - other_kpa
            flux = (giving if lack >= 0.0 else conductance) / self.gamma * lack
            setattr(net, face, getattr(net, face) - _latent_ratio(t[face]) * flux)
            return flux

        litter = 0.2 if self.bed["litter"] else 1.0
        surface = convection.soil_surface_resistance_s_m(self.draws["saturation"]) / g["heat"]
        way_out = 1.0 / g["ground"] + surface + self.lower_layers / STILL_BETWEEN_LAYERS_W_M2_K
        giving = litter * self.bed["evaporates"] / way_out
        net.vapour += evaporate("ground", g["ground"], vapour, giving)
        wet = self._wet_leaf(leaf_water)
        open_mol = 0.01 + 0.35 * min(max(air.sun_w_m2 / 400.0, 0.0), 1.0)
        stomata = 29.3 * open_mol * self.leaf_area
        through_stomata = (1.0 - wet) / (1.0 / g["leaf"] + 1.0 / stomata)
        of_film = wet * g["leaf"]
        from_leaf = evaporate("leaf", g["leaf"], vapour, of_film + through_stomata)
        net.vapour += from_leaf
        # What the stomata give does not come out of the film.
        film = from_leaf
        if from_leaf > 0.0:
            film *= of_film / (of_film + through_stomata)
        if not self.cloth:
            return film / VAPORISATION_J_KG, 0.0
        wet = self._wet_cover(cover_water)
        inner = evaporate("inner", g["inner"], vapour, wet * g["inner"])
        net.vapour += inner
        top = "outer" if self.two_nodes else "inner"
        to_air = g["skin"] * g["aloft"] / weight * (1.0 - self.patches)
        outer = evaporate(top, to_air, air.vapour_kpa, wet * to_air)
        return film / VAPORISATION_J_KG, (inner + outer) / VAPORISATION_J_KG

    # --- the system ------------------------------------------------------------------------

    def _stores(self, heat):
        """Heat capacities, J m-2 K-1 (vapour: J m-2 kPa-1)."""
        height = max(0.02, self.bed["height_m"])
        cover = 1.0
        if self.cloth:
            height = max(0.02, self.cover["mean_height_m"])
            cover = max(1.0, 1900.0 * self.fabric.mass_kg_m2 * self.area_ratio)
        elif self.loose:
            # Half of the straw, 15 kg/m3 of 1500 J/kg K, to each face.
            height, cover = 0.03, 0.5 * 15.0 * 1500.0 * self.cover["depth_m"]
        leaf = 4180.0 * 0.25 * self.bed["ground_cover"]
        return leaf, heat * height, heat * height / self.gamma, cover

    def temperatures(self, y):
        """Named temperatures and those of the cells; a single layer has one temperature."""
        t = {"ground": y[0], "leaf": y[1], "air": y[2], "inner": y[4]}
        t["outer"] = y[5] if self.two_nodes else y[4]
        cells = [soil.temperature_c(c, h) for c, h in zip(self.column, y[8:])]
        return t, cells

    def rates(self, seconds, y):
        """dy/dt."""
        air = weather_at(self.sky_weather, seconds / 3600.0)
        t, cells = self.temperatures(y)
        vapour, leaf_water, cover_water = y[3], max(y[6], 0.0), max(y[7], 0.0)
        net = Node()
        long_wave = self.net_long_wave(air, t, cover_water)
        for face in ("ground", "leaf", "inner", "outer"):
            taken = getattr(long_wave, face) + air.sun_w_m2 * getattr(self.sun_share, face)
            setattr(net, face, taken)
        g = self.conductances(air, t)
        self.carry_heat(net, g, air, t)
        from_leaf, from_cover = self.carry_vapour(net, g, air, t, vapour, leaf_water, cover_water)
        lower = self.lower_layers / LOWER_LAYER_W_M2_K
        into_soil = soil.flux_into_top(self.column, t["ground"], cells, self.bed["snow_m"], lower)
        net.ground -= into_soil
        if not self.two_nodes:
            net.inner, net.outer = net.inner + net.outer, 0.0
        leaf, of_air, of_vapour, of_cover = self._stores(g["heat"])
        brim_leaf = 4.0 * FULL_FILM_KG_M2 * self.bed["ground_cover"]
        brim_cover = 2.0 * FULL_FILM_KG_M2 * self.area_ratio
        return [
            net.ground / SURFACE_CAPACITY_J_M2_K, net.leaf / leaf, net.air / of_air,
            net.vapour / of_vapour,
            net.inner / of_cover if self.cover else 0.0,
            net.outer / of_cover if self.two_nodes else 0.0,
            _film_rate(leaf_water, from_leaf, brim_leaf),
            _film_rate(cover_water, from_cover, brim_cover),
            *soil.content_rates(self.column, into_soil, cells),
        ]

    def run(self, days, method="Radau", rtol=1e-6, atol=1e-6):
        """Everything at every whole hour from 0: a list of dicts."""
        start = weather_at(self.sky_weather, 0.0)
        earth = self.sky_weather["soil_start_c"]
        y = [earth, start.air_c, start.air_c, start.vapour_kpa, start.air_c, start.air_c, 0.0, 0.0]
        y += [earth] * soil.CELLS
        out = [self._hour(y)]
        for hour in range(24 * days):
            span = (3600.0 * hour, 3600.0 * (hour + 1))
            done = solve_ivp(self.rates, span, y, method=method, rtol=rtol, atol=atol)
            if not done.success:
                raise RuntimeError(done.message)
            y = [float(v) for v in done.y[:, -1]]
            out.append(self._hour(y))
        return out

    def _hour(self, y):
        t, cells = self.temperatures(y)
        return {**t, "vapour": y[3], "leaf_water": y[6], "cover_water": y[7], "soil": cells}


def _latent_ratio(celsius):
    """Latent heat over that of vaporisation: of frost on a frozen face."""
    frozen = min(max(-celsius / FROST_RAMP_K, 0.0), 1.0)
    return 1.0 + frozen * (SUBLIMATION_J_KG / VAPORISATION_J_KG - 1.0)


def _film_rate(water, leaving, brim):
    """Growth of a film that drips off at its brim and cannot be less than nothing."""
    if leaving < 0.0:
        return -leaving * min(max((brim - water) / BRIM_KG_M2, 0.0), 1.0)
    return -leaving
