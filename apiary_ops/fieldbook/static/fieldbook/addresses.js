/* The addresses of the screens. They are fragments, so the one kept page answers them all. */

const part = encodeURIComponent;

export const home = () => "#/";
export const choose = () => "#/choose";
export const waiting = () => "#/waiting";
export const forget = () => "#/forget";
export const start = (yard) => `#/start/${part(yard)}`;
export const rows = (visit) => `#/visit/${visit}`;
export const look = (visit, tag) => `#/visit/${visit}/look/${part(tag)}`;
export const lost = (visit, tag) => `#/visit/${visit}/lost/${part(tag)}`;
export const stop = (visit) => `#/visit/${visit}/stop`;
export const tally = (visit) => `#/visit/${visit}/tally`;
export const frames = (visit) => `#/visit/${visit}/frames`;
export const leave = (visit) => `#/visit/${visit}/leave`;

/** The name of the screen and its parts; what is unknown leads home. */
export function read(fragment) {
  const [name, ...rest] = fragment.replace(/^#?\/?/, "").split("/").map(decode);
  if (name === "visit" && rest[0]) {
    return { screen: rest[1] ?? "rows", visit: rest[0], tag: rest[2] ?? "" };
  }
  return name === "start" ? { screen: "start", yard: rest[0] ?? "" } : { screen: name || "home" };
}

function decode(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
