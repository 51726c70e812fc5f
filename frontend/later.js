// Joins what comes in the second script (see later-pages.js): pages, and all about photos.
import { givePages } from "./later-pages.js";
import { joinBeside } from "./live.js";
import { Book } from "./pages/book.js";
import { Changes } from "./pages/changes.js";
import { Device } from "./pages/device.js";
import { Jobs } from "./pages/jobs.js";
import { JobsStarter } from "./pages/jobs-starter.js";
import { Kit } from "./pages/kit.js";
import { Past } from "./pages/past.js";
import { PastDay } from "./pages/past-day.js";
import { ReachFeed } from "./pages/reach-feed.js";
import { ReachPush } from "./pages/reach-push.js";
import { Scores } from "./pages/scores.js";
import { Warmth } from "./pages/warmth.js";
import { Water } from "./pages/water.js";
import { Year } from "./pages/year.js";
import { PhotoPicker } from "./parts/photo-picker.js";
import { PhotoRow } from "./parts/photo-row.js";
import { PhotosHere } from "./parts/photos-here.js";
import { photos } from "./photos.js";

givePages({ "photo-picker": PhotoPicker, "photo-row": PhotoRow, "photos-here": PhotosHere });
joinBeside(photos);
givePages({ book: Book, device: Device, past: Past, "past-day": PastDay, water: Water, warmth: Warmth, year: Year });
givePages({ changes: Changes, jobs: Jobs, "jobs-starter": JobsStarter, kit: Kit, scores: Scores });
givePages({ "reach-push": ReachPush, "reach-feed": ReachFeed });
