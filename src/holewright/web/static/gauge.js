// One question after the other at the gauge: G, N and U keys, and a queue for a lost network.
import { Queue } from "./queue.js";

const page = document.getElementById("gauge");
const data = JSON.parse(document.getElementById("gauge-data").textContent);
const form = document.getElementById("answer");
const SIGNS = { open: "", inside: "✓", outside: "✗", "not shown": "?", contradicts: "≠", waiting: "…" };
const $ = (name) => page.querySelector(`[data-show="${name}"]`);

const asks = data.asks;
const onePin = new URLSearchParams(location.search).get("gauge") || "";
const holes = new Map(Object.entries(data.holes));
const order = Array.from({ length: data.target }, (_, i) => `${Math.floor(i / data.per_part) + 1}-${(i % data.per_part) + 1}`);
const log = Object.values(data.holes).flatMap((hole) => hole.answers).sort((a, b) => a.id - b.id);

function holeOf(name) {
  if (!holes.has(name)) holes.set(name, { said: "open", answers: [] });
  return holes.get(name);
}

function openAsk(hole) {
  // Shown already, by whatever was used; what still waits for the book shows nothing.
  const settled = hole && (hole.said === "inside" || hole.said === "outside");
  if (settled && hole.answers.every((answer) => answer.id)) return null;
  for (const ask of asks) {
    const given = hole?.answers.filter((answer) => answer.gauge === ask.gauge).at(-1);
    if (!given) return ask;
    if (ask.use === "GO" && !given.goes) return null;
  }
  return null;
}

function next() {
  for (const name of order) {
    const ask = openAsk(holes.get(name));
    if (ask) return { name, ask: onePin ? { gauge: onePin, use: "", why: "Chosen by you." } : ask };
  }
  return null;
}

// What can be said before the book has answered: nothing is called inside that waits.
function guess(hole) {
  if (hole.answers.some((answer) => !answer.id)) return "waiting";
  return hole.answers.length ? hole.said : "open";
}

function show() {
  const now = next();
  document.getElementById("all-done").hidden = Boolean(now) || !asks.length;
  if (form) form.hidden = !now;
  const [part, number] = (now?.name ?? order.at(-1)).split("-").map(Number);
  if (now && form) {
    $("part").textContent = part;
    $("hole").textContent = number;
    $("gauge").textContent = now.ask.gauge;
    $("use").textContent = now.ask.use;
    $("why").textContent = now.ask.why;
    form.elements.hole.value = now.name;
    form.elements.asked.value = now.ask.gauge;
  }
  const states = [...holes].map(([name, hole]) => [name, guess(hole)]);
  const count = (...said) => states.filter(([, state]) => said.includes(state)).length;
  $("done").textContent = order.filter((name) => guess(holeOf(name)) !== "open").length;
  $("inside").textContent = count("inside");
  $("outside").textContent = count("outside");
  $("unsure").textContent = count("not shown", "contradicts");
  showMap(part, now ? number : 0);
  showParts(states);
  const undo = document.querySelector("#undo button");
  if (undo) undo.disabled = !log.length;
}

function showMap(part, asked) {
  for (let n = 1; n <= data.per_part; n++) {
    const group = document.querySelector(`#map .n${n}`);
    if (!group) return;
    const hole = holes.get(`${part}-${n}`);
    const said = hole ? guess(hole) : "open";
    group.setAttribute("class", `hole n${n} ${said.replace(" ", "-")}${n === asked ? " asked" : ""}`);
    group.querySelector("text").textContent = SIGNS[said] || n;
  }
}

function showParts(states) {
  const marks = new Map();
  for (const [name, said] of states) {
    const [part, number] = name.split("-").map(Number);
    if (!marks.has(part)) marks.set(part, Array(data.per_part).fill("·"));
    if (said !== "open") marks.get(part)[number - 1] = SIGNS[said];
  }
  for (const place of document.querySelectorAll("#parts [data-part]")) {
    place.textContent = (marks.get(Number(place.dataset.part)) ?? []).join("");
  }
}

function words(answer) {
  const what = answer.goes === null || answer.goes === undefined ? answer.words : answer.goes ? "goes" : "does not go";
  return ` hole ${answer.hole}, ${answer.gauge} ${what}`;
}

function tell(state, answer, waits) {
  const line = document.getElementById("saved");
  const strong = document.createElement("span");
  strong.className = "state";
  strong.textContent = state;
  line.replaceChildren(strong, answer ? words(answer) : "");
  line.classList.toggle("waits", waits);
}

const queue = new Queue(`holewright gauge ${data.job} ${data.run}`, {
  saved(item, said) {
    if (item.kind === "back") return;
    const hole = holeOf(item.body.hole);
    const answer = log.find((one) => one.key === item.key);
    if (answer) answer.id = said.id;
    hole.said = said.said;
    if (answer && answer === log.at(-1)) tell("Saved", answer, false);
    show();
  },
  refused(item, text) {
    forget(item.key);
    problem(`Not taken: ${text}`);
    show();
  },
  state(waiting, why) {
    const place = document.getElementById("offline");
    place.hidden = !why;
    if (why) {
      const many = waiting === 1 ? "1 answer waits" : `${waiting} answers wait`;
      place.textContent = `${why} ${many} on this tablet and will be sent by itself. Keep this page open and go on.`;
    } else if (place.dataset.was) {
      place.hidden = false;
      place.textContent = "Connected again: everything is saved.";
      setTimeout(() => (place.hidden = true), 4000);
    }
    place.dataset.was = why ? "yes" : "";
    const last = log.at(-1);
    if (last && !last.id) tell("Waits", last, true);
  },
});

function problem(text) {
  const place = document.getElementById("refused");
  place.textContent = text;
  place.hidden = !text;
}

function forget(key) {
  const at = log.findIndex((answer) => answer.key === key);
  if (at < 0) return null;
  const [answer] = log.splice(at, 1);
  const hole = holeOf(answer.hole ?? [...holes].find(([, one]) => one.answers.includes(answer))?.[0]);
  hole.answers = hole.answers.filter((one) => one !== answer);
  hole.said = hole.answers.length ? "not shown" : "open";
  return answer;
}

function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function number(text) {
  return Number(String(text).replace(",", ".").replace(/[^\d.+-]/g, ""));
}

function take(goes, size = null, gauge = null, said = "") {
  const now = next();
  if (!now || !form) return;
  problem("");
  const answer = { key: newKey(), hole: now.name, gauge: gauge ?? now.ask.gauge, goes, size_mm: size, words: said };
  log.push(answer);
  holeOf(now.name).answers.push(answer);
  const body = {
    hole: answer.hole,
    gauge: answer.gauge,
    goes,
    size_mm: size,
    part_c: number(form.elements.part_c.value),
    gauge_c: number(form.elements.gauge_c.value),
    run: data.run,
  };
  tell("Saving", answer, true);
  queue.add({ kind: "answer", key: answer.key, url: `/api/v1/jobs/${data.job}/readings`, body });
  show();
}

function back() {
  const answer = log.at(-1);
  if (!answer) return;
  forget(answer.key);
  const waited = queue.drop(answer.key);
  if (!waited) {
    queue.add({ kind: "back", key: newKey(), of: answer.key, id: answer.id ?? null, job: data.job });
  }
  tell("Taken back:", answer, false);
  show();
}

// A size goes through the server's own reader of lengths, so it is sent as a form.
form?.addEventListener("submit", (event) => {
  const what = event.submitter?.value;
  if (what === "goes" || what === "stays") {
    event.preventDefault();
    take(what === "goes");
  }
});
document.getElementById("undo").addEventListener("submit", (event) => {
  event.preventDefault();
  back();
});
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
  if (event.target.closest("input, select, textarea, dialog[open]")) return;
  const key = event.key.toLowerCase();
  if ((key === "g" || key === "n") && form && !form.hidden && form.querySelector(".answer")) take(key === "g");
  else if (key === "u") back();
  else return;
  event.preventDefault();
});

for (const [name, hole] of holes) for (const answer of hole.answers) answer.hole = name;
for (const item of queue.items) {
  if (item.kind !== "answer" || log.some((one) => one.key === item.key)) continue;
  const answer = { key: item.key, hole: item.body.hole, gauge: item.body.gauge, goes: item.body.goes };
  log.push(answer);
  holeOf(answer.hole).answers.push(answer);
}
show();
queue.send();
