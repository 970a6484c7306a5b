// A drawing that is wider than the phone is shown whole above itself, with a frame around the part in
// view: a tap there brings that part into view. Links keep their size in the drawing below.

const REGIONS = ".map, .elevation.close";

function overviewOf(region) {
  const drawing = region.querySelector("svg");
  const copy = drawing.cloneNode(true);
  for (const link of copy.querySelectorAll("a")) link.replaceWith(...link.childNodes);
  for (const part of copy.querySelectorAll("[id]")) part.removeAttribute("id");
  for (const name of ["width", "height", "role", "aria-label"]) copy.removeAttribute(name);
  const whole = document.createElement("div");
  whole.className = "drawing-overview";
  // Everybody else moves the drawing itself.
  whole.setAttribute("aria-hidden", "true");
  const view = document.createElement("span");
  whole.append(copy, view);
  region.before(whole);
  follow(region, drawing, whole, view);
}

function follow(region, drawing, whole, view) {
  const show = () => {
    const fits = region.scrollWidth <= region.clientWidth + 1;
    whole.hidden = fits;
    if (fits) return;
    view.style.left = `${(100 * region.scrollLeft) / region.scrollWidth}%`;
    view.style.width = `${(100 * region.clientWidth) / region.scrollWidth}%`;
  };
  region.addEventListener("scroll", show, { passive: true });
  addEventListener("resize", show);
  // A drawing that is folded away has no width.
  region.closest("details")?.addEventListener("toggle", show);
  whole.addEventListener("click", (event) => {
    const { left, width } = whole.getBoundingClientRect();
    const share = (event.clientX - left) / width;
    region.scrollTo({ left: share * region.scrollWidth - region.clientWidth / 2 });
  });
  show();
}

function showAll() {
  for (const region of document.querySelectorAll(REGIONS)) {
    if (!region.previousElementSibling?.classList.contains("drawing-overview")) overviewOf(region);
  }
}

showAll();
document.addEventListener("page:refreshed", showAll);
