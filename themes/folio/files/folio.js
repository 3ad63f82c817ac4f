// Sorts a table by the column whose head is pressed. Without scripts the table stands in the guide's order.
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
  const body = table.tBodies[0];
  const rows = [...body.rows].map((row) => [valueOf(row, column), row]);
  rows.sort((a, b) => (rising ? 1 : -1) * compare(a[0], b[0]));
  body.append(...rows.map(([, row]) => row));
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
