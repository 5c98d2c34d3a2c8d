/* Degrees and distances: kept in °C and km, shown and stepped in the business's own units. Pure. */

const MILE_KM = 1.609344;
const COLDEST_C = -30;
const WARMEST_C = 45;
const FARTHEST_KM = 2000;

/** 6.5 °C as "6.5 °C" or "44 °F"; whole degrees lose their ".0". */
export function sayTemperature(celsius, unit) {
  return `${shownTemperature(celsius, unit)} °${unit}`.replace("-", "−");
}

/** One step of `by` degrees as shown, from whole degrees on; stays within weather. */
export function stepTemperature(celsius, unit, by) {
  const shown = Math.round(shownTemperature(celsius, unit)) + by;
  const stepped = unit === "F" ? ((shown - 32) * 5) / 9 : shown;
  return Math.min(Math.max(tenths(stepped), COLDEST_C), WARMEST_C);
}

export function sayDistance(km, unit) {
  return unit === "mi" ? `${Math.round(km / MILE_KM)} mi` : `${km} km`;
}

export function stepDistance(km, unit, by) {
  const step = unit === "mi" ? by * MILE_KM : by;
  return Math.min(Math.max(Math.round(km + step), 0), FARTHEST_KM);
}

function shownTemperature(celsius, unit) {
  return unit === "F" ? Math.round((celsius * 9) / 5 + 32) : tenths(celsius);
}

function tenths(number) {
  return Math.round(number * 10) / 10;
}
