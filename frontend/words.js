// Every sentence a person reads, in one place, so that one voice speaks and one search finds it.

const some = (n, one, more) =>
  `${n} ${n === 1 ? one : more}`;

export const words = {
  tabs: { round: "Round", water: "Water", warmth: "Warmth", fish: "Fish", book: "Pond book", main: "Main" },
  titles: {
    round: "Round", water: "Water", warmth: "Warmth", fish: "Fish", book: "Pond book", device: "This device",
    pond: "Pond settings", "to-tell": "What I do not know yet", "sign-in": "Sign in", past: "Bring the past in",
    jobs: "Jobs", kit: "Kit", changes: "Changes", scores: "Track record", year: "The year", "hand-overs": "Hand-overs",
    report: "Season report", reach: "How the list reaches me",
  },
  broken: "This page could not be drawn. What you recorded is safe. Reload it; meanwhile the round can be read here:",
  print: "Today's round to read",
  later: {
    comes: "One moment …",
    failed: "This page could not be fetched, or is of a newer version. What you recorded is safe.",
    again: "Load again",
  },
  parts: { morning: "Morning", midday: "Midday", dusk: "Dusk", bedtime: "Bedtime" },

  round: {
    today: "Today's round",
    tonight: "Tonight's round",
    dusk: (at) => `dusk ${at}`,
    minutes: (n) => `${n} min`,
    all_done: "all done",
    until: (at) => `until ${at}`,
    from: (at) => `from ${at}`,
    by: (at) => `by ${at}`,
    late: (at) => `late since ${at}`,
    lapsed: (at) => `missed, was due by ${at}`,
    nothing: "Nothing to do here today.",
    nothing_recorded: "Nothing was recorded on this day.",
    recorded: "What was recorded",
    no_plan: "No round for this day on this phone yet. It comes with the next signal from home.",
    expired: (at) =>
      `The plan on this phone ended ${at}. Only jobs that never change stand; no amounts until there is signal.`,
    worked_out: (at) => `worked out ${at}`,
    stood_down: (n) => `Stood down today: ${n}`,
    loading: "Reading today's round …",
    days: "Days",
    back_to_today: "Back to today",
    add_reading: "+ reading",
    all_well: "All well",
    all_well_hint: "flow, air, level, fish",
    looked: (at) => `Looked ${at}: all well`,
  },

  card: {
    given: "Given",
    done: "Done",
    set: "Set",
    done_at: (at) => `done ${at}`,
    not_done_at: (at) => `not done ${at}`,
    take_back: "take back",
    other_amount: "other amount",
    not_done: "not done",
    note: "note",
    not_done_why: "Why not?",
    not_done_reasons: ["no time", "not needed", "could not"],
    save: "Save",
    cancel: "Cancel",
    save_reading: "Save reading",
    reading_saved: (at) => `reading saved ${at}`,
    from_reading: (at) => `last reading ${at}`,
    by_reading: "Worked out from this reading.",
    tomorrow: (low, high, unit) =>
      low === high ? `Expected tomorrow: ${low} ${unit}.` : `Expected tomorrow: ${low} to ${high} ${unit}.`,
    how_much_capfuls: "Capfuls given",
    how_much_grams: "Grams given",
    more_than_limit: (limit) => `More than ${limit} in 24 hours is held back for the fish.`,
    note_text: "Note",
    held_back: "held back",
    stood_down: "not needed",
    override: "Do it all the same",
    override_why: "Why all the same?",
    workings: "Workings",
    source: "Source",
    result: "Result",
    given_already: (who, at, much) => `In the last 24 h: ${who} gave ${much}, ${at}`,
    twice: "Given twice. Both count; the next dose takes it into account.",
    less: (label, step) => `${label} ${step} less`,
    more: (label, step) => `${label} ${step} more`,
    number_wanted: "A number, such as 5 or 5.5.",
    two_numbers: (typed, one, other) => `${typed} could be two numbers. Right would be: ${one} or ${other}.`,
    whole: "A whole number, such as 5.",
    range: (low, high, unit) =>
      `Between ${low} and ${high}${unit ? ` ${unit}` : ""}.`,
    above_nothing: "More than nothing.",
  },

  wrong: {
    title: "Something is wrong",
    hint: "First steps, then whom to ring",
    pick: "What is it?",
    steps: "First",
    ring: "Then ring",
    ring_one: (name) => `Ring ${name}`,
    nobody: "No numbers are kept yet. Add them in the pond's settings.",
    record: "Record it and tell the household",
    photo: "If there is time, a photo goes with it:",
    recorded: "Recorded",
    sent: (at) => `Sent ${at}.`,
    not_sent: "Not sent: ring.",
    sending: "Sending …",
    none: "First steps come with the first signal from home. Until then: more air, stop feeding, check power and flow.",
    back: "Back to the round",
  },

  water: {
    points: {
      pond: "in the pond", mains: "in the mains", after_carbon: "after the carbon",
      after_membrane: "after the membrane", outside: "outside", filter_house: "in the filter house",
      heater: "at the heater",
    },
    saved: (n) => `${some(n, "reading", "readings")} saved`,
    which_pond: "Pond",
    at_future: "That moment has not come yet.",
    at_wrong: "A day and a time.",
  },

  book: {
    title: "Pond book",
    hint: "everything recorded, newest first",
    none: "Nothing is recorded yet.",
    more: "Show earlier ones",
    in_one_go: (settings, jobs) => (jobs > 0 ? `${settings} settings of ${jobs} job${jobs > 1 ? "s" : ""} set in one go`
      : `${settings} settings set in one go`),
    write: "Write a note",
    aside: "Set aside",
    aside_hint: "The server could not accept these. They stay on this device.",
    export: "Export as a file",
    doubtful: "The phone's clock was wrong. When was this?",
    doubtful_save: "That is when",
    clock_first: "Set this phone's clock right, then say here when this was.",
    date: "Date",
    time: "Time",
    taken_back: "taken back",
    waiting: "not sent yet",
    deferred: "kept for after the server's upgrade",
    unknown: (kind) => `Something this version of the app does not know yet (${kind})`,
    links: "Also here",
  },

  kinds: {
    tick: (job) => `${job}: done`,
    tick_dose: (job, much) => `${job}: ${much} given`,
    tick_setting: (job, c) => `${job}: set to ${c} °C`,
    dose: (much) => `Buffer given: ${much}`,
    not_done: (job, why) => `${job}: not done, ${why}`,
    reading: (label, value, where) => `${label} ${value}${where}`,
    all_well: "Looked: all well",
    wrong: (what) => `Something was wrong: ${what}`,
    water_change: (volume, point) =>
      `${volume} of water changed${point === "mains" ? "" : `, with water ${words.water.points[point] ?? point}`}`,
    feed: (grams) => `Fed ${grams} g`,
    salt: (grams) => `Salt: ${grams} g`,
    services: {
      carbon_agitated: "Carbon agitated", carbon_changed: "Carbon changed", membrane_flushed: "Membrane flushed",
      membrane_cleaned: "Membrane cleaned", membrane_changed: "Membrane changed",
    },
    service: (what, of, text) => `${what}${of ? `, ${of}` : ""}${text ? `: ${text}` : ""}`,
    start_up: (n) => `Membrane started: ${some(n, "measurement", "measurements")} of its water`,
    cover: (percent) => ({ 0: "Covers off", 50: "Half the cover on", 100: "Covers on" }[percent]
      ?? `${percent} % of the cover on`),
    air_forecast: (on, low, high) => `Forecast, night of ${on}: low ${low}${high && `, high ${high}`}`,
    meter: (what, shows) => `${what} counter: ${shows}`,
    change: (what) => `Changed: ${what}`,
    water_on: "Water opened",
    water_off: "Water shut",
    power_out: "Power out",
    power_back: "Power back",
    fish_move: (many, where) => `${many} ${where}`,
    fish_in: "new, came in",
    fish_out: "left",
    fish_to: (pond) => `moved to ${pond}`,
    fish_from: (pond) => `came from ${pond}`,
    fish_gone: { sold: "sold", given: "given away", died: "died" },
    fish_measure: (name, what) => `${name}: ${what || "looked at"}`,
    length: (cm, standard) => `${cm} cm ${standard ? "standard" : "total"} length`,
    fish_seen: (names, what) => `Seen on ${names || "the fish"}: ${what || "see the photo"}`,
    signs: {
      flashing: "flashing", gasping: "gasping", isolating: "keeping apart", not_eating: "not eating",
      clamped_fins: "clamped fins", listless: "listless", jumping: "jumping", spots: "spots", wound: "a wound",
      swollen: "swollen", other: "something else",
    },
    appetites: { all: "all eaten", some_left: "some left", most_left: "most left" },
    set: (what, value) => `${what} set to ${value}`,
    set_hand_over: (what) => `Hand-over: ${what}`,
    nothing: "nothing",
    take_back: (what) => `Took back: ${what}`,
    take_back_unknown: "Took back an entry this device no longer holds",
    override: (why) => `all the same: ${why}`,
  },

  device: {
    title: "This device",
    sync: "Sending",
    last_sync: "Last reached home",
    never: "never",
    outbox: "Waiting to be sent",
    waiting_for: (n, name) => `${n} of these wait until ${name} signs in here`,
    other_member: "another member",
    export_outbox: "Export what waits",
    storage: "Storage",
    storage_kept: "The browser has promised to keep it.",
    storage_maybe: "The browser may clear it when space runs low; an app on the home screen is seldom cleared.",
    version: "Version",
    offline_ready: "Opens without signal.",
    offline_not: "Does not open without signal: the address is not secure (https). It works in reach of home.",
    devices: "Signed-in devices",
    this_one: "this one",
    seen: (when) => `last here ${when}`,
    remove: "Sign it out",
    removed: "Signed out",
    devices_offline: "The list of devices needs signal.",
    sign_out: "Sign out",
    sign_out_waiting: (n) =>
      `${some(n, "entry has", "entries have")} not been sent. What waits stays here until you sign in again.`,
    sign_out_anyway: "Sign out and keep them waiting",
    send_first: "Send first",
    signed_in_as: (name) => `Signed in as ${name}`,
    now: "Send and fetch now",
    people: "You",
  },

  sync: {
    all_sent: (at) => `All sent ${at}`,
    waiting: (n) => `${n} waiting`,
    sending: (n) => `Sending ${n}`,
    no_signal: "no signal",
    busy: "home is busy, trying again",
    aside: (n) => `${n} set aside: look`,
    sign_in: (n) => (n > 0 ? `sign in to send ${n}` : "sign in to fetch the round"),
    only_home: "works only in reach of home",
    in_memory: (n) => `${n} not stored on this phone: keep this page open`,
    others: (n) => some(n, "waits for another member", "wait for another member"),
    not_yet: "not reached home yet",
    photos: (n) => `${some(n, "photo", "photos")} waiting`,
  },

  storage: {
    full: "The phone's storage is full. What you record stays in this page's memory: keep it open until it is sent.",
    broken: "The phone's storage does not answer. What you record is in this page's memory: keep it open.",
    cleared: (at, back) =>
      `The phone cleared this app's storage at ${at}. ${back
        ? `${some(back, "unsent entry was", "unsent entries were")} put back from memory. ` : ""}Unsent entries `
      + "made in another tab may be lost; please check last evening in the pond book.",
    understood: "Understood",
  },

  update: {
    ready: "A new version is ready",
    take: "Use it now",
    half_typed: "Something is half typed on this page and would be lost.",
    take_anyway: "Lose it and update",
  },

  leave: { half_typed: "Leave this page? What is half typed here would be lost." },

  start: {
    welcome: "A calm log for the pond",
    hint: "Today's round, the right amounts, and why; with or without signal.",
    name: "Your name",
    passphrase: "Passphrase",
    passphrase_hint: "At least 8 characters. Three or four words are easy to remember.",
    code: "One-time code",
    code_hint: "It stands in the window where the server was started.",
    show: "Show what is typed",
    begin: "Begin",
    next: "Then: how much water, what comes in, your scoop. Then today's round.",
    sign_in_title: "Sign in",
    sign_in: "Sign in",
    sign_in_hint: "The round stays open without it; signing in sends and fetches.",
    helping: "Helping somebody for a few days?",
    helping_link: "Open the link you were given",
    example: "Open the example",
    example_hint: "An invented pond with six weeks of entries. Try anything.",
    no_server: "Home does not answer. It is needed once, to begin on this device.",
    again: "Try again",
    waiting: "Asking home …",
  },

  pond: {
    save: "Save",
    saved: "Saved",
    unchanged: "Nothing was changed.",
    jobs_begun: "The round is being worked out at home …",
    jobs_none: "The list of jobs comes with the next signal from home.",
    required: "Please fill this in.",
  },
};

/** What an error of the server means to a person. Codes are stable; `what` and `right` are the server's own words. */
const errors = {
  not_recognised: "Name or passphrase is not right.",
  sign_in: "Please sign in.",
  code_spent: "That code is used up. Start the server again; it shows a new one.",
  already_begun: "Somebody has begun here already. Sign in instead.",
  no_example: "The example opens only on the machine it runs on.",
  slow_down: "Too many tries. Wait a minute, then again.",
  wrong_code: "That code is not right. It stands in the window where the server was started.",
  storage: "The server cannot write at the moment. Nothing is lost; this phone tries again.",
  forbidden_origin: "The server does not know this address. Open the app by the address it was set up with.",
  no_signal: "No signal from home.",
  not_ours: "Something else answered, perhaps a sign-in page of this network.",
  busy: "Home is busy. This phone tries again by itself.",
};

/** One sentence for whatever went wrong.
 * @param {{why: string, problem?: {code: string, what: string, right: string}|null}} outcome */
export function errorSentence({ why, problem }) {
  const known = /** @type {Record<string, string>} */ (errors);
  if (problem && known[problem.code]) return known[problem.code];
  if (problem) return problemSentence(problem);
  return known[why] ?? known.no_signal;
}

/** The server's own words about one entry. @param {{what: string, right?: string}} problem */
export function problemSentence(problem) {
  const what = problem.what.charAt(0).toUpperCase() + problem.what.slice(1);
  return problem.right ? `${what}. Right would be: ${problem.right}.` : `${what}.`;
}
