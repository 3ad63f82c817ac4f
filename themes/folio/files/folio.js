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
