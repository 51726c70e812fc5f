// The sentences about photos.

export const photoWords = {
  label: "Photos",
  take: "Take a photo",
  choose: "Choose photos",
  working: "Making it ready …",
  then_saved: "Making it ready … then it is saved.",
  take_out: "take out",
  take_out_nth: (n) => `take out: photo ${n}`,
  full_entry: (most) => `No more than ${most} photos go with one entry.`,
  no_picture: (name) => `${name || "That file"} is not a picture this phone can show. A photo as JPEG or PNG would do.`,
  too_many_pixels: (name) => `${name || "That picture"} has more pixels than a phone can take in: over 120 million. `
    + "A smaller one would do.",
  storage_full:
    "The phone's storage is full. The photo stays in this page's memory: keep it open until the photo is sent.",
  storage_broken:
    "The phone's storage does not answer. The photo is in this page's memory: keep it open until the photo is sent.",
  nth: (n, of) => (of > 1 ? `Photo ${n} of ${of}` : "Photo"),
  taken: (at) => `taken ${at}`,
  open: "open",
  waiting: "not sent yet",
  held: "only in this page's memory",
  refused: "home cannot take it",
  gone: "lost: the phone cleared it",
  away: "not here yet",
  away_long: "This photo is not on this phone. It comes with the next signal, once the phone that took it has sent it.",
  close: "Close",
  before: "Photo before",
  after: "Next photo",
  save: "Save to this phone",
  device_none: "No photos wait.",
  device_waiting: (n, kb) => `${n} ${n === 1 ? "photo waits" : "photos wait"} to be sent, ${kb} kB.`,
  device_refused: (n) => `${n} ${n === 1 ? "photo" : "photos"} could not be sent:`,
};
