// The shapes that travel between server and device, for editors and the type checker; no code runs here.

/**
 * @typedef {EntryOfAny & import("./fish-types.js").FishEntry} Entry
 *
 * @typedef {object} EntryOfAny   one fact; kinds and their fields are in the server's domain/entries.py
 * @property {string} id
 * @property {number} v
 * @property {string} pond
 * @property {string} kind
 * @property {string} happened_at   RFC 3339 with the offset the person meant
 * @property {string} local_date    civil date in zone
 * @property {string} zone
 * @property {string} recorded_at   device clock, UTC
 * @property {string} device
 * @property {string} author
 * @property {string} [quantity]
 * @property {any} [value]
 * @property {string} [point]
 * @property {number} [step]
 * @property {string} [standing_job]
 * @property {string} [due_on]
 * @property {string} [slot]
 * @property {number} [amount_g]
 * @property {string} [substance]
 * @property {number} [setting_c]
 * @property {number} [volume_l]
 * @property {number} [feed_g]
 * @property {number} [salt_g]
 * @property {string} [service]
 * @property {[number, number][]} [steps]   start_up: minutes since it began to run, conductivity
 * @property {number} [covered_fraction]    cover
 * @property {any} [on]                     air_forecast: the day before the night; power: whether it is back
 * @property {number} [low_c]
 * @property {number|null} [high_c]
 * @property {string} [override_reason]
 * @property {string} [reason]
 * @property {boolean} [all_well]
 * @property {string[]} [wrong]
 * @property {string} [trouble]
 * @property {string} [text]
 * @property {string} [target]
 * @property {string} [field]
 * @property {string|null} [effective_from]
 * @property {string} [entry]       take_back: the entry withdrawn
 * @property {string[]} [photos]    sums of the photos that go with it
 * @property {string} [kit]
 * @property {number} [hours]       meter
 * @property {string[]} [jobs]      change: whose intervals should tell
 * @property {string[]} [quantities]
 * @property {boolean} [running]    water_running
 * @property {boolean|null} [dechlorinated]
 * @property {number|null} [limit_min]
 * @property {string|null} [from_pond]   fish_move
 * @property {string|null} [to_pond]
 * @property {number} [count]
 * @property {number|null} [mass_g]
 * @property {boolean} [quarantine]
 */

/**
 * @typedef {object} Seen    an entry as this device knows it
 * @property {string} id
 * @property {Entry} entry
 * @property {number|null} seq      null until the server has it
 * @property {string} at            RFC 3339: the server's placing, or happened_at with the device's skew
 * @property {string} on            civil date it counts for
 * @property {boolean} [time_doubtful]
 * @property {string} [received_at]
 */

/**
 * @typedef {object} Chart
 * @property {string} quantity
 * @property {string} substance
 * @property {number|null} capful_g
 * @property {number} step
 * @property {number} good_for_h
 * @property {[number, number, number, number][]} rows   [reading, unrounded_g, tomorrow_low, tomorrow_high], ascending
 * @property {Record<string, number>} equal_g  grams of this substance that one gram of another is worth
 * @property {{reading: number, reason: string}|null} hold_below
 * @property {string|null} no_reading_reason   why nothing is given without a reading
 * @property {string} limit_reason
 * @property {string} enough_reason
 */

/**
 * @typedef {object} Workings
 * @property {string} title
 * @property {{name: string, value: number|string, unit: string, from: string}[]} inputs
 * @property {{text: string, value: string}[]} steps
 * @property {string[]} [warnings]
 * @property {string} result
 * @property {string} source
 */

/**
 * @typedef {object} Job
 * @property {string} id
 * @property {string} standing_job
 * @property {string} due_on
 * @property {string} slot
 * @property {string} pond
 * @property {string} place
 * @property {string} part
 * @property {string} name
 * @property {string} text
 * @property {string} opens_at
 * @property {string} closes_at
 * @property {string|null} lapses_at   from then on it is no longer worth doing
 * @property {"open"|"stood_down"|"held_back"|"not_known"} state
 * @property {string} reason
 * @property {string|null} [source]      from here to `feed_g` absent from an older home
 * @property {string|null} [waits_until] a missed one may wait till then without harm
 * @property {string|null} [serious_at]  from then on it matters
 * @property {("power_out"|"water_running")[]} [held_while]
 * @property {string[]} [who]            ids of people; none is anyone
 * @property {string|null} [amount]      in the keeper's words
 * @property {{quantity: string, point: string}[]} [asks]   readings it is there for
 * @property {string|null} [picture]
 * @property {string|null} [kit]
 * @property {number|null} [feed_g]
 * @property {number|null} [bag]         a helper's: which of the numbered bags
 * @property {boolean} serious
 * @property {boolean} fixed
 * @property {string[]} cautions
 * @property {string|null} how
 * @property {"plain"|"dose"|"setting"|"feed"} shape
 * @property {number|null} amount_g
 * @property {number|null} unrounded_g
 * @property {[number, number]|null} tomorrow
 * @property {number|null} setting_c
 * @property {number} minutes
 * @property {number|null} limit_g_24h
 * @property {Chart|null} chart
 * @property {number|null} after_done_days
 * @property {Record<string, [string, string]>|null} next_windows
 * @property {Workings|null} workings
 */

/**
 * @typedef {object} Day
 * @property {string} date
 * @property {string} tag
 * @property {string|null} dawn_at
 * @property {string|null} dusk_at
 * @property {Job[]} jobs
 * @property {number} [minutes]
 * @property {"light"|"usual"|"heavy"} [load]
 * @property {string[]} [says]           what the order could not keep
 */

/**
 * @typedef {object} Pond
 * @property {string} id
 * @property {string} name
 * @property {number|null} volume_l
 * @property {number|null} capful_g
 * @property {string} substance
 * @property {string} zone
 * @property {Record<string, string>} units   quantity -> the unit it is shown in, where not the stored one; "volume"
 * @property {number} inflow_l_per_day
 * @property {Record<string, any>|null} mains
 * @property {Record<string, any>|null} carbon
 * @property {Record<string, any>|null} membrane
 * @property {number} bypass_fraction
 * @property {string|null} blend_for
 * @property {number|null} blend_target
 * @property {Record<string, Record<string, number|null>>} ranges   the keeper's own cuts, by quantity
 * @property {number|null} [latitude]       from here on absent from an older home
 * @property {number|null} [longitude]
 * @property {Record<string, any>|null} [shell]
 * @property {Record<string, any>|null} [cover]
 * @property {Record<string, any>|null} [heater]
 * @property {Record<string, any>[]} [appliances]
 * @property {Record<string, any>|null} [tariff]
 * @property {Record<string, any>|null} [filter_house]
 * @property {boolean} [weather_service]
 * @property {number|null} [warm_low_c]
 * @property {number|null} [warm_high_c]
 * @property {number} [change_limit_c_per_day]
 * @property {number} [season_floor_c]
 * @property {number|null} [worth_per_day]
 * @property {SeasonSteps|null} [season]
 * @property {string[]} [places]            in walking order
 * @property {KitItem[]} [kit]
 * @property {number|null} [feed_g_per_day]
 * @property {Record<string, any>|null} [feed_steps]
 * @property {number} [feed_floor_c]
 * @property {number|null} [fish_count]
 * @property {number|null} [fish_mass_g]
 * @property {number} [quarantine_days]
 * @property {number} [water_running_limit_min]
 * @property {string[]} [on_duty]           ids of people: who hears first, then the next
 * @property {number|null} [source_kh_dkh]
 * @property {{name: string, tel: string}[]} [ring]
 * @property {string[]} [left_untold]       questions about it that the keeper leaves, by name
 */

/**
 * @typedef {{part: string, opens: string, closes: string}} JobWindow   "17:30", "dusk-01:00"
 * @typedef {{what: string, [field: string]: any}} Condition            as in the server's domain/standing_job.py
 *
 * @typedef {object} StandingJob
 * @property {string} id
 * @property {string} pond
 * @property {string} text
 * @property {Record<string, string>} texts     by slot
 * @property {string} place
 * @property {{every: string, [field: string]: any}} recur
 * @property {Record<string, JobWindow>} windows
 * @property {{from: string, to: string}|null} season
 * @property {Condition[]} only_if
 * @property {string[]} after
 * @property {"plain"|"dose"|"setting"|"feed"} shape
 * @property {string|null} amount
 * @property {{quantity: string, point: string}[]} asks
 * @property {string|null} starts_on
 * @property {boolean} serious
 * @property {number} waits_days
 * @property {string|null} why
 * @property {string[]} who
 * @property {string[]} cautions
 * @property {string|null} how
 * @property {number} minutes
 * @property {number} order
 * @property {number|null} setting_c
 * @property {string|null} service
 * @property {string|null} kit
 * @property {string|null} picture
 * @property {boolean} active
 */

/** @typedef {{id: string, name: string, kind: string, place: string|null, fitted_on: string|null,
 *   hours_per_day: number, flow_l_per_day: number|null, spares: number, parts?: SparePart[]}} KitItem
 * @typedef {{name: string, held: number}} SparePart   `parts` are absent from an older home */

/**
 * @typedef {{of: string, title: string, found: "longer"|"shorter"|"higher"|"lower"|"no_difference"|"too_early"|
 *   "described", says: string, workings: Workings|null}} EffectLine
 * @typedef {{entry: string, on: string, text: string, kit: string|null, lines: EffectLine[]}} Effect
 * @typedef {{id: string, name: string, says: string, hours: number|null, volume_l: number|null,
 *   hours_since_service: number|null, volume_since_service_l: number|null, told: boolean,
 *   services: [string, string, string][]}} KitState
 * @typedef {{subject: string, title: string, unit: string,
 *   rows: {on: string, low: number, middle: number, high: number, measured: number}[], bias: number,
 *   typical_error: number, inside: number, model_versions: string[], says: string}} Score
 * @typedef {{standing_job: string, title: string, begins: string, ends: string, done: string[], last_year: string[]}}
 *   YearLine
 *
 * @typedef {object} PondBook     the computed part of one pond's book
 * @property {string} pond
 * @property {string} tag
 * @property {Effect[]} effects
 * @property {KitState[]} kit
 * @property {Score[]} scores
 * @property {YearLine[]} year
 */

/** @typedef {{from_c: number, to_c: number, starts_on: string, degrees_per_step: number, days_per_step: number}}
 *   SeasonSteps */

/** @typedef {{quantity: string, label: string, unit: string, low: number, high: number, step: number,
 *   decimals: number, usual: [number, number], others: {unit: string, per: number, offset: number}[],
 *   points?: string[], shown_in?: string|null}} Quantity
 * `usual`: outside it another unit is asked about; `others`: value in that unit = value × per + offset; `points`:
 * where it can be measured, anywhere when not said; `shown_in`: the unit it is read in where nobody chose one */

/**
 * @typedef {"in_range"|"drifting"|"act_now"|"not_known"} Answer
 * @typedef {object} Judged       the answer to the latest reading, or to a number worked out from several
 * @property {string} quantity
 * @property {string} point
 * @property {string} label
 * @property {string} unit
 * @property {number} value
 * @property {string} at
 * @property {string} stale_at    from then on it is not known: old
 * @property {Answer} answer
 * @property {boolean} emergency
 * @property {string|null} entry  the reading's id; null when worked out
 * @property {string} why
 * @property {string[]} first     what to do first, for act now
 * @property {string[]} cautions
 * @property {Workings|null} workings
 *
 * @typedef {object} Cuts         where the answer changes; a value on a cut has the worse answer
 * @property {string} quantity
 * @property {string} point
 * @property {number|null} act_below
 * @property {number|null} drift_below
 * @property {number|null} drift_above
 * @property {number|null} act_above
 *
 * @typedef {{quantity: string, point: string, low: number, high: number}} Expected
 *
 * @typedef {object} Trend        `past` (at, middle), `forecast` (at, low, middle, high)
 * @property {string} quantity
 * @property {string} point
 * @property {string} label
 * @property {string} unit
 * @property {[string, number][]} past
 * @property {[string, number, number, number][]} forecast
 * @property {[number|null, number|null]} wanted
 * @property {string} says
 * @property {Workings|null} workings
 *
 * @typedef {object} Finding      something worked out: big words, a sentence, a table where there is one
 * @property {string} id
 * @property {"water"|"source"|"carbon"|"membrane"} section
 * @property {string} title
 * @property {string} big
 * @property {string} says
 * @property {Answer|null} answer
 * @property {string[]} first
 * @property {string[]} cautions
 * @property {string[]} columns
 * @property {string[][]} rows
 * @property {Workings|null} workings
 *
 * @typedef {object} TrackRecord
 * @property {string} quantity
 * @property {{on: string, low: number, middle: number, high: number, measured: number}[]} rows
 * @property {number} mean_error
 * @property {number} inside
 * @property {string} says
 *
 * @typedef {object} PondWater    the Water page of one pond, worked out by the server
 * @property {string} pond
 * @property {string} tag
 * @property {Judged[]} judged
 * @property {Cuts[]} cuts
 * @property {Expected[]} expected
 * @property {Trend[]} trends
 * @property {Finding[]} findings
 * @property {TrackRecord[]} track
 */

/**
 * @typedef {[string, number, number, number][]} Fan   (at, low, middle, high) [°C]
 * @typedef {[string, number][]} Line                  (at, °C)
 * @typedef {object} Tonight      the water until past the next dawn, covered and open, and as planned
 * @property {string} dawn_at
 * @property {Fan} covered
 * @property {Fan} bare
 * @property {[number, number, number]} covered_dawn
 * @property {[number, number, number]} bare_dawn
 * @property {Line} air
 * @property {Line} measured
 * @property {Line} planned
 * @property {[string, string][]} cheap      windows of the cheapest rate
 * @property {string} says
 * @property {string} source
 * @property {string} advice
 * @property {string} track
 * @property {Workings|null} workings
 *
 * @typedef {{season: SeasonSteps, title: string, says: string, settings: [string, number][]}} Proposal
 * @typedef {"warning"|"heater"|"season"|"care"|"cost"|"house"|"loss"} WarmthSection
 * @typedef {Omit<Finding, "section"> & {section: WarmthSection}} WarmthFinding
 *
 * @typedef {object} PondWarmth   the Warmth page of one pond, worked out by the server
 * @property {string} pond
 * @property {string} tag
 * @property {number|null} water_c
 * @property {string|null} water_at
 * @property {string} says
 * @property {Tonight|null} tonight
 * @property {Proposal|null} proposal
 * @property {[string, number][]} settings   those of the steps under way
 * @property {WarmthFinding[]} findings
 * @property {string[]} lacking
 */

/**
 * @typedef {object} Plan
 * @property {string} made_at
 * @property {number} log_seq
 * @property {string} good_until
 * @property {string} zone
 * @property {Record<string, string>} person_names
 * @property {Quantity[]} quantities
 * @property {Pond[]} ponds
 * @property {{name: string, tel: string}[]} ring
 * @property {{id: string, title: string, steps: string[]}[]} troubles
 * @property {{target: string, field: string, value: any}[]} starter
 * @property {{id: string, title: string, says: string, jobs: (Partial<StandingJob> & {id: string})[]}[]}
 *   [starter_groups]   none from an older home
 * @property {PondWater[]} water
 * @property {PondWarmth[]} [warmth]   none from an older home
 * @property {PondBook[]} [book]       the same
 * @property {import("./fish-types.js").PondFish[]} [fish]   the same
 * @property {Day[]} [back]            the two weeks before today, as they were shown
 * @property {Partial<import("./hand-overs.js").HandOver>[]} [hand_overs]   what is at its default is left out
 * @property {string[]} dates
 * @property {Day[]} days
 */

// The spacing keeps it off the list of modules the page fetches early: nothing here runs.
export{};
