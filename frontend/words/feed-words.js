// What is said about the calendar: in the script that comes later, beside the page.

export const feedWords = {
  title: "Calendar",
  hint: "Two weeks of jobs in any calendar program: each as long as its window, with how much and why.",
  offline: "The calendar's address is made at home: this needs signal, and there is none.",
  none: "You have no calendar yet.",
  make: "Make my calendar",
  made: "Your calendar is made.",
  once: "Your calendar's address, shown this once",
  once_hint: "Whoever has it can read your jobs, and nothing else. Add it in your calendar program as a subscription, "
    + "“from URL”.",
  here_only: "It is reached where this server is: a calendar on the internet may not get through to it.",
  open: "Add to this device's calendar",
  copy: "Copy the address",
  copied: "Copied",
  since: (when) => `Made ${when}.`,
  read: (when) => `Last read ${when}.`,
  unread: "Not read by any program yet.",
  rings: "What rings when its window opens",
  each: "Each job", serious: "Jobs that matter", nothing: "None",
  kept: "Kept. Calendars follow when they next read it.",
  anew: "New address",
  anew_hint: "A new address ends the one before, wherever it was given.",
  end: "End it",
  ended: "Ended: the address opens nothing any more.",
};
