//! The one loop over station years: up to sixteen of them run abreast, then each looked at on its own.

use rayon::prelude::*;

use crate::years::at_risk::at_risk;
use crate::years::batch_weather::BatchWeather;
use crate::years::drawn_forecast::evenings;
use crate::years::error::Error;
use crate::years::night::Night;
use crate::years::night_table::{NightTable, RunStats, run};
use crate::years::simulation::Simulation;

/// Up to sixteen years of a simulation, run.
#[derive(Clone, Debug)]
pub struct Batch {
    /// The weather of the years.
    pub weather: BatchWeather,
    /// The nights of every kind of bed.
    pub tables: Vec<NightTable>,
}

impl Batch {
    /// Runs every kind of bed through these years; `told` is called after each.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn run(
        simulation: &Simulation<'_>,
        years: &[i16],
        told: &(dyn Fn() + Sync),
    ) -> Result<Self, Error> {
        let weather = simulation.weather(years);
        let tables = simulation
            .kinds
            .par_iter()
            .map(|kind| {
                let grows = |index: usize| kind.beds.iter().any(|b| simulation.grows_on(*b, index));
                let grows: Vec<bool> = weather.days.iter().map(|d| grows(d.index)).collect();
                run(&simulation.garden, kind, &weather, &grows).inspect(|_| told())
            })
            .collect::<Result<_, Error>>()?;
        Ok(Self { weather, tables })
    }

    /// The nights of the year in a lane, as `simulation` covers its beds, with the evenings of one draw.
    #[must_use]
    pub fn nights<'b>(
        &'b self,
        simulation: &'b Simulation<'b>,
        lane: usize,
        draw: u32,
    ) -> Vec<Night<'b>> {
        let evenings = evenings(&self.weather, lane, simulation.evenings(draw));
        let stands = at_risk(simulation, &self.weather, lane);
        let mut next = vec![0; self.tables.len()];
        evenings
            .into_iter()
            .zip(stands)
            .enumerate()
            .map(|(d, (evening, stands))| {
                let rows = self
                    .tables
                    .iter()
                    .zip(&mut next)
                    .map(|(t, n)| {
                        let here = t.days.get(*n) == Some(&d);
                        *n += usize::from(here);
                        here.then(|| *n - 1)
                    })
                    .collect();
                Night::new(
                    simulation,
                    &self.weather,
                    &self.tables,
                    (d, lane),
                    (rows, stands),
                    evening,
                )
            })
            .collect()
    }

    /// What `each` makes of the nights of every year by the first draw, in the order of the years.
    ///
    /// # Errors
    /// The first that `each` gives.
    pub fn each_year<T: Send>(
        &self,
        simulation: &Simulation<'_>,
        each: impl Fn(i16, &[Night<'_>]) -> Result<T, Error> + Sync,
    ) -> Result<Vec<T>, Error> {
        (0..self.weather.years.len())
            .into_par_iter()
            .map(|lane| each(self.weather.years[lane], &self.nights(simulation, lane, 0)))
            .collect()
    }

    /// Steps run and greatest budget residual of all kinds of bed.
    #[must_use]
    pub fn stats(&self) -> RunStats {
        let mut stats = RunStats::default();
        self.tables.iter().for_each(|t| stats.add(&t.stats));
        stats
    }
}
