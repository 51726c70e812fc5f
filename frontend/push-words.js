// What is said about notifications.

export const pushWords = {
  title: "Notifications on this device",
};
