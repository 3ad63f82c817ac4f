// Scratch paper: asks the server what is to be said of the lines, and keeps a list in the browser.

const OWN = "/.preview/scratch/";
const GUIDE = document.body.dataset.guide;
const LIST = `turnfolio scratch list: ${GUIDE}`;
const LINES = `turnfolio scratch lines: ${GUIDE}`;
const PAUSE = 40;
const MOST_KEPT = 200;
const at = (id) => document.getElementById(id);
const writing = at("writing");

async function ask(path, sent, signal) {
  const answer = await fetch(OWN + path, {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(sent), signal,
  });
  const text = await answer.text();
  if (!answer.ok) throw new Error(text.trim() || `the preview answered with ${answer.status}`);
  return text;
}

function read(name, otherwise) {
  try { return JSON.parse(localStorage.getItem(name)) ?? otherwise; } catch { return otherwise; }
}

// A browser may be set to keep nothing.
function store(name, value) {
  try { localStorage.setItem(name, JSON.stringify(value)); } catch { /* then nothing is kept */ }
}

function lines() {
  return {
    moves: at("moves").value, claims: at("claims").value, puzzle: at("puzzle").value, view: at("view").value,
    marked: at("marked").checked,
  };
}

function write(kept) {
  at("moves").value = kept.moves ?? "";
  at("claims").value = kept.claims ?? "";
  for (const name of ["puzzle", "view"]) {
    if ([...at(name).options].some((option) => option.value === kept[name])) at(name).value = kept[name];
  }
  at("marked").checked = kept.marked === true;
}

// What the moves do -----------------------------------------------------------------------------------------

let waiting = 0;
let asking = null;
let telling = 0;

async function show() {
  asking?.abort();
  const own = asking = new AbortController();
  store(LINES, lines());
  try {
    const html = await ask("answer", lines(), own.signal);
    const open = at("answer").querySelector("details")?.open;
    at("answer").innerHTML = html;
    const mirrors = at("answer").querySelector("details");
    if (mirrors && open) mirrors.open = true;
    at("told").textContent = "";
    tell();
  } catch (error) {
    if (error.name !== "AbortError") at("told").textContent = `No answer: ${error.message}`;
  }
}

function heardOf(element) {
  const copy = element?.cloneNode(true);
  copy?.querySelectorAll("[aria-hidden]").forEach((written) => written.remove());
  return copy?.textContent ?? "";
}

// Said aloud once typing has come to rest, in a few words.
function tell() {
  clearTimeout(telling);
  telling = setTimeout(() => {
    const wrong = at("answer").querySelector(".problem");
    const faults = at("answer").querySelectorAll(".seen .false").length;
    const does = heardOf(at("does"));
    at("spoken").textContent = wrong ? "The moves cannot be read." : faults ? `${does} Claims that do not hold: ${faults}.` : does;
  }, 700);
}

function showSoon() {
  clearTimeout(waiting);
  waiting = setTimeout(show, PAUSE);
}

// The list --------------------------------------------------------------------------------------------------

function button(text, label, press) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.setAttribute("aria-label", label);
  made.addEventListener("click", press);
  return made;
}

function showList() {
  const kept = read(LIST, []);
  at("kept-none").hidden = kept.length > 0;
  at("kept").replaceChildren(...kept.map((each, number) => {
    const item = document.createElement("li");
    const moves = document.createElement("code");
    moves.className = "moves";
    moves.textContent = each.moves;
    const claims = document.createElement("span");
    claims.className = "note";
    claims.textContent = [each.puzzle, ...(each.claims ?? "").split("\n").filter(Boolean)].join("; ");
    item.append(
      moves, claims,
      button("Write it above", `Write ${each.moves} above`, () => { write(each); show(); at("moves").focus(); }),
      button("Take off", `Take ${each.moves} off the list`, () => {
        const left = read(LIST, []);
        left.splice(number, 1);
        store(LIST, left);
        showList();
        (at("kept").querySelector("button") ?? at("moves")).focus();
      }),
    );
    return item;
  }));
}

function keep(entry) {
  if (!entry.moves.trim()) return;
  const kept = read(LIST, []).filter((each) => JSON.stringify(each) !== JSON.stringify(entry));
  store(LIST, [entry, ...kept].slice(0, MOST_KEPT));
  showList();
  at("told").textContent = "Kept on the list.";
}

// Finding ---------------------------------------------------------------------------------------------------

const AGAIN = 300; // milliseconds
let search = 0;

async function find(event) {
  event.preventDefault();
  const own = ++search;
  at("stop").disabled = false;
  at("seeking").textContent = "Searching…";
  at("found").replaceChildren();
  const { claims, puzzle, marked } = lines();
  const longest = at("longest").value === "" ? null : Number(at("longest").value);
  const sent = {
    claims, puzzle, marked, longest, faces: at("faces").value, slices: at("slices").checked, wide: at("wide").checked,
  };
  try {
    const html = await ask("find", sent);
    if (own !== search) return;
    at("found").innerHTML = html;
    at("seeking").textContent = at("found").querySelector(".effect")?.textContent ?? "What is asked cannot be searched for.";
  } catch (error) {
    if (own === search) at("seeking").textContent = `No answer: ${error.message}`;
  }
  if (own === search) {
    const within = document.activeElement === at("stop");
    at("stop").disabled = true;
    if (within) at("find").focus();
  }
}

// To stop may be heard before what it is to end has begun, and is said again until that has ended.
async function stop() {
  const own = search;
  while (own === search && !at("stop").disabled) {
    await ask("stop", {}).catch(() => {});
    await new Promise((done) => setTimeout(done, AGAIN));
  }
}

// What was found is the answer to what was asked, and to nothing that is written afterwards.
function forget(event) {
  if (!at("stop").disabled || ["moves", "view"].includes(event.target.id)) return;
  at("found").replaceChildren();
  at("seeking").textContent = "";
}

// What can be pressed ---------------------------------------------------------------------------------------

async function copy(id) {
  try {
    await navigator.clipboard.writeText(at(id).textContent);
    at("told").textContent = "The block is copied.";
  } catch {
    const range = document.createRange();
    range.selectNodeContents(at(id));
    getSelection().removeAllRanges();
    getSelection().addRange(range);
    at("told").textContent = "The block is selected.";
  }
}

at("main").addEventListener("click", (event) => {
  const { use, keep: kept, copy: copied } = event.target.closest("button")?.dataset ?? {};
  if (use !== undefined) {
    at("moves").value = use;
    show();
    at("moves").focus();
  }
  if (kept !== undefined) keep({ ...lines(), moves: kept });
  if (copied !== undefined) copy(copied);
});
writing.addEventListener("input", showSoon);
for (const form of [writing, at("finding")]) form.addEventListener("input", forget);
writing.addEventListener("submit", (event) => { event.preventDefault(); keep(lines()); });
at("clear").addEventListener("click", () => { write({}); show(); at("moves").focus(); });
at("finding").addEventListener("submit", find);
at("stop").addEventListener("click", stop);
document.addEventListener("republished", show);

write(read(LINES, {}));
showList();
show();
