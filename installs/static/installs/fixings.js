// Fixings of a member against their plan, in mm from its low end, as
// installs/arithmetic/as_fixed.py counts them.

export const isMechanical = ({ kind }) => kind !== "foam_only";

/** Where a member is held. */
export const placesOf = ({ fixings }) =>
  fixings.filter(isMechanical).map(({ position }) => position);

/** How many of these places lie so far from one another: as many as hold. */
export function countApart(places, leastApart) {
  let [count, last] = [0, -Infinity];
  for (const place of ascending(places)) {
    if (place - last < leastApart) continue;
    count += 1;
    last = place;
  }
  return count;
}

/** Planned places beside which no fixing of their own sits `within` mm either way. */
export function withoutFixing(planned, fixed, within) {
  const left = ascending(fixed);
  return ascending(planned).filter((place) => {
    while (left.length && left[0] < place - within) left.shift();
    if (!left.length || left[0] > place + within) return true;
    left.shift();
    return false;
  });
}

/** {missing, moved, added}: a planned place that no fixing serves and the nearest fixing that serves
 * none are one that was moved: [planned, fixed]. */
export function compareFixings(planned, fixed, { within, moved_within: furthest }) {
  const missing = withoutFixing(planned, fixed, within);
  const added = withoutFixing(fixed, planned, within);
  const moved = [];
  for (;;) {
    const pairs = missing
      .flatMap((place) => added.map((made) => [place, made]))
      .filter(([place, made]) => Math.abs(made - place) <= furthest);
    if (!pairs.length) return { missing, moved, added };
    const [place, made] = pairs.reduce((best, pair) => (isNearer(pair, best) ? pair : best));
    moved.push([place, made]);
    missing.splice(missing.indexOf(place), 1);
    added.splice(added.indexOf(made), 1);
  }
}

const isNearer = (pair, best) => Math.abs(pair[0] - pair[1]) < Math.abs(best[0] - best[1]);
const ascending = (places) => [...places].sort((first, second) => first - second);
