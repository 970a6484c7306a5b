// The instrument that somebody has read with is chosen again wherever it suits on the same visit.
//
// A list of instruments has data-remembered, the kind of reading, and data-visit; each option has
// data-until, the last day of its calibration. What was chosen is kept on this device, for each
// person and visit, the newest first. Only what the list offers is ever chosen, since the server
// lists what can show the limits; and none whose calibration has run out since the page was saved.

const LISTS = "select[data-remembered]";
const keyOf = (list) => `instruments:${document.body.dataset.person || ""}:${list.dataset.visit}`;

/** Pairs of kind and instrument, the newest first. */
const remembered = (list) => JSON.parse(localStorage.getItem(keyOf(list)) || "[]");

function remember(list) {
  if (!list.value) return;
  const kind = list.dataset.remembered;
  const others = remembered(list).filter(([other]) => other !== kind);
  localStorage.setItem(keyOf(list), JSON.stringify([[kind, list.value], ...others]));
}

function today() {
  const now = new Date();
  return new Date(now - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

const isInCalibration = (option) => !option?.dataset.until || option.dataset.until >= today();

/** Of the same kind of reading, else the newest of any kind that is offered. */
function choose(list) {
  if (list.dataset.chosenByHand) return;
  const of = (wanted) => Array.from(list.options).find(
    (option) => option.value === wanted && isInCalibration(option));
  const pairs = remembered(list);
  const same = pairs.filter(([kind]) => kind === list.dataset.remembered);
  const option = [...same, ...pairs].map(([, instrument]) => of(instrument)).find(Boolean);
  if (option) list.value = option.value;
  else if (!isInCalibration(list.selectedOptions[0])) list.value = "";
}

const chooseEverywhere = () => document.querySelectorAll(LISTS).forEach(choose);

document.addEventListener("change", ({ target }) => {
  if (!target.matches?.(LISTS)) return;
  target.dataset.chosenByHand = "yes";
  remember(target);
  chooseEverywhere();
});
document.addEventListener("reset", ({ target }) => setTimeout(() => {
  for (const list of target.querySelectorAll(LISTS)) delete list.dataset.chosenByHand;
  chooseEverywhere();
}));
document.addEventListener("page:refreshed", chooseEverywhere);
chooseEverywhere();
