//! Radiation between ground, leaves and cover by the net-radiation (radiosity) method.
//!
//! Grey faces whose transmissivity, absorptivity and reflectivity sum to 1. The same exchange
//! serves long-wave (faces emit s = σT⁴) and sunlight (faces emit nothing).

use crate::real::Real;

/// One layer's shares, per member.
#[derive(Clone, Copy, Debug)]
pub struct LayerOptics<R> {
    /// Transmissivity τ.
    pub transmissivity: R,
    /// Absorptivity = emissivity ε.
    pub absorptivity: R,
}

impl<R: Real> LayerOptics<R> {
    #[inline(always)]
    fn reflectivity(&self) -> R {
        R::splat(1.0) - self.transmissivity - self.absorptivity
    }
}

/// What stands between ground and sky.
#[derive(Clone, Copy, Debug)]
pub enum CoverLayers<R> {
    /// Nothing.
    Open,
    /// One layer.
    One(LayerOptics<R>),
    /// Two layers with a narrow gap, inner first.
    Two(LayerOptics<R>, LayerOptics<R>),
    /// Opaque faces below and above with no radiation between them, inner first.
    Opaque(R, R),
}

/// The faces that exchange radiation.
#[derive(Clone, Copy, Debug)]
pub struct Enclosure<R> {
    /// Ground absorptivity.
    pub ground: R,
    /// Share f of the ground hidden by leaves.
    pub leaf_cover: R,
    /// Leaf absorptivity; leaves pass nothing through and reflect the rest.
    pub leaf: R,
    /// What lies over them.
    pub roof: CoverLayers<R>,
    /// Cover area over ground area, r ≥ 1.
    pub area_ratio: f64,
}

impl<R: Real> Enclosure<R> {
    /// The same under snow that nothing passes: below it what the inner layer passes is taken up, above it the snow takes
    /// `upper`.
    #[inline(always)]
    fn under_snow(&self, upper: f64) -> Self {
        let roof = match self.roof {
            CoverLayers::Open => CoverLayers::Open,
            CoverLayers::One(l) | CoverLayers::Two(l, _) => {
                CoverLayers::Opaque(l.transmissivity + l.absorptivity, R::splat(upper))
            }
            CoverLayers::Opaque(lower, _) => CoverLayers::Opaque(lower, R::splat(upper)),
        };
        Self { roof, ..*self }
    }
}

/// Emission of each face and what arrives from outside, W/m² of the face.
#[derive(Clone, Copy, Debug)]
pub struct Sources<R> {
    /// σT⁴ of ground, leaf, inner and outer cover.
    pub face: [R; 4],
    /// From the sky, on a level surface.
    pub sky: R,
    /// From the surroundings surroundings the bed.
    pub surroundings: R,
}

/// Net radiation taken up by ground, leaf, inner and outer cover, W per m² of ground.
pub type NetRadiation<R> = [R; 4];

/// Net radiation of every face for the given sources.
///
/// With r = cover area / ground area: view ground→cover 1, cover→ground 1/r, cover→itself
/// 1 − 1/r, cover outside→sky (1 + 1/r)/2. The inside flux J leaving the cover obeys
/// J = c + ρ_in H, H = U/r + J (1 − 1/r) + τ (1 − 1/r)(S + B)/2, U the flux leaving leaves and
/// ground upward, S sky, B surroundings. Sky radiation passed to the ground arrives as τ S.
/// Linear in the sources. Checked by `laws::radiation_alone_conserves_energy` and
/// `laws::a_perfectly_clear_cover_changes_nothing`.
/// Equation 10 of docs/science.md.
#[inline(always)]
pub fn net_radiation<R: Real>(enclosure: &Enclosure<R>, from: &Sources<R>) -> NetRadiation<R> {
    let one = R::splat(1.0);
    let (f, a_l, a_g) = (enclosure.leaf_cover, enclosure.leaf, enclosure.ground);
    let [s_g, s_l, s_1, s_2] = from.face;
    let (rho_l, rho_g) = (one - a_l, one - a_g);
    // Ground and leaves seen from above: U = u0 + r_up · D.
    // Below the leaves: Dg = (1−f) D + f (ε_l s_l + ρ_l Ug), Ug = ε_g s_g + ρ_g Dg.
    let q = one / (one - f * rho_l * rho_g);
    let dg0 = f * (a_l * s_l + rho_l * a_g * s_g) * q;
    let dg1 = (one - f) * q;
    let ug0 = a_g * s_g + rho_g * dg0;
    let ug1 = rho_g * dg1;
    let u0 = f * a_l * s_l + (one - f) * ug0;
    let u1 = f * rho_l + (one - f) * ug1;

    let r = enclosure.area_ratio;
    let self_view = 1.0 - 1.0 / r;
    let outside = from.sky * (0.5 * (1.0 + 1.0 / r)) + from.surroundings * (0.5 * self_view);
    let stray = (from.sky + from.surroundings) * (0.5 * self_view);
    let (down, inner, outer) = match enclosure.roof {
        CoverLayers::Open => (from.sky, R::splat(0.0), R::splat(0.0)),
        CoverLayers::One(l) => {
            let (tau, a, rho) = (l.transmissivity, l.absorptivity, l.reflectivity());
            let (j, h) = inside(a * s_1, rho, tau, from.sky, stray, u0, u1, r);
            (j + tau * from.sky, a * (h + outside - s_1 - s_1) * r, R::splat(0.0))
        }
        CoverLayers::Two(i, o) => {
            let (rho_1, rho_2) = (i.reflectivity(), o.reflectivity());
            let p = one / (one - rho_1 * rho_2);
            let (e_1, e_2) = (i.absorptivity * s_1, o.absorptivity * s_2);
            let tau = i.transmissivity * o.transmissivity * p;
            let rho_in = rho_1 + i.transmissivity * i.transmissivity * rho_2 * p;
            let c = e_1 + i.transmissivity * p * (e_2 + rho_2 * e_1);
            let (j, h) = inside(c, rho_in, tau, from.sky, stray, u0, u1, r);
            let from_above = e_2 + o.transmissivity * outside;
            let a_up = (e_1 + i.transmissivity * h + rho_1 * from_above) * p;
            let b_down = from_above + rho_2 * a_up;
            (
                j + tau * from.sky,
                (i.absorptivity * (h + b_down) - e_1 - e_1) * r,
                (o.absorptivity * (a_up + outside) - e_2 - e_2) * r,
            )
        }
        CoverLayers::Opaque(a_1, a_2) => {
            let (j, h) = inside(a_1 * s_1, one - a_1, R::splat(0.0), from.sky, stray, u0, u1, r);
            (j, a_1 * (h - s_1) * r, a_2 * (outside - s_2) * r)
        }
    };
    let dg = dg0 + dg1 * down;
    let ug = ug0 + ug1 * down;
    [a_g * (dg - s_g), f * a_l * (down + ug - s_l - s_l), inner, outer]
}

/// [`net_radiation`] of a cover of which the share `white` lies under snow that takes `upper` of what falls on it.
/// Equation 104 of docs/science.md.
#[inline(always)]
pub fn net_radiation_under_snow<R: Real>(
    enclosure: &Enclosure<R>,
    (white, upper): (R, f64),
    from: &Sources<R>,
) -> NetRadiation<R> {
    let bare = net_radiation(enclosure, from);
    let snowed = net_radiation(&enclosure.under_snow(upper), from);
    let mut net = bare;
    for (n, s) in net.iter_mut().zip(&snowed) {
        *n += white * (*s - *n);
    }
    net
}

/// Flux J leaving the inner face and flux H arriving on it, per m² of cover.
#[expect(clippy::too_many_arguments, reason = "one closed formula; the caller names each symbol")]
#[inline(always)]
fn inside<R: Real>(c: R, rho: R, tau: R, sky: R, stray: R, u0: R, u1: R, r: f64) -> (R, R) {
    let self_view = 1.0 - 1.0 / r;
    let known = (u0 + u1 * tau * sky) / r + tau * stray;
    let gain = u1 / r + self_view;
    let j = (c + rho * known) / (R::splat(1.0) - rho * gain);
    (j, known + gain * j)
}
