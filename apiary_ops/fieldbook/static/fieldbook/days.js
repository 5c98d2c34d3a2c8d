/* Days and hours: as the wire wants them and as people read them. */

const DAY = 86_400_000;
const two = (number) => String(number).padStart(2, "0");

export function isoDay(date) {
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

export function clockTime(date) {
  return `${two(date.getHours())}:${two(date.getMinutes())}`;
}

/** An instant with the offset of the phone, so that the hour in the yard can be read from it later. */
export function isoInstant(date) {
  const minutes = -date.getTimezoneOffset();
  const offset = `${minutes < 0 ? "-" : "+"}${two(Math.floor(Math.abs(minutes) / 60))}:${two(Math.abs(minutes) % 60)}`;
  return `${isoDay(date)}T${clockTime(date)}:${two(date.getSeconds())}${offset}`;
}

/**
 * How many days the phone's calendar is off, judged by the server's day. One day either way is midnight or another
 * time zone, not a wrong clock.
 */
export function daysOff(serverDay, date) {
  const days = Math.round((Date.parse(serverDay) - Date.parse(isoDay(date))) / DAY);
  return Math.abs(days) > 1 ? days : 0;
}

export function dayAfter(date, days) {
  return isoDay(new Date(date.getFullYear(), date.getMonth(), date.getDate() + days));
}

/** "Fri 12 Mar", in the language of the page. */
export function sayDay(day) {
  const [year, month, date] = day.split("-").map(Number);
  const words = { weekday: "short", day: "numeric", month: "short" };
  return new Intl.DateTimeFormat(pageLanguage(), words).format(new Date(year, month - 1, date)).replace(",", "");
}

/** Day and hour of an instant, or only the hour when it was today. */
export function sayInstant(instant, now) {
  const date = new Date(instant);
  const hour = clockTime(date);
  return isoDay(date) === isoDay(now) ? hour : `${sayDay(isoDay(date))} ${hour}`;
}

function pageLanguage() {
  const language = document.documentElement.lang;
  return language === "en" ? "en-GB" : language; // the day before the month, as everywhere else in the desk
}
