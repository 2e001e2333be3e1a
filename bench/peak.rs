//! Single-precision multiplications and additions a second on one core, not fused, as the physics does them: prints one number.
//! Built by bench/run for the machine it runs on.

use std::hint::black_box;
use std::time::Instant;

/// Independent chains: enough to keep every unit busy, few enough to stay in registers.
const CHAINS: usize = 64;
const TIMES: u32 = 2_000_000;

fn main() {
    let mut best = 0.0_f64;
    for _ in 0..7 {
        let (a, b) = (black_box(0.999_f32), black_box(0.001_f32));
        let mut x = black_box([1.0_f32; CHAINS]);
        let begun = Instant::now();
        for _ in 0..TIMES {
            for y in &mut x {
                *y = *y * a + b;
            }
        }
        black_box(x);
        let operations = 2.0 * f64::from(TIMES) * CHAINS as f64;
        best = best.max(operations / begun.elapsed().as_secs_f64());
    }
    println!("{best:.0}");
}
