// The page “Phones that sign”: makes the key of this phone when it is enrolled, and says which of
// those listed is this one.

import { forgetKey, keyOf, makeKey, useKey } from "./device_key.js";

const { person } = document.body.dataset;
const section = document.querySelector("[data-enrol]");
const form = section.querySelector("form");

/** What the server lists decides: a key whose enrolment it never got, or that was ended, signs
 * nothing. */
async function settle() {
  const key = await keyOf(person);
  const here = key && document.querySelector(`[data-thumbprint="${CSS.escape(key.thumbprint)}"]`);
  if (here && !("ended" in here.dataset)) {
    await useKey(person);
    here.querySelector("[data-this-phone]").hidden = false;
    return;
  }
  if (here || key?.enrolled) await forgetKey(person);
  section.hidden = false;
}

form.addEventListener("submit", async (event) => {
  if (form.dataset.hasKey) return;
  event.preventDefault();
  const { jwk } = (await keyOf(person)) || (await makeKey(person));
  form.elements.public_key.value = JSON.stringify(jwk);
  form.dataset.hasKey = "yes";
  form.requestSubmit();
});

// Browsers make no key for a page that anybody on the way could change.
if (isSecureContext) settle();
else document.querySelector("[data-insecure]").hidden = false;
