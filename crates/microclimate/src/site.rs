//! One bed with what lies over it, as a step sees it.

use crate::bed::Bed;
use crate::canopy;
use crate::cover::Cover;
use crate::draws::Draws;
use crate::parameters as p;
use crate::real::Real;
use crate::soil::Column;
use crate::surface_layer::Profile;

/// Everything about a bed that a step reads and does not change.
#[derive(Clone, Copy, Debug)]
pub struct Site<'a, R> {
    /// The bed.
    pub bed: &'a Bed,
    /// What lies over it.
    pub cover: Option<&'a Cover>,
    /// The soil column, worked out for the time step (by default [`crate::parameters::STEP_S`]).
    pub column: &'a Column<R>,
    /// The uncertain parameters.
    pub draws: &'a Draws<R>,
    /// Snow on the cover; `None` where none lies for any member.
    pub snow: Option<SnowOnCover<R>>,
    /// What follows from bed and cover alone.
    pub(crate) fixed: Fixed,
}

/// Snow that lies on a cover, per member.
#[derive(Clone, Copy, Debug)]
pub struct SnowOnCover<R> {
    /// Resistance d/k, m² K/W.
    pub resistance: R,
    /// Share of the cover that it whitens and closes.
    pub share: R,
}

/// What follows from bed and cover alone, worked out once.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fixed {
    /// The wind profile over plants or cover.
    pub profile: Profile,
    /// [`canopy::wind_shares`].
    pub wind_shares: (f64, f64),
    /// [`canopy::lower_layers`].
    pub lower_layers: f64,
}

impl<'a, R: Real> Site<'a, R> {
    /// A bed under a cover or open, no snow on the cover.
    #[must_use]
    pub fn new(
        bed: &'a Bed,
        cover: Option<&'a Cover>,
        column: &'a Column<R>,
        draws: &'a Draws<R>,
    ) -> Self {
        let crown_m = match cover {
            None => None,
            Some(Cover::Cloth { shape, .. }) => Some(shape.crown_m.max(bed.canopy.height_m)),
            Some(Cover::Loose { .. }) => Some(bed.canopy.height_m),
        };
        let fixed = Fixed {
            profile: match crown_m {
                None => Profile::over_plants(&bed.canopy, bed.wind_height_m),
                Some(crown_m) => Profile::over_cover(crown_m, bed.wind_height_m),
            },
            wind_shares: canopy::wind_shares(&bed.canopy),
            lower_layers: canopy::lower_layers(&bed.canopy),
        };
        Self { bed, cover, column, draws, snow: None, fixed }
    }

    /// The same with settled snow `depth_m` deep on the cover, m; no change to a bed that lies open.
    ///
    /// Snow is a resistance d/k on the outer face, k = 0.2 W m⁻¹ K⁻¹, its own face above it white, black in the long-wave and
    /// dry; from [`p::FULL_SNOW_M`] up it hides the cover and closes cloth and skirt to air but for
    /// [`p::SNOW_LEAK_SHARE`]. Its own heat and its melting are not counted. Checked by
    /// `laws::snow_on_a_cover_keeps_the_bed_warmer` and `checks/second`.
    /// Equation 104 of docs/science.md.
    #[must_use]
    pub fn with_snow_on_cover(self, depth_m: R) -> Self {
        let depth_m = depth_m.max(R::splat(0.0));
        let some = self.cover.is_some() && depth_m.max_lane() > 0.0;
        let snow = SnowOnCover {
            resistance: depth_m / p::SNOW_W_M_K,
            share: (depth_m / p::FULL_SNOW_M).min(R::splat(1.0)),
        };
        Self { snow: some.then_some(snow), ..self }
    }

    /// Number of temperature nodes over the bed: the faces of the cover, the upper one that of snow where some lies.
    #[must_use]
    #[inline(always)]
    pub fn cover_nodes(&self) -> usize {
        match (self.cover, self.snow) {
            (Some(cover), None) => cover.nodes(),
            (Some(_), Some(_)) => 2,
            (None, _) => 0,
        }
    }
}
