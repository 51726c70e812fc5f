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
 * @typedef {object} PondFish    the Fish page of a pond; all of it is in the server's domain/fish/outlook.py
 * @property {string} pond
 * @property {string} tag
 * @property {{id: string, name: string, [field: string]: any}[]} fish
 */

// The spacing keeps it off the list of modules the page fetches early: nothing here runs.
export{};
