// A signature on the screen: strokes of a finger, pen or mouse, as lists of points [x, y] in the
// units of the pad. Without a script the pad stays hidden, and the customer signs on paper.
(() => {
  "use strict";
  const FINEST = 1;
  const MOST_STROKES = 200;
  const MOST_POINTS = 2000;

  function start(holder) {
    const form = holder.closest("form");
    const field = form.querySelector("[data-signature]");
    const pad = holder.querySelector("svg");
    const model = pad.querySelector("polyline");
    const strokes = [];
    let current = null;

    // Where the pad was touched, in its own units and never outside it.
    function point(event) {
      const box = pad.getBoundingClientRect();
      const { width, height } = pad.viewBox.baseVal;
      const within = (value, most) => Math.round(Math.min(Math.max(value, 0), most) * 10) / 10;
      return [
        within((event.clientX - box.left) * width / box.width, width),
        within((event.clientY - box.top) * height / box.height, height),
      ];
    }

    function draw() {
      pad.querySelectorAll("polyline.stroke").forEach((line) => line.remove());
      for (const stroke of strokes) {
        const line = model.cloneNode();
        line.setAttribute("class", "stroke");
        line.setAttribute("points", stroke.map((place) => place.join(",")).join(" "));
        pad.append(line);
      }
      field.value = strokes.length ? JSON.stringify(strokes) : "";
      // As if it had been typed: the page is not drawn anew while somebody signs.
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }

    function begin(event) {
      if (strokes.length >= MOST_STROKES) return;
      event.preventDefault();
      pad.setPointerCapture(event.pointerId);
      current = [point(event)];
      strokes.push(current);
      draw();
    }

    function follow(event) {
      if (!current || current.length >= MOST_POINTS) return;
      const [x, y] = point(event);
      const [lastX, lastY] = current[current.length - 1];
      if (Math.hypot(x - lastX, y - lastY) < FINEST) return;
      current.push([x, y]);
      draw();
    }

    const end = () => { current = null; };
    pad.addEventListener("pointerdown", begin);
    pad.addEventListener("pointermove", follow);
    pad.addEventListener("pointerup", end);
    pad.addEventListener("pointercancel", end);
    form.querySelector("[data-clear]").addEventListener("click", () => {
      strokes.length = 0;
      draw();
    });
    // What was signed before a refusal is still there.
    if (field.value && field.value !== "null") {
      strokes.push(...JSON.parse(field.value));
      draw();
    }
    holder.hidden = false;
    form.querySelector("[data-on-paper]").hidden = true;
  }

  const startAll = () => document.querySelectorAll("[data-pad]").forEach(start);
  startAll();
  document.addEventListener("page:refreshed", startAll);
})();
