// Joins the pages that come in the second script (see later-pages.js).
import { givePages } from "./later-pages.js";
import { Water } from "./pages/water.js";

givePages({ water: Water });
