// The released version of this app, sent with every call so that a server knows what it talks to.
export const APP_VERSION = "0.1.0";
