// The page as the server has it by now, in place of the page as it was: without a reload, so that
// nothing jumps under a thumb.

let newest = 0;

/** Fetches this page anew and shows it; `mayShow` is awaited once it is here. Says so on the document
 * with the event `page:refreshed`. Returns whether it was shown. */
export async function refreshPage(mayShow) {
  const asked = ++newest;
  const fresh = await freshPage();
  if (!fresh || asked !== newest || !(await mayShow())) return false;
  const main = document.getElementById("main");
  const stay = keepPlace();
  main.replaceChildren(...fresh.getElementById("main").childNodes);
  delete document.body.dataset.savedAt;
  window.htmx?.process(main);
  document.dispatchEvent(new Event("page:refreshed"));
  stay();
  return true;
}

/** Null where there is no network, and where somebody has to sign in first. */
async function freshPage() {
  try {
    const response = await fetch(location.pathname + location.search, { credentials: "same-origin" });
    if (!response.ok || response.redirected) return null;
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    // A page that this device saved is no news.
    return page.body.dataset.savedAt ? null : page;
  } catch {
    return null;
  }
}

/** Call what is returned once the page is another one: the same thing has the focus, in the same
 * place of the screen, and what was unfolded still is. */
function keepPlace() {
  const { activeElement } = document;
  const form = activeElement?.closest?.("form");
  const [formName, fieldName] = [nameOf(form), activeElement?.name];
  const top = form?.getBoundingClientRect().top;
  const unfolded = Array.from(document.querySelectorAll("main details[open]"), titleOf);
  return () => {
    for (const part of document.querySelectorAll("main details:not([open])")) {
      if (unfolded.includes(titleOf(part))) part.open = true;
    }
    const again = Array.from(document.forms).find((one) => formName && nameOf(one) === formName);
    if (!again) return;
    const field = fieldName ? again.elements[fieldName] : again.querySelector("button:not([type])");
    field?.focus?.({ preventScroll: true });
    scrollBy({ top: again.getBoundingClientRect().top - top, behavior: "instant" });
  };
}

const nameOf = (form) => form?.querySelector("input[name=form]")?.value;
const titleOf = (details) => details.querySelector("summary")?.textContent.trim();
