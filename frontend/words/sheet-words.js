// What the printed sheet says to a neighbour who knows nothing of koi, and may have nothing but this sheet.

export const sheetWords = {
  title: (pond) => `Looking after the koi: ${pond}`,
  for_whom: (helper, keeper) => (helper ? `For ${helper}, from ${keeper}` : `From ${keeper}`),
  span: (from, to, days) => `${from} to ${to}, ${days} ${days === 1 ? "day" : "days"}`,
  rehearsal: (on) => `We try it together on ${on}.`,
  koi: "Koi are large carp. They can go without food for days; too much food, or too much powder, harms them. What is "
    + "not on this sheet does not need doing.",
  no_food: "Give no food, however they beg.",
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
  more_wrong: [
    { id: "ill", title: "A fish is dead or looks ill", steps: ["Lift a dead one out with the net; leave the others.",
      "Take a photo.", "Ring. Give nothing into the water."] },
    { id: "other", title: "Anything else", steps: ["Touch nothing you are not sure of.",
      "Look: do the fish swim calmly? Does water move?", "Ring, and say what you see."] },
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
