// Sorts a table by the column whose head is pressed, and shows of its rows those that are asked for. Without scripts
// the table stands in the guide's order, and whole.
"use strict";

function valueOf(row, column) {
  const text = row.cells[column].textContent.trim();
  return /^\d+$/.test(text) ? Number(text) : text.toLowerCase();
}

function compare(a, b) {
  if (typeof a === typeof b) return a < b ? -1 : a > b ? 1 : 0;
  return typeof a === "number" ? -1 : 1;
}

function sortBy(table, column, head) {
  const rising = head.getAttribute("aria-sort") !== "ascending";
  for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
  head.setAttribute("aria-sort", rising ? "ascending" : "descending");
  for (const body of table.tBodies) {
    const rows = [...body.querySelectorAll("tr:not(.group)")].map((row) => [valueOf(row, column), row]);
    rows.sort((a, b) => (rising ? 1 : -1) * compare(a[0], b[0]));
    body.append(...rows.map(([, row]) => row));
  }
}

// On narrow screens rows are set as blocks, and some browsers then forget that this is a table.
function keepTable(table) {
  const roles = { THEAD: "rowgroup", TBODY: "rowgroup", TR: "row", TD: "cell" };
  table.setAttribute("role", "table");
  for (const part of table.querySelectorAll("thead, tbody, tr, th, td")) {
    const head = part.scope === "col" ? "columnheader" : "rowheader";
    part.setAttribute("role", roles[part.tagName] ?? head);
  }
}

for (const table of document.querySelectorAll("table.sortable")) {
  keepTable(table);
  [...table.tHead.rows[0].cells].forEach((head, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    button.addEventListener("click", () => sortBy(table, column, head));
    head.append(button);
  });
}

// Filters: what is asked for stands in the address behind #, so that it can be linked to, and taken back.

const ASKED = {
  puzzle: ["Puzzle", (row) => [row.puzzle]],
  does: ["What it does", (row) => row.does.map((done) => done.split(" ")[0])],
  piece: ["To which pieces", (row) => row.does.map((done) => done.slice(done.indexOf(" ") + 1))],
  keeps: ["Keeps", (row) => row.keeps],
  tag: ["Tag", (row) => row.tags],
  page: ["Page", (row) => [row.page]],
};

function made(tag, properties, ...inside) {
  const found = Object.assign(document.createElement(tag), properties);
  found.append(...inside);
  return found;
}

function fits(row, asked) {
  const { does, piece, turns, ...others } = asked;
  // Both are asked of the same piece: what flips edges and twists corners flips no corners.
  if ((does || piece) && !row.does.some((done) => (!does || done.startsWith(`${does} `)) && (!piece || done.endsWith(` ${piece}`)))) return false;
  return (!turns || row.length <= turns) && Object.entries(others).every(([name, value]) => !value || ASKED[name][1](row).includes(value));
}

function withFilters(place, table) {
  const rows = [...table.querySelectorAll("tr[data-sought]")].map((element) => ({ element, ...JSON.parse(element.dataset.sought) }));
  const { count: whole, part, parts } = place.dataset, many = parts > 1, folder = new URL(`${place.dataset.rows}/`, location.href);
  const controls = new Map(), count = made("p", { className: "shown-rows" });
  count.setAttribute("role", "status");
  const all = made("button", { type: "button", textContent: "Show all" });
  const form = made("form", {});
  let others = [], hindered = "", looking = null; // the other pages of a long table, with their rows

  const asked = () => Object.fromEntries([...controls].map(([name, control]) => [name, control.value.trim()]).filter(([, value]) => value));
  const counted = (number) => Number(number).toLocaleString("en");

  // What is found on other pages, each with the way to it by which the same is asked there.
  function elsewhere(now) {
    if (hindered || !others.length) return [`; ${hindered || "the others are being looked through"}`];
    const found = others.map((other) => [other, other.rows.filter((row) => fits(row, now)).length]).filter(([, some]) => some);
    const sum = found.reduce((total, [, some]) => total + some, 0);
    const ways = found.flatMap(([other, some], at) => [
      at ? ", " : ": ",
      made("a", { href: `${new URL(`../../${other.path}`, folder)}#${new URLSearchParams(now)}`, textContent: `${other.first}–${other.last}` }),
      ` (${some})`,
    ]);
    return [`; ${sum ? counted(sum) : "none"} of ${counted(whole - rows.length)} on the others`, ...ways];
  }

  function show() {
    const now = asked(), some = Object.keys(now).length > 0;
    let shown = 0;
    for (const row of rows) {
      row.element.hidden = !fits(row, now);
      if (!row.element.hidden) shown++;
    }
    for (const body of table.tBodies) body.hidden = !body.querySelector("tr[data-sought]:not([hidden])");
    const here = `${rows.length} sequence${rows.length === 1 ? "" : "s"}${many ? " on this page" : ""}`;
    if (!some) count.textContent = many ? `${here}, ${counted(whole - rows.length)} on others` : here;
    else count.replaceChildren(`${shown || "None"} of ${here}`, ...(many ? elsewhere(now) : []));
    all.hidden = !some;
  }

  function lookElsewhere() {
    if (!many || looking) return;
    const numbers = Array.from({ length: parts }, (_, at) => at + 1).filter((number) => number !== Number(part));
    const load = (number) => turning.loaded(folder, String(number), (script) => script.says, "the others cannot be looked through");
    looking = Promise.all(numbers.map(load)).then(
      (found) => ({ others: found, hindered: "" }),
      (error) => ({ others: [], hindered: error.message }),
    ).then((known) => {
      ({ others, hindered } = known);
      if (hindered) looking = null;
      offer();
      take(true);
      show();
    });
  }

  // What the address asks for; nothing where it leads to a place on the page. What a reader has entered may be kept.
  function take(keeping) {
    const said = location.hash.includes("=") ? new URLSearchParams(location.hash.slice(1)) : new URLSearchParams();
    for (const [name, control] of controls) if (!keeping || !control.value) control.value = said.get(name) ?? "";
    for (const [, control] of controls) if (control.selectedIndex === -1) control.value = "";
    return [...said].length > 0;
  }

  function read() {
    if (location.hash && !location.hash.includes("=")) return;
    if (take()) {
      form.parentElement.open = true;
      lookElsewhere();
    }
    show();
  }

  function changed() {
    const now = new URLSearchParams(asked()).toString();
    history.pushState(null, "", now ? `#${now}` : location.href.split("#")[0]);
    lookElsewhere();
    show();
  }

  // The values that may be asked for; what all rows are alike in is not asked.
  function offer() {
    const every = [...rows, ...others.flatMap((other) => other.rows)];
    for (const [name, [, of]] of Object.entries(ASKED)) {
      const control = controls.get(name), value = control.value;
      const values = [...new Set(every.flatMap(of))].sort((a, b) => a.localeCompare(b, undefined, { numeric: true }));
      control.replaceChildren(made("option", { value: "", textContent: "any" }), ...values.map((each) => made("option", { value: each, textContent: each })));
      control.value = value;
      control.parentElement.hidden = !values.some((each) => every.some((row) => !of(row).includes(each)));
    }
  }

  for (const [name, [label]] of Object.entries(ASKED)) {
    controls.set(name, made("select", {}));
    form.append(made("label", {}, `${label} `, controls.get(name)));
  }
  const turns = made("input", { type: "number", min: 0, inputMode: "numeric" });
  controls.set("turns", turns);
  form.append(made("label", {}, "Turns, at most ", turns));
  form.addEventListener("change", changed);
  form.addEventListener("submit", (event) => event.preventDefault());
  all.addEventListener("click", () => {
    for (const control of controls.values()) control.value = "";
    changed();
    form.querySelector("label:not([hidden]) :is(select, input)").focus();
  });
  const folded = made("details", { open: matchMedia("(min-width: 44rem)").matches }, made("summary", { textContent: "Filter" }), form);
  for (const nearing of ["pointerenter", "focusin"]) folded.addEventListener(nearing, lookElsewhere);
  place.append(folded, made("div", { className: "looked-through" }, count, all));
  addEventListener("popstate", read);
  offer();
  show();
  read();
}

const filters = document.querySelector(".filters"), listed = document.querySelector("table.sortable");
if (filters && listed) withFilters(filters, listed);

// Whether all columns are shown is remembered where the browser lets pages remember anything.
const columns = document.querySelector(".columns input");
if (columns) {
  const NAME = "all columns";
  try {
    columns.checked = localStorage.getItem(NAME) === "yes";
    columns.addEventListener("change", () => localStorage.setItem(NAME, columns.checked ? "yes" : "no"));
  } catch { /* nothing is remembered */ }
}

// A long list of contents beside the text begins where the reader is.
const contents = document.querySelector(".contents"), here = contents?.querySelector("[aria-current]");
if (here && contents.scrollHeight > contents.clientHeight) contents.scrollTop = here.offsetTop - contents.clientHeight / 3;

// Figures of a sequence's page as files that need no page: each part's look is written on it.
{
  const SVG = "http://www.w3.org/2000/svg";
  const LOOKS = [
    "display", "fill", "stroke", "stroke-width", "stroke-linejoin", "stroke-linecap", "stroke-dasharray",
    "paint-order", "font-family", "font-size", "font-weight", "text-anchor",
  ];
  const ACROSS = 1920; // pixels of a picture

  function standingAlone(figure, across) {
    const copy = figure.cloneNode(true);
    const parts = [[figure, copy]];
    figure.querySelectorAll("*").forEach((each, i) => parts.push([each, copy.querySelectorAll("*")[i]]));
    for (const [seen, made] of parts) {
      const look = getComputedStyle(seen);
      if (seen !== figure && !["title", "desc"].includes(seen.tagName)) {
        for (const name of LOOKS) made.setAttribute(name, look.getPropertyValue(name));
      }
      made.removeAttribute("class");
    }
    const { width, height } = figure.viewBox.baseVal;
    copy.setAttribute("xmlns", SVG);
    copy.setAttribute("width", across);
    copy.setAttribute("height", Math.round((across * height) / width));
    return new XMLSerializer().serializeToString(copy);
  }

  async function picture(svg) {
    const image = new Image();
    image.src = `data:image/svg+xml,${encodeURIComponent(svg)}`;
    await image.decode();
    const canvas = Object.assign(document.createElement("canvas"), { width: image.width, height: image.height });
    canvas.getContext("2d").drawImage(image, 0, 0);
    return new Promise((resolve) => canvas.toBlob(resolve, "image/png"));
  }

  function save(content, name) {
    const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(content), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }

  function savers(figure, called, file) {
    const said = document.createElement("li");
    const button = (ending, make) => {
      const made = document.createElement("button");
      made.type = "button";
      made.textContent = ending.toUpperCase();
      made.setAttribute("aria-label", `Save “${called}” as ${made.textContent}`);
      made.addEventListener("click", async () => save(await make(standingAlone(figure, ACROSS)), `${file}.${ending}`));
      return made;
    };
    said.append(`${called} `, button("svg", (text) => new Blob([text], { type: "image/svg+xml" })), " ", button("png", picture));
    return said;
  }

  const large = document.querySelector(".sequence-page .large");
  if (large) {
    const page = decodeURI(location.pathname).split("/").pop().replace(/\.html$/, "");
    const saving = document.createElement("details"), summary = document.createElement("summary");
    const list = document.createElement("ul");
    saving.className = "saving";
    summary.textContent = "Save figures";
    for (const figure of large.querySelectorAll("figure")) {
      const view = figure.closest("[data-view]")?.dataset.view;
      const caption = figure.querySelector("figcaption")?.textContent.trim() || "figure";
      const called = view ? `${caption}, ${view}` : caption;
      const drawn = figure.querySelector("svg.puzzle");
      if (drawn) list.append(savers(drawn, called, `${page}-${called.replace(/[^\p{L}\p{N}]+/gu, "-")}`));
    }
    saving.append(summary, list);
    if (list.children.length) large.append(saving);
  }
}
