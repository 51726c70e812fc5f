// Sentences about this device: how the app looks on it, and how it gets onto its home screen.

export const deviceWords = {
  looks: "How it looks here",
  looks_hint: "Only on this device.",
  theme: "Theme",
  themes: { system: "as the device", light: "light", dark: "dark" },
  contrast: "Contrast",
  contrasts: { system: "as the device", usual: "usual", more: "strong" },
  text: "Size of text",
  texts: { system: "as the browser", larger: "larger", largest: "largest" },
  hours: "Time of day",
  hours_of: { system: "as the device", h23: "17:40", h12: "5:40 pm" },

  install: "On the home screen",
  install_is: "It was opened from the home screen.",
  install_why: "From there it opens at once, without signal and without the browser's bars, and what it keeps is "
    + "less likely to be cleared.",
  install_ask: "Put it on the home screen",
  install_apple: "In Safari tap Share (the square with the arrow), then “Add to Home Screen”. Sign in once more "
    + "there: the home screen keeps its own storage.",
  install_menu: "In the browser's menu choose “Install” or “Add to Home screen”.",
  install_not: "It can go to the home screen only where the address is secure (https).",
  install_later: "Not now",
  about: "Words and limits",
  kept_of: (used, all) => `${used} used of ${all} this browser would give.`,
};
