/* Every screen by the name in its address. A screen reads the store and answers with a drawing; it keeps nothing. */

import { choose } from "./choose.js";
import { forget } from "./forget.js";
import { frames } from "./frames.js";
import { home } from "./home.js";
import { leave } from "./leave.js";
import { look } from "./look.js";
import { lost } from "./lost.js";
import { rows } from "./rows.js";
import { start } from "./start.js";
import { stop } from "./stop.js";
import { tally } from "./tally.js";
import { waiting } from "./waiting.js";

export const screens = { home, choose, start, rows, look, lost, stop, tally, frames, leave, waiting, forget };
