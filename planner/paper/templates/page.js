// The screen: what is on now, the whole plan, and the end of it. All text is set as text.

const TICK = 250;
const FORGET = 15 * MINUTE; // how long after its end a practice can still be reopened with Back

const $ = (id) => document.getElementById(id);
const items = [...$("segments").children];
let shown = null; // what the cards on the screen were made for
let heard = null;
let keptAt = 0;

function put(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

function say(text) {
  put($("said"), text);
}

function make(name, classes, ...inside) {
  const node = document.createElement(name);
  if (classes) node.className = classes;
  node.append(...inside);
  return node;
}

function clockText(time) {
  const at = new Date(time);
  return `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
}

function wallClock(time) {
  return clockText(time + state.jump);
}

function countdown(ms) {
  const all = Math.ceil(ms / 1000);
  const hours = Math.floor(all / 3600);
  const minutes = Math.floor((all % 3600) / 60);
  const seconds = String(all % 60).padStart(2, "0");
  return hours ? `${hours}:${String(minutes).padStart(2, "0")}:${seconds}` : `${minutes}:${seconds}`;
}

function minutesText(ms) {
  const minutes = Math.round(ms / MINUTE);
  return minutes === 1 ? "1 minute" : `${minutes} minutes`;
}

// Now

function renderBoard(now, at) {
  const running = at.index >= 0 && at.index < segments.length;
  const over = at.index >= segments.length;
  const still = state.pausedAt !== null;
  const low = running && !still && at.left <= Math.min(MINUTE, state.lengths[at.index] / 4);
  $("board").className = "board" + (still || over ? " still" : low ? " low" : "");
  const one = running ? segments[at.index] : null;
  const end = running ? startOf(at.index, now) + state.lengths[at.index] : 0;
  put($("span"), running ? `${wallClock(startOf(at.index, now))} to ${wallClock(end)}` : plan.day);
  put($("place"), running ? `${at.index + 1} of ${segments.length}` : "");
  put($("title"), running ? one.title : over ? "Practice is over" : `Starts at ${wallClock(beganAt())}`);
  const far = at.index < 0 && at.left > 24 * 60 * MINUTE;
  put($("left"), over ? "Done" : far ? daysAhead(now) : countdown(at.left));
  $("left").classList.toggle("words", over || far);
  $("left").dataset.length = $("left").textContent.length;
  put($("left-label"), labelText(at, { still, over, low }));
  $("gone").style.width = running ? `${Math.min(100, (100 * at.into) / (at.into + at.left)).toFixed(1)}%` : over ? "100%" : "0";
  $("start").hidden = running || (over && state.began !== null) || (over && state.undo.length > 0);
  $("wrap").hidden = !over;
  put($("drift"), over ? "" : driftText(now));
}

function daysAhead(now) {
  const midnight = (ms) => new Date(ms).setHours(0, 0, 0, 0);
  const days = Math.round((midnight(beganAt()) - midnight(now)) / (24 * 60 * MINUTE));
  return days === 1 ? "tomorrow" : `in ${days} days`;
}

function labelText(at, { still, over, low }) {
  if (still) return "paused";
  if (over) return "Note how hard it was, then save the log.";
  if (low) return at.left > MINUTE / 2 ? "last minute" : "last half minute";
  return at.index < 0 ? "until practice" : "left";
}

function driftText(now) {
  const end = startOf(segments.length, now);
  const late = end - (state.planned + plan.minutes * MINUTE);
  const to = `Ends ${wallClock(end)}`;
  if (Math.abs(late) < MINUTE / 2) return `${to}, as planned`;
  return `${to}, ${minutesText(Math.abs(late))} ${late > 0 ? "later" : "earlier"}`;
}

function renderCards(at) {
  const index = at.index;
  if (shown === index) return;
  const held = ["cues", "counters", "rest"].some((id) => $(id).contains(document.activeElement));
  shown = index;
  const slim = index < 0 || (index < segments.length && segments[index].slim);
  const about = slim ? segments.findIndex((one, n) => n > index && !one.slim) : index;
  const card = items[about] ?? null;
  $("coming").hidden = !(slim && card);
  put($("coming"), slim && card ? `Coming up: ${segments[about].title}` : "");
  for (const part of ["cues", "rest"]) {
    const found = card?.querySelector(`[data-part="${part}"]`);
    $(part).replaceChildren(...(found ? [...found.cloneNode(true).childNodes] : []));
  }
  $("counters").replaceChildren(...(slim || !segments[index] ? [] : segments[index].groups.map((_, n) => counter(index, n))));
  $("counters").hidden = !$("counters").childNodes.length;
  if (held) $("title").focus();
  items.forEach((item, n) => {
    item.classList.toggle("past", n < index);
    if (n === index) item.setAttribute("aria-current", "step");
    else item.removeAttribute("aria-current");
  });
}

function counter(index, group) {
  const one = segments[index];
  const named = one.groups[group];
  const score = make("span", "score");
  score.dataset.score = `${index} ${group}`;
  const goal = one.target === null ? "" : `, target ${one.target}${one.of === null ? "" : ` of ${one.of}`}`;
  const label = make("span", "", `${named ? named + ": " : ""}${one.counts}${goal}`);
  const hit = make("button", "main", make("b", "", "+1"), ` ${one.counts}`);
  const miss = make("button", "", make("b", "", "+0"), " missed");
  for (const [button, stopped] of [[hit, true], [miss, false]]) {
    button.type = "button";
    if (named) button.setAttribute("aria-label", `${button.textContent}, ${named}`);
    button.addEventListener("click", () => {
      count(index, group, stopped);
      const [stops, tries] = state.counts[index][group];
      const target = stopped && stops === one.target ? " Target reached." : "";
      say(`${named ? named + ": " : ""}${stops} of ${tries} ${one.counts}.${target}`);
      render();
    });
  }
  const row = make("p", "row", score, label);
  row.dir = "auto";
  return make("div", "counter", row, make("div", "pair", hit, miss));
}

function renderScores() {
  for (const node of document.querySelectorAll("[data-score]")) {
    const [index, group] = node.dataset.score.split(" ").map(Number);
    const [stops, tries] = state.counts[index][group];
    put(node, `${stops} of ${tries}`);
  }
}

function renderNext(now, at) {
  const index = at.index + 1;
  const one = segments[index];
  $("next").hidden = at.index >= segments.length;
  if (!one) {
    put($("next"), "Then: practice is over");
    return;
  }
  put($("next"), `Next at ${wallClock(startOf(index, now))}: ${one.title}, ${minutesText(state.lengths[index])}`);
}

function renderBar(at) {
  const running = at.index >= 0 && at.index < segments.length;
  const over = at.index >= segments.length;
  const last = state.undo[state.undo.length - 1];
  able("undo", Boolean(last));
  able("back", at.index > 0 && (!over || at.into < FORGET) && state.pausedAt === null);
  able("pause", running);
  able("more", running);
  able("skip", running);
  put($("pause"), state.pausedAt === null ? "Pause" : "Go on");
  $("undo").setAttribute("aria-label", last ? `Undo: ${last[0]}` : "Undo");
  put($("began"), state.began === null ? `Following the plan from ${wallClock(beganAt())}.` : `Started at ${wallClock(beganAt())}.`);
  $("late").hidden = over;
}

function able(id, yes) {
  // Not `disabled`: a button that has the focus keeps it.
  $(id).setAttribute("aria-disabled", String(!yes));
}

// The whole plan

function renderList(now) {
  items.forEach((item, index) => {
    const live = wallClock(startOf(index, now));
    put(item.querySelector(".at"), live);
    const was = item.querySelector(".was");
    const moved = live !== was.dataset.at;
    was.hidden = !moved;
    put(was, moved ? `planned ${was.dataset.at}` : "");
  });
}

// Together

function render() {
  const now = practiceNow();
  const at = where(now);
  put($("clock"), clockText(now + state.jump));
  renderBoard(now, at);
  renderCards(at);
  renderScores();
  renderNext(now, at);
  renderBar(at);
  const view = document.body.dataset.view;
  if (view === "list") renderList(now);
  if (view === "finish") renderFinish(now, at);
  announce(now, at);
  renderNotice();
  stayAwake(at);
  if (Date.now() - keptAt > 10000 && at.index >= 0 && at.index < segments.length) {
    keptAt = Date.now();
    keep();
  }
}

function announce(now, at) {
  const key = at.index;
  if (heard !== null && heard !== key) {
    const one = segments[key];
    if (one) say(`Now: ${one.title}, ${minutesText(at.left)}, until ${wallClock(now + at.left)}.`);
    else if (key >= segments.length) say("Practice is over.");
  }
  heard = key;
}

function renderNotice() {
  const moved = Math.abs(clockSet) > SLACK;
  if ($("notice").hidden === !moved) return;
  $("notice").hidden = !moved;
  if (!moved) return;
  const words = minutesText(Math.abs(clockSet));
  put($("notice-text"), `The phone's clock was set ${clockSet > 0 ? "forward" : "back"} by ${words}. The practice goes on where it was.`);
  say($("notice-text").textContent);
}

let lock = null;

async function stayAwake(at) {
  const wanted = at.index >= 0 && at.index < segments.length && !document.hidden;
  if (!wanted || lock || !navigator.wakeLock) return;
  lock = "asked";
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => {
      lock = null;
    });
  } catch {
    lock = "refused";
  }
}

function go(view) {
  document.body.dataset.view = view;
  for (const button of document.querySelectorAll("[data-go]")) {
    if (button.dataset.go === view) button.setAttribute("aria-current", "page");
    else button.removeAttribute("aria-current");
  }
  window.scrollTo(0, 0);
  render();
}

function press(id, does) {
  $(id).addEventListener("click", () => {
    if ($(id).getAttribute("aria-disabled") === "true") return;
    does(practiceNow());
    render();
  });
}

press("start", startNow);
press("restart", startNow);
press("wrap", () => go("finish"));
press("earlier", (now) => shift(now, -MINUTE));
press("later", (now) => shift(now, MINUTE));
press("undo", () => say(`Taken back: ${takeBack()}.`));
press("back", goBack);
press("skip", skip);
press("end", endNow);
press("download", download);
press("copy", copy);
press("clear", clearAll);
press("pause", (now) => {
  pause(now);
  say(state.pausedAt === null ? "Going on." : "Paused.");
});
press("more", (now) => {
  addMinute(now);
  const at = where(now);
  say(`One minute more, until ${wallClock(startOf(at.index, now) + state.lengths[at.index])}.`);
});
press("follow", () => {
  state.jump -= clockSet;
  clockSet = 0;
  keep();
});
press("keep", () => {
  clockSet = 0;
  keep();
});
for (const button of document.querySelectorAll("[data-go]")) {
  button.addEventListener("click", () => go(button.dataset.go));
}
for (const box of document.querySelectorAll("[name=absent]")) {
  box.addEventListener("change", () => act("absent", (it) => {
    it.absent = plan.jerseys.filter((one) => (one === box.value ? box.checked : it.absent.includes(one)));
  }));
}
for (const box of document.querySelectorAll("[name=rating]")) {
  box.addEventListener("change", () => act("rating", (it) => {
    it.rating = Number(box.value);
  }));
}

function goneAway() {
  if (where(practiceNow()).index >= 0) keep();
  unseen = true;
}

function cameBack() {
  unseen = true;
  render();
}

document.addEventListener("visibilitychange", () => (document.hidden ? goneAway() : cameBack()));
document.addEventListener("freeze", goneAway);
document.addEventListener("resume", cameBack);
window.addEventListener("pagehide", goneAway);
window.addEventListener("pageshow", cameBack);
window.addEventListener("storage", (event) => {
  if (event.key !== KEY) return;
  state = loaded();
  shown = null;
  render();
});

checkReload();
buildDone();
for (const details of document.querySelectorAll("#segments > li > details")) details.open = false;
put($("kept"), storage ? "What you note is kept on this phone, for this practice, until you clear it." : "This browser keeps nothing once the page is closed: save the log first.");
document.body.classList.remove("unready");
go("now");
setInterval(render, TICK);
