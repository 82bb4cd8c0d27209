// The end of practice: what is put right, and the log that goes home.

let clearing = false;

function buildDone() {
  const rows = segments.map((one, index) => {
    const fields = make("div", "fields", numberField("Minutes", index, "took"));
    one.groups.forEach((named, group) => {
      const who = named ? `${named}: ` : "";
      fields.append(numberField(`${who}${one.counts}`, index, `0 ${group}`), numberField(`${who}of`, index, `1 ${group}`));
    });
    const name = make("p", "", one.title);
    name.dir = "auto";
    const row = make("div", "tale", name, fields);
    row.setAttribute("role", "group");
    row.setAttribute("aria-label", one.title);
    return row;
  });
  $("done").replaceChildren(...rows);
}

function numberField(words, index, what) {
  const input = make("input", "");
  Object.assign(input, { type: "number", min: "0", max: what === "took" ? "300" : "999", step: what === "took" ? "any" : "1" });
  input.inputMode = what === "took" ? "decimal" : "numeric";
  input.dataset.field = `${index} ${what}`;
  input.addEventListener("change", () => {
    noteField(input, index, what);
    render();
  });
  return make("label", "", make("span", "", words), input);
}

function noteField(input, index, what) {
  const value = Number(input.value);
  const told = input.value.trim() !== "" && Number.isFinite(value);
  const most = Number(input.max);
  if (what === "took") {
    act("minutes", (it) => {
      it.took[index] = told ? Math.min(Math.max(value, 0), most) : null;
    });
    return;
  }
  const [place, group] = what.split(" ").map(Number);
  act("count", (it) => {
    const pair = it.counts[index][group];
    pair[place] = told ? Math.round(Math.min(Math.max(value, 0), most)) : 0;
    if (pair[0] > pair[1]) pair[1 - place] = pair[place];
  });
}

function renderFinish(now, at) {
  for (const input of document.querySelectorAll("[data-field]")) {
    if (input === document.activeElement) continue;
    const [index, what, group] = input.dataset.field.split(" ");
    const value = what === "took" ? Math.round(secondsOf(Number(index), now) / 6) / 10 : state.counts[index][group][what];
    if (input.value !== String(value)) input.value = String(value);
  }
  for (const box of document.querySelectorAll("[name=absent]")) box.checked = state.absent.includes(box.value);
  for (const box of document.querySelectorAll("[name=rating]")) box.checked = state.rating === Number(box.value);
  const running = at.index >= 0 && at.index < segments.length;
  $("end").hidden = !running;
  put($("finish-state"), at.index < 0 ? "The practice has not begun." : running ? "The practice is still on; what has not been run yet counts as not run." : "Correct what differs, then save the log.");
  if (!$("text").hidden) put($("text"), logText(now));
}

function download(now) {
  const link = make("a", "");
  const url = URL.createObjectURL(new Blob([logText(now)], { type: "application/json" }));
  link.href = url;
  link.download = `stopsheet-log-${plan.date}-${JSON.parse(logText(now)).start.replace(":", "")}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), MINUTE);
  say("Log saved to this phone's downloads.");
}

async function copy(now) {
  const text = $("text");
  text.hidden = false;
  text.value = logText(now);
  try {
    await navigator.clipboard.writeText(text.value);
    say("Log copied.");
  } catch {
    text.focus();
    text.select();
    say("Press and hold the text to copy it.");
  }
}

function clearAll() {
  put($("clear"), clearing ? "Clear everything noted here" : "Really clear? Press again");
  if (clearing) {
    state = fresh();
    shown = null;
    keep();
    say("Everything noted here is cleared.");
  }
  clearing = !clearing;
}
