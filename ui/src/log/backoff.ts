// How long to wait before the next try: longer after each failure, and never the same for
// two phones, so that they do not all come back at once. Pure; tested.

/**
 * Milliseconds to wait after so many failures in a row: doubling from `first` up to `most`,
 * of which up to a half is left to chance (`random` gives 0 to 1).
 */
export function backoff(failures: number, first = 1000, most = 60_000, random: () => number = Math.random): number {
  const whole = Math.min(most, first * 2 ** Math.min(30, Math.max(0, failures - 1)));
  return Math.round(whole * (1 - random() / 2));
}
