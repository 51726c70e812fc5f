// Joins the pages that come in the second script (see later-pages.js).
import { givePages } from "./later-pages.js";
import { Past } from "./pages/past.js";
import { Warmth } from "./pages/warmth.js";
import { Water } from "./pages/water.js";

givePages({ past: Past, water: Water, warmth: Warmth });
