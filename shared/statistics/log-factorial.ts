/** Logarithms of factorials and binomial coefficients, by which the exact tests stay within the range of numbers. */

/** Below this, the product itself is exact; above, the series is good to the last digit. */
const SERIES_FROM = 20;

/** ln n!, n a whole number of 0 or more; Stirling's series (Abramowitz and Stegun 6.1.41) for large ones. */
export function lnFactorial(n: number): number {
  if (n < SERIES_FROM) {
    let product = 1;
    for (let i = 2; i <= n; i++) product *= i;
    return Math.log(product);
  }
  const series = 1 / (12 * n) - 1 / (360 * n ** 3) + 1 / (1260 * n ** 5) - 1 / (1680 * n ** 7);
  return n * Math.log(n) - n + Math.log(2 * Math.PI * n) / 2 + series;
}

/** ln of the number of ways to choose `k` out of `n`. */
export function lnChoose(n: number, k: number): number {
  return lnFactorial(n) - lnFactorial(k) - lnFactorial(n - k);
}
