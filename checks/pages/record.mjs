// An invented station: thirty years of daily lowest and highest, a sine over the year with weather on top.
// Invented like all of demo/: real records stay out of the repository.

/** The record as station.csv, °C. */
export function record() {
  const lines = ['date,tmin_c,tmax_c'];
  let weather = 0;
  let seed = 1;
  for (let day = Date.UTC(1996, 0, 1); day < Date.UTC(2026, 0, 1); day += 86_400_000) {
    seed = (seed * 48_271) % 2_147_483_647;
    weather = 0.7 * weather + 6 * (seed / 2_147_483_647 - 0.5) * 2;
    const date = new Date(day);
    const ofYear = (day - Date.UTC(date.getUTCFullYear(), 0, 1)) / 86_400_000;
    const mean = 7.5 - 16 * Math.cos((2 * Math.PI * (ofYear - 20)) / 365.25) + weather;
    lines.push(`${date.toISOString().slice(0, 10)},${(mean - 5.5).toFixed(1)},${(mean + 5.5).toFixed(1)}`);
  }
  return `${lines.join('\n')}\n`;
}
