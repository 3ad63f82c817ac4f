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
  const rows = [...table.querySelectorAll("tr[data-sought]")].map((element) => {
    const page = element.querySelector(".page-of a").firstChild.textContent;
    return { element, page, ...JSON.parse(element.dataset.sought) };
  });
  const controls = new Map(), count = made("p", { className: "shown-rows" });
  count.setAttribute("role", "status");
  const all = made("button", { type: "button", textContent: "Show all" });
  const form = made("form", {});

  const asked = () => Object.fromEntries([...controls].map(([name, control]) => [name, control.value.trim()]).filter(([, value]) => value));

  function show() {
    const now = asked();
    let shown = 0;
    for (const row of rows) {
      row.element.hidden = !fits(row, now);
      if (!row.element.hidden) shown++;
    }
    for (const body of table.tBodies) body.hidden = !body.querySelector("tr[data-sought]:not([hidden])");
    const pages = Number(place.dataset.pages), here = `${rows.length} sequence${rows.length === 1 ? "" : "s"}`;
    const some = Object.keys(now).length > 0;
    count.textContent = `${some ? `${shown || "None"} of ` : ""}${here}${pages > 1 ? ` on this page; the ${pages - 1} other page${pages > 2 ? "s" : ""} with ${place.dataset.count - rows.length} ${pages > 2 ? "are" : "is"} not looked through` : ""}`;
    all.hidden = !some;
  }

  function read() {
    const said = location.hash.slice(1);
    if (said && !said.includes("=")) return; // a place on the page
    const now = new URLSearchParams(said);
    for (const [name, control] of controls) control.value = now.get(name) ?? "";
    for (const [, control] of controls) if (control.selectedIndex === -1) control.value = "";
    if (said) form.parentElement.open = true;
    show();
  }

  function changed() {
    const now = new URLSearchParams(asked()).toString();
    history.pushState(null, "", now ? `#${now}` : location.href.split("#")[0]);
    show();
  }

  for (const [name, [label, of]] of Object.entries(ASKED)) {
    const values = [...new Set(rows.flatMap(of))].sort((a, b) => a.localeCompare(b, undefined, { numeric: true }));
    if (!values.some((value) => rows.some((row) => !of(row).includes(value)))) continue; // all are alike in it
    const control = made("select", {}, made("option", { value: "", textContent: "any" }), ...values.map((value) => made("option", { value, textContent: value })));
    controls.set(name, control);
    form.append(made("label", {}, `${label} `, control));
  }
  const turns = made("input", { type: "number", min: 0, inputMode: "numeric" });
  controls.set("turns", turns);
  form.append(made("label", {}, "Turns, at most ", turns));
  form.addEventListener("change", changed);
  form.addEventListener("submit", (event) => event.preventDefault());
  all.addEventListener("click", () => {
    for (const control of controls.values()) control.value = "";
    changed();
    form.querySelector("select, input").focus();
  });
  const folded = made("details", { open: matchMedia("(min-width: 44rem)").matches }, made("summary", { textContent: "Filter" }), form);
  place.append(folded, made("div", { className: "looked-through" }, count, all));
  addEventListener("popstate", read);
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
