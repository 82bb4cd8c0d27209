// The practice's own clock, what the coach noted, and where it is kept. Times are milliseconds.

const MINUTE = 60000;
const SLACK = 5000; // two clocks of one phone that differ by more within a tick: one of them was set
const STEPS_KEPT = 40;
const LONGEST = 300 * 60; // seconds of one segment that the log takes
const MOST = 999; // tries that one counter counts
const CORE = ["began", "paused", "pausedAt", "lengths", "counts", "took", "absent", "rating"];

const plan = JSON.parse(document.getElementById("plan").textContent);
const segments = plan.segments;
const KEY = "stopsheet:" + plan.digest;

function plannedStart() {
  const [year, month, day] = plan.date.split("-").map(Number);
  return new Date(year, month - 1, day, Math.floor(plan.start / 60), plan.start % 60).getTime();
}

function fresh() {
  return {
    planned: plannedStart(),
    began: null, // null: as planned
    paused: 0,
    pausedAt: null,
    lengths: segments.map((one) => one.minutes * MINUTE),
    counts: segments.map((one) => one.groups.map(() => [0, 0])),
    took: segments.map(() => null), // minutes the coach wrote down instead
    absent: [],
    rating: null,
    jump: 0, // by how much the phone's clock was set while the practice ran
    seen: 0,
    undo: [],
  };
}

// Keeping: the browser's storage if there is one, else the tab's name, which outlives a reload.

const storage = (() => {
  try {
    localStorage.setItem(KEY + "?", "1");
    localStorage.removeItem(KEY + "?");
    return localStorage;
  } catch {
    return null;
  }
})();

let state = loaded();

function loaded() {
  try {
    const kept = storage ? storage.getItem(KEY) : window.name.startsWith(KEY) && window.name.slice(KEY.length);
    const found = kept ? JSON.parse(kept) : null;
    if (found && sane(found)) return found;
  } catch {
    // What cannot be read is as good as nothing.
  }
  return fresh();
}

function sane(found) {
  const number = (value) => Number.isFinite(value);
  const orNull = (value) => value === null || number(value);
  const amount = (value) => number(value) && value >= 0;
  const each = (list, length, holds) => Array.isArray(list) && list.length === length && list.every(holds);
  return number(found.planned) && orNull(found.began) && amount(found.paused) && orNull(found.pausedAt)
    && each(found.lengths, segments.length, amount)
    && each(found.counts, segments.length, (rows, n) =>
      each(rows, segments[n].groups.length, (row) => each(row, 2, Number.isInteger) && 0 <= row[0] && row[0] <= row[1]))
    && each(found.took, segments.length, (value) => value === null || amount(value))
    && Array.isArray(found.absent) && found.absent.every((one) => plan.jerseys.includes(one))
    && (found.rating === null || (Number.isInteger(found.rating) && 0 <= found.rating && found.rating <= 10))
    && number(found.jump) && number(found.seen) && Array.isArray(found.undo);
}

function keep() {
  state.seen = Date.now();
  const text = JSON.stringify(state);
  try {
    if (storage) {
      storage.setItem(KEY, text);
      return;
    }
  } catch {
    // A full storage: the tab's name still serves.
  }
  window.name = KEY + text;
}

// The time of practice: the phone's date, unless the phone's clock was set. A page that was hidden may have
// slept, so time that passed unseen did pass; time that jumps under one's eyes did not.

let lastDate = Date.now();
let lastTick = performance.now();
let unseen = true;
let clockSet = 0;

function noticeJump(by) {
  state.jump += by;
  clockSet += by;
}

function practiceNow() {
  const date = Date.now();
  const tick = performance.now();
  const skew = date - lastDate - (tick - lastTick);
  if (skew < -SLACK || (skew > SLACK && !unseen)) noticeJump(skew);
  lastDate = date;
  lastTick = tick;
  unseen = document.hidden;
  return date - state.jump;
}

function checkReload() {
  // Date is all that is left after a reload: a clock that runs backwards was set.
  if (state.seen - Date.now() > SLACK && beganAt() <= state.seen - state.jump) noticeJump(Date.now() - state.seen);
}

function beganAt() {
  return state.began ?? state.planned;
}

function elapsed(now) {
  return (state.pausedAt ?? now) - beganAt() - state.paused;
}

function where(now) {
  const time = elapsed(now);
  let from = 0;
  if (time < 0) return { index: -1, into: time, left: -time, from };
  for (let index = 0; index < segments.length; index += 1) {
    const length = state.lengths[index];
    if (time < from + length) return { index, into: time - from, left: from + length - time, from };
    from += length;
  }
  return { index: segments.length, into: time - from, left: 0, from };
}

function startOf(index, now) {
  const before = state.lengths.slice(0, index).reduce((sum, one) => sum + one, 0);
  return beganAt() + state.paused + (state.pausedAt === null ? 0 : now - state.pausedAt) + before;
}

function secondsOf(index, now) {
  if (state.took[index] !== null) return Math.round(state.took[index] * 60);
  const from = state.lengths.slice(0, index).reduce((sum, one) => sum + one, 0);
  return Math.min(LONGEST, Math.round(Math.min(Math.max(elapsed(now) - from, 0), state.lengths[index]) / 1000));
}

// What the coach does; every step can be taken back.

function act(words, change) {
  const before = JSON.stringify(Object.fromEntries(CORE.map((key) => [key, state[key]])));
  change(state);
  state.undo = [...state.undo, [words, before]].slice(-STEPS_KEPT);
  keep();
}

function takeBack() {
  const [words, before] = state.undo.pop();
  const candidate = { ...state, ...JSON.parse(before) };
  if (sane(candidate)) state = candidate;
  keep();
  return words;
}

function startNow(now) {
  act("start", (it) => Object.assign(it, { began: now, paused: 0, pausedAt: null }));
}

function shift(now, by) {
  act(by > 0 ? "start 1 min later" : "start 1 min earlier", (it) => {
    it.began = beganAt() + by;
  });
}

function pause(now) {
  act(state.pausedAt === null ? "pause" : "go on", (it) => {
    if (it.pausedAt === null) {
      it.pausedAt = now;
    } else {
      it.paused += Math.max(0, now - it.pausedAt);
      it.pausedAt = null;
    }
  });
}

function skip(now) {
  const { index, into } = where(now);
  act("next", (it) => {
    it.lengths[index] = into < 1000 ? 0 : into;
  });
}

function addMinute(now) {
  const { index } = where(now);
  act("+1 min", (it) => {
    it.lengths[index] += MINUTE;
  });
}

function goBack(now) {
  // The drill before is not over after all: it has had the time since, and one minute more.
  const { index, into } = where(now);
  act("back", (it) => {
    it.lengths[index - 1] += into + MINUTE;
  });
}

function endNow(now) {
  const { index, into } = where(now);
  act("end of practice", (it) => {
    it.lengths = it.lengths.map((one, n) => (n < index ? one : n === index ? into : 0));
    it.paused += it.pausedAt === null ? 0 : now - it.pausedAt;
    it.pausedAt = null;
  });
}

function count(index, group, stopped) {
  if (state.counts[index][group][1] >= MOST) return;
  const named = segments[index].groups[group];
  act(`${stopped ? "+1" : "miss"}${named ? ", " + named : ""}`, (it) => {
    it.counts[index][group][0] += stopped ? 1 : 0;
    it.counts[index][group][1] += 1;
  });
}

// The file that `stopsheet log --from` reads.

function logText(now) {
  const began = new Date(beganAt() + state.jump);
  const two = (value) => String(value).padStart(2, "0");
  const rows = segments.map((one, index) => {
    const row = { seconds: secondsOf(index, now) };
    const sum = (place) => state.counts[index].reduce((all, pair) => all + pair[place], 0);
    if (sum(1) > 0 && row.seconds > 0) Object.assign(row, { stops: sum(0), tries: sum(1) });
    return row;
  });
  return JSON.stringify({
    file: "stopsheet-log",
    version: 1,
    made: plan.made,
    plan: plan.digest,
    date: plan.date,
    start: `${two(Math.floor(plan.start / 60))}:${two(plan.start % 60)}`,
    began: `${two(began.getHours())}:${two(began.getMinutes())}`,
    segments: rows,
    absent: state.absent,
    rating: state.rating,
  }, null, 1) + "\n";
}
