// Saying on the round what the link in a message says too. Kept at home: without signal nobody would know of it.
import { flush } from "../live.js";
import { ask } from "../offline/server.js";
import { roundWords } from "../words/round-words.js";
import { say } from "../store.js";
import { errorSentence } from "../words.js";

/** Say that this person is on an alarm, and fetch how it stands then. @param {string} alarm its id */
export async function onIt(alarm) {
  const answer = await ask("POST", `/api/alarms/${alarm}/on-it`, undefined, (data) => Boolean(data && "on_it" in data));
  if (!answer.ok) return say(answer.why === "no_signal" ? roundWords.on_it_offline : errorSentence(answer));
  say(roundWords.on_it_said);
  return flush();
}
