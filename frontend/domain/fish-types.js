// The shapes that travel about fish, for editors and the type checker; no code runs here.

/**
 * @typedef {object} FishEntry   what entries about fish hold; beside what every entry has
 * @property {any} [fish]                fish_measure: its id; fish_move, fish_seen: ids
 * @property {string|null} [how]         fish_move: moved, new, sold, given, died
 * @property {number|null} [length_cm]   fish_measure
 * @property {"standard"|"total"|null} [length_is]
 * @property {number|null} [weight_g]
 * @property {string[]} [checked]
 * @property {{where: string, text: string}[]} [found]
 * @property {number|null} [water_c]
 * @property {number|null} [bowl_s]
 * @property {string|null} [session]
 * @property {string[]} [signs]          fish_seen
 * @property {"all"|"some_left"|"most_left"|null} [appetite]   tick of a feed job
 *
 * @typedef {import("./types.js").Workings} Workings
 * @typedef {{low: number, middle: number, high: number}} Band   nine times in ten
 * @typedef {{entry: string, on: string, session: string|null, length_cm: number|null,
 *   length_is: "standard"|"total"|null, length_total_cm: number|null, weight_g: Band|null, weighed: boolean,
 *   condition: number|null, doubts: string[], counts: boolean}} MeasureLine
 * @typedef {{since: string, on: string, grown_cm: Band, per_month_cm: Band, gain_percent_per_day: Band,
 *   degree_days: number|null, per_1000_degree_days_cm: number|null}} GrowthLine
 * @typedef {{sum: string, on: string}} PhotoLine
 * @typedef {{stock_g: number, counted_on: string, name?: string|null, price_per_kg?: number|null}} FoodStock
 * @typedef {import("./types.js").Pond & {food?: FoodStock|null}} FishPond   absent from an older home
 * @typedef {{entry: string, at: string, on: string, fish: string[], signs: string[], text: string|null}} SeenLine
 *
 * @typedef {object} FishState   a fish of the register, or a group of `count`
 * @property {string} id
 * @property {string} set_at        the pond its settings are written at
 * @property {string} name
 * @property {string|null} variety
 * @property {number|null} born_year
 * @property {"female"|"male"|null} sex
 * @property {string|null} origin
 * @property {string|null} marks
 * @property {string|null} picture
 * @property {number} count
 * @property {string|null} came_on
 * @property {number} here          how many are in this pond; 0: gone since gone_on
 * @property {"sold"|"given"|"died"|"left"|null} gone
 * @property {string|null} gone_on
 * @property {boolean} quarantine
 * @property {MeasureLine[]} measures   newest first
 * @property {Band|null} weight_g   of one of them, today
 * @property {number|null} length_total_cm
 * @property {number|null} condition
 * @property {string|null} condition_says
 * @property {GrowthLine[]} growth      newest first
 * @property {{says: string, points: [string, number, number, number][]}|null} curve   date, low, middle, high
 * @property {{on: string, total_cm: Band, says: string}|null} [against_past]   absent from an older home
 * @property {PhotoLine[]} [photos]     newest first; absent from an older home
 * @property {string} says
 * @property {string|null} stands_out
 * @property {SeenLine[]} seen
 * @property {[number, number]|null} expect_length_cm   outside it the device asks
 * @property {"standard"|"total"|null} expect_length_is
 * @property {[number, number]|null} expect_weight_g
 * @property {Workings|null} workings
 * @property {boolean} [unsent]     home has not said anything about it yet
 *
 * @typedef {object} PondFish    the Fish page of a pond; all of it is in the server's domain/fish/outlook.py
 * @property {string} pond
 * @property {string} tag
 * @property {FishState[]} fish
 * @property {{count: number|null, mass_g: Band|null, says: string, workings: Workings|null}|null} stock
 * @property {{state: string, day_g: number|null, fed_g: number, left_g: number|null, meals: number, kind: string,
 *   reason: string, appetite_says: string|null, workings: Workings|null}|null} feed
 * @property {{left_g: number, days_left: number|null, cost_per_month: number|null, currency: string, low: boolean,
 *   says: string, workings: Workings|null}|null} food
 * @property {SeenLine[]} seen
 * @property {{title: string, says: string, steps: string[], entries: string[]}[]} patterns
 * @property {import("./label-dose.js").KnownVolume|null} [volume]   absent from an older home
 * @property {{id: string, name: string}[]} [closed]   set up by mistake; absent from an older home
 * @property {string[]} says
 */

// The spacing keeps it off the list of modules the page fetches early: nothing here runs.
export{};
