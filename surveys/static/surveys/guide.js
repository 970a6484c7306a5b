// The line of the field in hand is lit on the drawing; a touch on a line goes to its field.
(() => {
  "use strict";

  function light(section, name) {
    section.querySelectorAll("[data-mark], [data-slot]").forEach((mark) =>
      mark.classList.toggle("now", (mark.dataset.mark || mark.dataset.slot) === name));
  }

  document.querySelectorAll("[data-guide]").forEach((section) => {
    section.addEventListener("focusin", (event) => {
      const slot = event.target.closest("[data-slot]");
      if (slot) light(section, slot.dataset.slot);
    });
    section.addEventListener("click", (event) => {
      const mark = event.target.closest("[data-mark]");
      if (mark) section.querySelector(`[data-slot="${mark.dataset.mark}"] input`).focus();
    });
  });
})();
