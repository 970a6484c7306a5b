// An address handed to whatever app of the phone takes it. A link with `geo:` (RFC 5870) opens a map
// where the phone has one for it; browsers of phones that know no `geo:` share the address instead, or
// copy it.

const BUTTONS = "button[data-share]";

async function hand(button) {
  const address = button.dataset.share;
  if (navigator.share) {
    // Who closes the list of apps wants nothing more.
    await navigator.share({ text: address }).catch(() => {});
    return;
  }
  await navigator.clipboard.writeText(address);
  button.textContent = button.dataset.copied;
}

function offer() {
  for (const button of document.querySelectorAll(BUTTONS)) button.hidden = false;
}

if (navigator.share || navigator.clipboard) {
  document.addEventListener("click", ({ target }) => target.matches(BUTTONS) && hand(target));
  document.addEventListener("page:refreshed", offer);
  offer();
}
