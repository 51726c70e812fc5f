// What the printed sheet says to a neighbour who knows nothing of koi, and may have nothing but this sheet.

export const sheetWords = {
  title: (pond) => `Looking after the koi: ${pond}`,
  for_whom: (helper, keeper) => (helper ? `For ${helper}, from ${keeper}` : `From ${keeper}`),
  span: (from, to, days) => `${from} to ${to}, ${days} ${days === 1 ? "day" : "days"}`,
  rehearsal: (on) => `We try it together on ${on}.`,
  koi: "Koi are large carp. They can go without food for days; too much food, or too much powder, harms them. What is "
    + "not on this sheet does not need doing.",
  doubt: "In doubt: do nothing, and ring.",
  ring: "Ring",
  no_ring: "____________________  ____________________",

  code: "This sheet on your phone",
  code_how: "Point the phone's camera at the square, open the link, tap \"Use this phone\". No account, nothing to "
    + "install. It shows each day what to do, and tells us that it is done.",
  code_address: "Or type:",
  only_reach: "It needs signal; without, use this sheet.",
  no_code: "The code can be printed only while the link is new. Make the link, then come back here.",
  make_link: "To the links",
  print: "Print",

  round: "The round",
  every_day: "every day",
  on_days: (days) => `on ${days}`,
  between: (from, to) => `between ${from} and ${to}`,
  right: "How, and how you know it is right:",
  why: "Why:",
  feed_bag: "The food bag with the day's number, never more",
  feed_shared: "The food bag with the day's number, shared out over the day, never more",
  buffer_bag: "All of the powder bag with the day's number",
  set_to: (c) => `Set to ${c} °C`,
  set_by_day: "Set it as the table says",
  parts: { morning: "Morning", midday: "Midday", dusk: "Dusk", bedtime: "Before bed" },

  days: "Day by day",
  days_hint: "Tick what is done. A bag left over stays shut: never two in one day.",
  columns: { day: "Day", food: "Food bag", buffer: "Powder bag", setting: "Set to", note: "By, note" },
  bag: (n, much) => `${n} (${much})`,
  not_today: "–",

  wrong: "If something is wrong",
  steps: [
    ["Fish gasp at the surface", ["Give no food. Look: do the pumps run, does air bubble?",
      "Is a tap or hose running into the pond? Shut it.", "Open the cover a hand's breadth, and ring."]],
    ["Power is out", ["Touch nothing wet and electrical. Give no food.",
      "The safety switch has tripped? Set it once, with dry hands. It trips again: leave it off.",
      "Ring within the hour: without power the fish run short of air."]],
    ["Water is low, or running away", ["Is a tap or hose open? Shut it.",
      "Mark the level and write down the time.", "Ring. Do not fill up from the tap: its chlorine kills fish."]],
    ["The heater is off, the water gets cold", ["Covers on. Give no food.",
      "Look at plug and safety switch only; open nothing.", "Ring. Never pour in hot water."]],
    ["A fish is dead or looks ill", ["Lift a dead one out with the net; leave the others.", "Take a photo.",
      "Ring. Give nothing into the water."]],
    ["Anything else", ["Touch nothing you are not sure of.", "Look: do the fish swim calmly? Does water move?",
      "Ring, and say what you see."]],
  ],
  safety: "Wet edges and covers are slippery; lift covers with two. No child alone at the pond. Powder: gloves, eyes "
    + "shielded, away from children. Nothing electrical is opened.",

  where: "Where things are",
  things: {
    residual_current_device: "Safety switch of the electricity", stopcock: "Stopcock: shuts the water", feed: "Food",
    buffer: "Powder", filter_house: "Filter house", spares: "Spares", other: "Good to know",
  },
  words: "From us:",
  thanks: "Thank you.",
};
