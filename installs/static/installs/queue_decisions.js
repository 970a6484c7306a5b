// What a person decides about an entry, on the page of the queue and where it was recorded.

import { InDoubt } from "./queue_store.js";
import { reasons } from "./sheet_errors.js";
import { text } from "./texts.js";

const reasonFor = ({ answer }) =>
  answer?.problem ? reasons(answer.problem).join(" ") : text("setAsideUnsent");

/** `say` shows why it cannot be done now, or nothing; `close` ends a correction on the page. */
/** {drop, correct, giveUp, readAgain}, for `itemOf` of queue_entry.js. */
export function decisionsOn(queue, say, close) {
  const decide = async (act) => {
    close();
    try {
      await act();
      say("");
    } catch (failure) {
      if (!(failure instanceof InDoubt)) throw failure;
      say(text("inDoubt"));
    }
    document.dispatchEvent(new Event("queue:send"));
  };
  return {
    drop: (entry) => decide(() =>
      (entry.image
        ? queue.setPhotoAside(entry.number, reasonFor(entry))
        : queue.setAside(entry.id, reasonFor(entry)))),
    giveUp: (photo, words) => decide(() => queue.giveUpPhoto(photo, words)),
    readAgain: (entry) => decide(() => queue.store.noteReadAgain(entry.id)),
    correct: (entry, body, rows) => decide(() => queue.correct(entry.id, body, { rows })),
  };
}
