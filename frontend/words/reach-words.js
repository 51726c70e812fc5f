// What is said about how the list reaches somebody: in the script that comes later, beside the page.

export const reachWords = {
  title: "How the list reaches me",
  hint: "Yours alone: nobody else sees or changes it. Kept at home, so it needs signal.",
  offline: "This is kept at home: it needs signal, and there is none.",
  list: "The daily list",
  list_on: "Send me the day's list",
  list_at: "At",
  zone: "By the clock in",
  list_at_wrong: "A time of day is needed, such as 07:00.",
  email: "E-mail",
  no_mail: "This server has no mail server yet. Whoever runs it names one at the start; the README says how.",
  address: "My address",
  address_hint: "Leave it empty for no e-mail.",
  address_wrong: "One address is needed, such as marit@example.org.",
  by_email: "What comes by e-mail",
  email_list: "The daily list",
  email_list_hint: "the same jobs, amounts and reasons as on the round",
  email_alarms: "What must not wait",
  email_alarms_hint: "a job that matters and was not done, something wrong, warnings",
  quiet: "Quiet hours",
  quiet_on: "Keep these hours quiet",
  quiet_from: "From",
  quiet_to: "To",
  quiet_same: "Another time than where they begin is needed.",
  quiet_hint: "What falls into them comes when they end, if it is still so then. Three things come at once, since fish "
    + "may not last till morning: somebody says something is wrong, water runs past its time, the power is out.",
  save: "Save",
  saved: "Saved.",
  test: "Send me a test",
  test_sent: "A test is on its way.",
  test_hint: "To the address as it was saved, and to your devices that take notifications.",
  last: "The last messages to me",
  by: { email: "by e-mail", push: "as a notification" },
  /** @param {string} when */
  sent: (when) => `sent ${when}`,
  waiting: "on its way",
  /** @param {string} why @param {string} when */
  again: (why, when) => `not sent yet: ${why}. Next try: ${when}.`,
  /** @param {string} why */
  given_up: (why) => `not sent: ${why}. It is not tried again.`,
};
