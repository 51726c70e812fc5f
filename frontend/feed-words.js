// What is said about the calendar.

export const feedWords = {
  title: "In your calendar",
};
