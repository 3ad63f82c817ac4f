// On each page that the preview serves: what is wrong, where a card was written, and the newest site in place of
// an older one. It stands in a tree of its own, so that it and the theme do not change each other's look.

const OWN = "/.preview/";
const PLACE = "turnfolio preview: place";
const CARDS = ".card, .practice";
const mine = document.querySelector(`script[src="${OWN}preview.js"]`).dataset.revision;
const stays = document.body.dataset.guide !== undefined;

// The reader's place ----------------------------------------------------------------------------------------

// By what stands at the upper edge of the window, since what is above may have become longer.
function rememberPlace() {
  const above = [...document.querySelectorAll("main [id]")].filter((each) => each.getBoundingClientRect().top < 80);
  const at = above.pop();
  const place = {
    path: location.pathname,
    y: scrollY,
    id: at?.id,
    top: at?.getBoundingClientRect().top,
    open: [...document.querySelectorAll("details")].map((each) => each.open),
  };
  sessionStorage.setItem(PLACE, JSON.stringify(place));
}

function returnToPlace() {
  const place = JSON.parse(sessionStorage.getItem(PLACE) ?? "null");
  sessionStorage.removeItem(PLACE);
  if (place?.path !== location.pathname) return;
  const details = [...document.querySelectorAll("details")];
  if (details.length === place.open.length) details.forEach((each, at) => { each.open = place.open[at]; });
  const scroll = () => {
    const at = place.id && document.getElementById(place.id);
    if (at) scrollBy({ top: at.getBoundingClientRect().top - place.top, behavior: "instant" });
    else scrollTo({ top: place.y, behavior: "instant" });
  };
  scroll();
  // The browser would go to the old place in the new page, and does so at the end of loading.
  addEventListener("load", () => {
    scroll();
    setTimeout(() => { history.scrollRestoration = "auto"; }, 200);
  }, { once: true });
}

function showNewest() {
  if (stays) {
    document.dispatchEvent(new Event("republished"));
    return;
  }
  rememberPlace();
  history.scrollRestoration = "manual";
  location.reload();
}

// The panel -------------------------------------------------------------------------------------------------

const host = document.createElement("aside");
const root = host.attachShadow({ mode: "open" });
const sheet = document.createElement("link");
sheet.rel = "stylesheet";
sheet.href = `${OWN}panel.css`;
const panel = document.createElement("div");
const tag = document.createElement("p");
tag.className = "tag";
tag.setAttribute("role", "status");
tag.hidden = true;
root.append(sheet, panel, tag);
document.body.append(host);

let drawn = 0;
async function drawPanel() {
  const number = ++drawn;
  const answer = await fetch(`${OWN}panel?page=${encodeURIComponent(decodeURIComponent(location.pathname))}`);
  if (!answer.ok) return;
  const html = await answer.text();
  if (number !== drawn) return;
  const before = panel.querySelector("details");
  const within = before?.contains(root.activeElement);
  const was = { open: before?.open, wrong: panel.querySelector(".wrong") !== null };
  panel.innerHTML = html;
  const now = panel.querySelector("details");
  if (before && was.wrong === (panel.querySelector(".wrong") !== null)) now.open = was.open;
  if (within) now.querySelector("summary").focus();
}

// Where a card was written ----------------------------------------------------------------------------------

// Those without a name are told by their order, if there are as many cards as blocks.
function placeOf(card) {
  const places = [...panel.querySelectorAll("[data-place]")];
  const named = places.find((each) => each.dataset.anchor && each.dataset.anchor === card.id);
  if (named) return named.dataset.place;
  const cards = [...document.querySelectorAll(CARDS)].filter((each) => !each.parentElement.closest(CARDS));
  return cards.length === places.length ? places[cards.indexOf(card)].dataset.place : undefined;
}

function cardAt(element) {
  const anchors = [...panel.querySelectorAll("[data-anchor]")].map((each) => each.dataset.anchor);
  for (let each = element; each; each = each.parentElement) {
    if (each.id && anchors.includes(each.id)) return each;
    if (each.matches(CARDS) && !each.parentElement.closest(CARDS)) return each;
  }
  return null;
}

document.addEventListener("click", (event) => {
  if (event.target === host) return;
  tag.hidden = true;
  if (stays || event.target.closest("a, button, summary, input, select, textarea, .player")) return;
  const card = String(getSelection()) ? null : cardAt(event.target);
  const place = card && placeOf(card);
  if (!place) return;
  const box = card.getBoundingClientRect();
  tag.textContent = place;
  tag.hidden = false;
  tag.style.top = `${Math.max(8, box.top - tag.offsetHeight) + scrollY}px`;
  tag.style.left = `${Math.max(8, box.left) + scrollX}px`;
});
document.addEventListener("keydown", (event) => { if (event.key === "Escape") tag.hidden = true; });

// News ------------------------------------------------------------------------------------------------------

// A page that nobody sees listens to nothing: browsers keep few connections to one server.
let news = null;
let known = mine;
function listen() {
  if (document.hidden) {
    news?.close();
    news = null;
  } else if (!news) {
    news = new EventSource(`${OWN}events`);
    news.onmessage = (event) => {
      const state = JSON.parse(event.data);
      if (state.revision !== known) {
        known = state.revision;
        showNewest();
      }
      drawPanel();
    };
  }
}

document.addEventListener("visibilitychange", listen);
returnToPlace();
listen();
