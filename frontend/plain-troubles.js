// Something is wrong, for somebody who knows nothing of koi. Mirrors the server's domain/away/plain_troubles.py, from
// which a helper's phone has it; the printed sheet has it from here. A test compares the two.

export const plainTroubles = [
  { id: "gasping", title: "Fish gasping at the surface", steps: [
    "More air: switch on every air pump you were shown. Give no food.",
    "Is a tap or hose running into the pond? Shut it.",
    "Open the cover a hand's breadth, and ring."] },
  { id: "power-out", title: "Power is out", steps: [
    "Touch nothing wet and electrical. Give no food.",
    "Safety switch tripped? Set it once, with dry hands. If it trips again, leave it off.",
    "Switch on the battery air pump, if you were shown one. Ring within the hour: the fish run short of air."] },
  { id: "power-back", title: "Power is back", steps: [
    "Dry hands. Look: do the pumps run, does air bubble? What trips again stays off.",
    "Give no food today.",
    "Ring, and say how long it was out: a filter that stood still must be rinsed."] },
  { id: "water-running", title: "Water was left running", steps: [
    "Shut the tap. Give no food.",
    "Look at the fish: do they gasp, or dart about?",
    "Ring at once: much tap water harms them. Put nothing into the pond."] },
  { id: "leak", title: "Water is low, or running away", steps: [
    "Is a tap or hose open? Shut it.",
    "Mark the level and write down the time.",
    "Ring. Do not fill up from the tap: its chlorine kills fish."] },
  { id: "chlorine-smell", title: "Smell of chlorine", steps: [
    "Is a tap or hose running into the pond? Shut it.",
    "More air: switch on every air pump you were shown.",
    "Ring at once. Put nothing into the pond."] },
  { id: "heater-off", title: "Heater off, water getting colder", steps: [
    "Covers on. Give no food.",
    "Look at plug and safety switch only; open nothing.",
    "Ring. Never pour in hot water."] },
];
