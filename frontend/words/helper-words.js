// What a helper reads: somebody who knows nothing of koi, is outdoors, and looks after them for a few days.

/** "Marit", "Marit and Jon", "Marit, Jon and Kim" @param {string[]} names */
export function namesOf(names) {
  return [names.slice(0, -1).join(", "), names[names.length - 1]].filter(Boolean).join(" and ");
}

const many = (/** @type {number} */ n, /** @type {string} */ one, /** @type {string} */ more) =>
  `${n} ${n === 1 ? one : more}`;

export const helperWords = {
  titles: {
    h: "Helping out", round: "Today", things: "Where things are", device: "This phone", wrong: "Something is wrong",
  },

  invite: {
    asked: (/** @type {string} */ keepers) => `${keepers} ${keepers.includes(" and ") ? "ask" : "asks"} for your help`,
    asked_plainly: "You are asked to help at a pond",
    hello: (/** @type {string} */ name) => `Hello ${name}.`,
    what: "Each day this page shows what to do at the pond, how much, and how you know it is right.",
    need_nothing: "Nothing to install, no account.",
    from: "From",
    until: "Until",
    days: (/** @type {number} */ n) => many(n, "day", "days"),
    works_offline: "After this first time it opens at the pond without signal.",
    needs_signal: "It opens only with signal. Without it, go by the printed sheet.",
    use: "Use this phone",
    only_this: "From then on the link is this phone's. Not sure about anything? Do nothing, and ring.",
    looking: "One moment …",
    keeper: (/** @type {string} */ name, /** @type {string} */ helper) =>
      `You are signed in here as ${name}. This link is for ${helper}'s own phone. To see what ${helper} will see, open `
      + "it in a private window.",
    keeper_out: "To use this phone all the same, sign out first:",

    inside_app: "This page is open inside another app, which may forget you. Better: open it in your browser.",
    inside_app_how: "Look for ··· or a compass, then \"Open in browser\". Or copy the link and paste it there.",
    copy: "Copy the link",
    copied: "Copied",
    home_screen: "Want it on your home screen? Do that first (Share, then \"Add to Home Screen\"), open it from there, "
      + "and only then tap \"Use this phone\". Without it, this page works just as well.",

    no_signal: "No signal just now",
    not_now: "Not just now",
    no_signal_what: "The first time needs signal. Afterwards it may go.",
    again: "Try again",
    slow_down: "Too many tries. Wait a minute, then try again.",
    elsewhere: "Another phone uses this link",
    elsewhere_what: "If that was you, in another browser or on another phone, go back there.",
    elsewhere_ask: (/** @type {string} */ keepers) =>
      `To move it here, ask ${keepers} to let it move (Pond book, Hand-overs). Then try again.`,
    revoked: "This link has ended",
    revoked_what: (/** @type {string} */ keepers) => `Ask ${keepers} for a new one.`,
    unknown: "This link is not known",
    unknown_what: "A letter may be missing. Scan the code again, or open the link once more from the message.",
    keepers: "the keeper",
    paste: "Open the link you were given",
    paste_what: "Scan the code with this phone's camera, tap the link in the message, or put it in here.",
    paste_label: "The link",
    paste_go: "Open it",
    paste_wrong: "That is not the whole link. It ends in a # with letters and digits after it.",
  },

  day: (/** @type {number} */ n, /** @type {number} */ of) => `Day ${n} of ${of}`,
  until: (/** @type {string} */ day) => `until ${day}`,
  from_keepers: (/** @type {string} */ keepers) => `From ${keepers}`,
  to_come: (/** @type {string} */ day) => `It begins ${day}. Until then there is nothing to do; you may look ahead.`,
  rehearsal: "Rehearsal",
  rehearsal_what: "Try everything. Nothing is sent and nothing counts.",
  rehearsal_day: (/** @type {string} */ day) => `${day} is the day to rehearse.`,
  begin_again: "Begin again",
  last_day: "the last day",

  right: "How, and how you know it is right",
  done: "Done",
  could_not: "Could not do it",
  could_not_why: "Why not?",
  could_not_reasons: ["could not find it", "not enough left", "no time", "did not dare"],
  could_not_more: "That is all right. If it looks wrong, ring.",
  photo: "photo",
  note: "note",
  not_needed: (/** @type {number} */ n) => `Not needed today: ${n}`,
  given: (/** @type {string} */ who, /** @type {string} */ at, /** @type {string} */ much) =>
    `${who} gave ${much} at ${at}.`,
  somebody: "Somebody",
  ask: "Leave it, or ring and ask.",
  refused: (/** @type {string} */ at) => `You gave this at ${at}, and it could not be taken. Leave the bag shut.`,
  final: "Leave it. It comes back by itself when it is safe.",

  things: "Where things are",
  things_hint: "switches, taps, food",
  things_none: "Nobody has said where things are. Ring and ask.",
  expired: () => "This list is some days old. Go on by it, and open this page with signal when you can.",
  thing: {
    residual_current_device: "Safety switch of the electricity", stopcock: "Stopcock: shuts the water", feed: "Food",
    buffer: "Buffer powder", filter_house: "Filter house", spares: "Spares", other: "Good to know",
  },
  picture_away: "The picture comes with the next signal.",
  picture_of: (/** @type {string} */ what) => `Picture: ${what}`,

  no_food: "Give no food, however they beg.",
  doubt: "In doubt: do nothing, and ring.",
  wrong_ill: "A fish is dead or looks ill",
  wrong_ill_steps: ["Lift a dead one out with the net; leave the others.", "Take a photo.",
    "Ring. Give nothing into the water."],
  wrong_other: "Something else",
  wrong_other_steps: ["Touch nothing you are not sure of.", "Look: do the fish swim calmly? Does water move?",
    "Ring, and say what you see."],
  wrong_text: "What do you see?",
  wrong_tell: (/** @type {string} */ keepers) => `Tell ${keepers}`,
  wrong_rehearsal: "Rehearsal: not sent. If it is real, ring.",
  wrong_ring: "Ring as well: a message may not be seen at once.",

  phone: "This phone",
  kept: (/** @type {number} */ n) => `${many(n, "entry is", "entries are")} kept on this phone.`,
  photos_wait: (/** @type {number} */ n) => `${many(n, "photo waits", "photos wait")} as well.`,
  kept_waits: (/** @type {number} */ n) => `${many(n, "entry waits", "entries wait")} to be sent. That happens by `
    + "itself as soon as there is signal: leave this page open, or open it once more at home.",
  all_sent: "Everything you wrote down has arrived.",
  export: "Save them as a file",
  not_taken: "These could not be taken. They stay on this phone:",
  refusals: {
    rehearsal: "By then that day was not yet one of yours: the first day had been moved.",
    over: "By then that day was no longer one of yours.",
    above_ceiling: "It is more than the bag of that day.",
  },
  not_taken_ring: "Nobody else knows of them: ring, and say what you did.",

  over: "Thank you",
  over_what: (/** @type {string} */ keepers, /** @type {string} */ day) =>
    `Your days at the pond ended ${day}. ${keepers} can see what you did. There is nothing more to do.`,
  over_plainly: "Your days at the pond are over. There is nothing more to do.",
  shut: "This phone no longer opens the pond",
  shut_why: (/** @type {string} */ code, /** @type {string} */ keepers) => ({
    revoked: `${keepers} ended the link. There is nothing for you to do here now.`,
    moved: "The link is used on another phone or in another browser now. Go on there.",
  }[code] ?? `${keepers} ended the link, or this browser forgot it. Open the link once more to see.`),
  shut_lost: "What you wrote down before is not lost.",
  shut_ring: "A question? Ring:",
  shut_again: "Given a new link? Scan it, or open it from the message.",
};
