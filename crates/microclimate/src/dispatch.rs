//! The one place that asks what the processor can do: the same step compiled for vectors of two, four and eight.
//!
//! No variant fuses or reorders operations, so all give the same bits.

use crate::budget::Fluxes;
use crate::error::Error;
use crate::forcing::Forcing;
use crate::lanes::Lanes;
use crate::real::Real;
use crate::site::Site;
use crate::state::State;
use crate::step::advance;

/// A number, or members abreast, that the step is compiled for: here, once, so that no other crate compiles it again.
pub trait Stepped: Real {
    /// [`step()`] for this type.
    ///
    /// # Errors
    /// As [`step()`].
    fn step(
        site: &Site<'_, Self>,
        force: &Forcing<Self>,
        state: &mut State<Self>,
    ) -> Result<Fluxes<Self>, Error>;
}

impl Stepped for f64 {
    fn step(
        site: &Site<'_, f64>,
        force: &Forcing<f64>,
        state: &mut State<f64>,
    ) -> Result<Fluxes<f64>, Error> {
        advance(site, force, state)
    }
}

impl Stepped for Lanes {
    fn step(
        site: &Site<'_, Lanes>,
        force: &Forcing<Lanes>,
        state: &mut State<Lanes>,
    ) -> Result<Fluxes<Lanes>, Error> {
        #[cfg(target_arch = "x86_64")]
        {
            if std::is_x86_feature_detected!("avx512f") {
                // SAFETY: the processor has just been found to have these instructions.
                #[expect(unsafe_code, reason = "the one dispatch on what the processor can do")]
                return unsafe { eight_wide(site, force, state) };
            }
            if std::is_x86_feature_detected!("avx2") {
                // SAFETY: as above.
                #[expect(unsafe_code, reason = "the one dispatch on what the processor can do")]
                return unsafe { four_wide(site, force, state) };
            }
        }
        advance(site, force, state)
    }
}

/// Moves a bed on by the column's time step under `force`, the weather at its end.
///
/// Backward Euler on ground surface, leaf, air, vapour and cover with the soil column eliminated;
/// conductances and water supply are taken at the start and once more at the first estimate.
///
/// # Errors
/// [`Error::Budget`] when a residual stays above [`crate::parameters::BUDGET_LIMIT_W_M2`]; [`Error::OutOfRange`].
/// Checked by `laws::the_budget_closes_for_every_cover`.
pub fn step<R: Stepped>(
    site: &Site<'_, R>,
    force: &Forcing<R>,
    state: &mut State<R>,
) -> Result<Fluxes<R>, Error> {
    R::step(site, force, state)
}

#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx512f")]
fn eight_wide(
    site: &Site<'_, Lanes>,
    force: &Forcing<Lanes>,
    state: &mut State<Lanes>,
) -> Result<Fluxes<Lanes>, Error> {
    advance(site, force, state)
}

#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx2")]
fn four_wide(
    site: &Site<'_, Lanes>,
    force: &Forcing<Lanes>,
    state: &mut State<Lanes>,
) -> Result<Fluxes<Lanes>, Error> {
    advance(site, force, state)
}
