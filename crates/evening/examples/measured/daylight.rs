//! What the sun tells of the cloud: the share of clear-sky sunlight by day, carried through the night.

use microclimate::sky::clear_sky_shortwave_w_m2;
use quantities::{Moment, Place, sun};

/// A run of evenly spaced means at a place.
pub struct Span {
    /// Where.
    pub place: Place,
    /// Start of the first slot.
    pub start: Moment,
    /// Length of a slot, s.
    pub slot_s: i64,
}

impl Span {
    /// Sunlight of a clear sky at the middle of slot `i`, W/m².
    pub fn clear_sky_shortwave_w_m2(&self, i: usize) -> f64 {
        let middle = self.start.plus_seconds(self.slot_s * i as i64 + self.slot_s / 2);
        sun::position(&self.place, middle).map_or(0.0, |p| clear_sky_shortwave_w_m2(p.zenith_deg))
    }
}

/// Cloud of one slot as the sun of the day, or of the afternoon before and the morning after, tells it.
#[derive(Clone, Copy, Debug)]
pub struct Cloud {
    /// 1 − share of clear-sky sunlight (Crawford & Duchon 1999); at night on the line from evening to morning.
    pub cover: f64,
    /// Whether it is night and both the evening and the morning had nine tenths of clear-sky sunlight.
    pub clear_night: bool,
}

/// Sun lower than this says nothing of cloud, W/m² under a clear sky.
const HIGH_ENOUGH_W_M2: f64 = 150.0;
/// Stretch of the evening and of the morning that speaks for the night, s.
const EDGE_S: i64 = 3 * 3600;

/// Cloud of every slot from its mean sunlight; `None` before the first and after the last day of the record.
pub fn clouds(span: &Span, sunlight: &[Option<f64>]) -> Vec<Option<Cloud>> {
    let clear: Vec<f64> = (0..sunlight.len()).map(|i| span.clear_sky_shortwave_w_m2(i)).collect();
    let share = |i: usize| {
        let here = sunlight.get(i).copied().flatten()?;
        (clear[i] > HIGH_ENOUGH_W_M2).then(|| (here / clear[i]).clamp(0.0, 1.0))
    };
    let edge = (EDGE_S / span.slot_s) as usize;
    let mean = |slots: std::ops::Range<usize>| {
        let known: Vec<f64> = slots.filter_map(share).collect();
        (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
    };
    let mut out = Vec::with_capacity(sunlight.len());
    for (i, light) in clear.iter().enumerate() {
        if let Some(k) = share(i) {
            out.push(Some(Cloud { cover: 1.0 - k, clear_night: false }));
            continue;
        }
        let last = (0..i).rev().take(86_400 / span.slot_s as usize).find(|j| share(*j).is_some());
        let next = (i..sunlight.len().min(i + 86_400 / span.slot_s as usize))
            .find(|j| share(*j).is_some());
        out.push(last.zip(next).and_then(|(last, next)| {
            let evening = mean(last.saturating_sub(edge - 1)..last + 1)?;
            let morning = mean(next..(next + edge).min(sunlight.len()))?;
            let way = (i - last) as f64 / (next - last) as f64;
            Some(Cloud {
                cover: 1.0 - (evening + (morning - evening) * way),
                clear_night: *light <= 0.0 && evening >= 0.9 && morning >= 0.9,
            })
        }));
    }
    out
}
