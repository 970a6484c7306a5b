// A part that is tapped on the map is chosen in the list of the form, without another page: each part is
// a link to the page that has its place chosen, which is what it does without a script.

function choose(link, name) {
  const place = new URL(link.href.baseVal ?? link.href, location.href).searchParams.get(name);
  const list = document.querySelector(`select[name="${name}"]`);
  if (![...list.options].some(({ value }) => value === place)) {
    const [part] = link.getAttribute("aria-label").split(":");
    list.add(new Option(part, place));
  }
  list.value = place;
  list.dispatchEvent(new Event("input", { bubbles: true }));
  link.closest("details").open = false;
  list.focus();
}

document.addEventListener("click", (event) => {
  const link = event.target.closest?.("[data-chooses] a");
  if (!link) return;
  event.preventDefault();
  choose(link, link.closest("[data-chooses]").dataset.chooses);
});
