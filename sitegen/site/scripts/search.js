// Finds pages, headings, tags and sequences: by their words, by what they do, and by moves that do the same. What is
// searched through lies in files/search/, of which a page loads the little that is asked for.
"use strict";

(() => {
  const PARTS = new URL("search/", document.currentScript.src), SITE = new URL("../", document.currentScript.src);
  const MOST = 12, WIDEST = 8; // so many are listed; so many files are loaded for words that begin alike
  const CALLED = [8, 5], BESIDE = [3, 1]; // what the whole word counts, and the beginning of one
  const KINDS = { page: "Page", heading: "Heading", tag: "Tag", sequence: "Sequence" };
  const HELP = "Words, turns as in R U R' U', or what they do, as in “flips two edges” or “keeps D”.";

  const place = document.querySelector(".finder");
  if (!place) return;

  const loading = new Map();

  function part(path) {
    if (!loading.has(path)) {
      loading.set(path, new Promise((resolve, reject) => {
        const script = document.createElement("script");
        script.src = new URL(`${path.split("/").map(encodeURIComponent).join("/")}.js`, PARTS);
        script.onload = () => {
          resolve(script.says);
          script.remove();
        };
        script.onerror = () => {
          loading.delete(path);
          script.remove();
          reject(new Error("What is searched through cannot be loaded; type again to try once more."));
        };
        document.head.append(script);
      }));
    }
    return loading.get(path);
  }

  // Words: what stands for each is in files in the order of all words, of which the first ones are known.

  // How many of a sorted list come before a word, or are it.
  function upTo(list, word) {
    let low = 0, high = list.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (list[middle] <= word) low = middle + 1; else high = middle;
    }
    return low;
  }

  function numbers(steps) {
    let at = 0;
    return steps ? steps.split(",").map((step) => (at += parseInt(step, 36))) : [];
  }

  // What a term stands for, with how much it counts; of words that are called by their beginnings too.
  async function places(head, term, begins) {
    const found = new Map(), first = Math.max(0, upTo(head.words, term) - 1);
    const last = begins ? Math.min(upTo(head.words, `${term}\uffff`) - 1, first + WIDEST - 1) : first;
    const add = (steps, worth) => {
      for (const number of numbers(steps)) found.set(number, Math.max(worth, found.get(number) ?? 0));
    };
    for (let file = first; file <= last; file++) {
      const words = await part(`words/${file}`);
      for (const word of begins ? Object.keys(words) : [term]) {
        if (!Object.hasOwn(words, word) || !word.startsWith(term)) continue;
        const [called, beside] = words[word].split(";"), how = word === term ? 0 : 1;
        add(called, CALLED[how]);
        add(beside, BESIDE[how]);
      }
    }
    return found;
  }

  async function all(head, terms, begins) {
    let found = null;
    for (const term of terms) {
      const more = await places(head, term, begins && term.length > 1);
      found = found ? new Map([...found].filter(([number]) => more.has(number)).map(([number, worth]) => [number, worth + more.get(number)])) : more;
      if (!found.size) break;
    }
    return found ?? new Map();
  }

  const either = (one, other) => new Map([...other, ...[...one].map(([number, worth]) => [number, Math.max(worth, other.get(number) ?? 0)])]);

  const own = (table, word) => (Object.hasOwn(table, word) ? table[word] : undefined);

  // The terms of what is said with a verb; the same rules as `statement` in index_terms.py.
  function statement(head, verb, said) {
    const words = said.filter((word) => !head.joints.includes(word)).map((word) => {
      const count = head.numbers.indexOf(word) + 1;
      return count ? `${count}` : own(head.kinds, word) ?? word;
    });
    if (words.some((word) => head.limits.includes(word))) return [`:${[verb, ...words].join(" ")}`];
    return [`:${verb}`, ...words.map((word, i) => {
      const counts = /^\d+$/.test(word) && Object.values(head.kinds).includes(words[i + 1]);
      return `:${verb} ${word}${counts ? ` ${words[i + 1]}` : ""}`;
    })];
  }

  // What is meant by words: what something is called, and from each verb on what moves do.
  async function byWords(head, text) {
    const plain = text.toLowerCase().normalize("NFD").replace(/\p{M}/gu, "");
    const words = plain.match(/[\p{L}\p{N}]+(?:-[\p{L}\p{N}]+)*/gu) ?? [];
    const verbs = words.filter((word) => own(head.verbs, word));
    let found = await all(head, words.flatMap((word) => word.split("-")), true);
    if (!verbs.length) return found;
    const called = words.slice(0, words.indexOf(verbs[0])), rest = words.slice(called.length), terms = [];
    while (rest.length) {
      const verb = own(head.verbs, rest.shift()), end = rest.findIndex((word) => own(head.verbs, word));
      terms.push(...statement(head, verb, rest.splice(0, end < 0 ? rest.length : end)));
    }
    const does = await all(head, terms, false), named = called.flatMap((word) => word.split("-"));
    if (!called.length) return either(found, does);
    const those = await all(head, named, true);
    found = either(found, new Map([...does].filter(([number]) => those.has(number))));
    // “UF and UR are flipped”: the verb comes last.
    if (verbs.length > 1) return found;
    return either(found, await all(head, statement(head, own(head.verbs, verbs[0]), words.filter((word) => word !== verbs[0])), false));
  }

  // Moves: what is typed is turned, and seen in every way that the puzzle can be held, and in mirrors.

  const ways = new Map();

  function waysOf(of) {
    if (!ways.has(of)) {
      const still = turning.solved(of), found = new Map([[still.join(), { to: still, mirrored: false }]]);
      const steps = Object.entries(of.symmetries).flatMap(([kind, some]) => some.map((to) => [to, kind === "mirrored"]));
      for (const way of found.values()) {
        for (const [step, mirrors] of steps) {
          const to = way.to.map((slot) => step[slot]), key = to.join();
          if (!found.has(key)) found.set(key, { to, mirrored: way.mirrored !== mirrors });
        }
      }
      const known = [...found.values()].map((way) => ({ ...way, from: inverse(way.to), ...told(of, way) }));
      ways.set(of, known.sort((a, b) => a.order - b.order));
    }
    return ways.get(of);
  }

  function inverse(to) {
    const from = [];
    to.forEach((slot, i) => (from[slot] = i));
    return from;
  }

  // A mirror alone is undone by itself, and leaves something where it is.
  function told(of, { to, mirrored }) {
    const across = of.slots[0].centre.every((x, i) => Math.abs(x + of.slots[to[0]].centre[i]) < 1e-3);
    const plain = to.every((slot, i) => to[slot] === i) && !across;
    if (mirrored) return plain ? { order: 2, words: "in a mirror" } : { order: 3, words: "in a mirror and turned" };
    return to.every((slot, i) => slot === i) ? { order: 0, words: "the same effect" } : { order: 1, words: "turned" };
  }

  // For each slot the look of the sticker that came there, in each of these ways.
  function looks(of, position) {
    const has = inverse(position);
    return waysOf(of).map(({ to, from }) => from.map((slot) => of.looks[to[has[slot]]] ?? to[has[slot]]));
  }

  const least = (all) => all.reduce((a, b) => {
    const i = a.findIndex((slot, n) => slot !== b[n]);
    return i >= 0 && b[i] < a[i] ? b : a;
  });

  // The same as in family.py.
  const digest = (head, look) => look.reduce((sum, slot) => (((sum * 256 + (slot >> 8)) % head.prime) * 256 + (slot & 255)) % head.prime, 0);

  async function byMoves(head, text) {
    const found = [];
    for (const [name, { files, signs }] of Object.entries(head.puzzles)) {
      if (!/[^a-z\s]/.test(text) || [...text].some((sign) => !/[\s\d'’′()[\],:]/.test(sign) && !signs.includes(sign))) continue;
      const of = await turning.puzzle(name);
      let turns;
      try {
        turns = moves.read(of, text);
      } catch {
        continue;
      }
      if (!turns.length) continue;
      const whole = turns.reduce((at, turn) => turning.turned(of, at, turn), turning.solved(of));
      const moved = of.centres.some((slot) => whole[slot] !== slot);
      const back = moved && waysOf(of).find((way) => !way.mirrored && of.centres.every((slot) => way.to[whole[slot]] === slot));
      const home = back ? whole.map((slot) => back.to[slot]) : whole;
      const seen = looks(of, home), family = digest(head, least(seen));
      const base = (list) => list.map((look) => digest(head, look).toString(36));
      const homes = base(seen), wholes = base(looks(of, whole));
      const there = (await part(`moves/${name}/${family % files}`))[family.toString(36)] ?? [];
      for (const one of there) {
        const [at, number, truly = at] = one.split(","), same = wholes.indexOf(truly);
        const way = waysOf(of)[same < 0 ? homes.indexOf(at) : same];
        if (way) found.push({ number: parseInt(number, 36), order: way.order + (same < 0 ? 4 : 0), why: same < 0 ? `${way.words}, but for a turning of the whole puzzle at the end` : way.words });
      }
    }
    return found.sort((a, b) => a.order - b.order || a.number - b.number);
  }

  // All that is found, the best first; `list` are the first of it, as they are shown.
  async function search(text, most = MOST) {
    const head = await part("head"), same = await byMoves(head, text), seen = new Set(same.map((one) => one.number));
    const named = [...await byWords(head, text)].filter(([number]) => !seen.has(number)).sort((a, b) => b[1] - a[1] || a[0] - b[0]);
    const every = [...same, ...named.map(([number]) => ({ number, why: "" }))];
    const list = await Promise.all(every.slice(0, most).map(async ({ number, why }) => {
      const [kind, title, url, about, written, spoken] = (await part(`found/${Math.floor(number / head["at once"])}`))[number % head["at once"]];
      return { kind, title, url: new URL(url, SITE).href, about, moves: written, spoken, why };
    }));
    return { count: every.length, list };
  }

  // The field, and below it what is found: links in a list, which the arrow keys go through.

  function element(name, attributes = {}, ...children) {
    const made = Object.assign(document.createElement(name), attributes);
    made.append(...children);
    return made;
  }

  const field = element("input", { type: "search", placeholder: "Search", autocomplete: "off", spellcheck: false });
  field.setAttribute("aria-label", "Search this guide");
  field.setAttribute("autocapitalize", "off");
  const state = element("p", { className: "state" }), list = element("ol");
  state.setAttribute("role", "status");
  const shown = element("div", { className: "found-here", hidden: true }, state, list);
  const form = element("form", { className: "search" }, field, shown);
  form.setAttribute("role", "search");
  let asked = 0, answered = Promise.resolve();

  function hit({ kind, title, url, about, moves: written, spoken, why }) {
    const what = about ? `${KINDS[kind]} ${kind === "heading" ? "in" : "of"} ${about}` : KINDS[kind];
    const link = element("a", { href: url }, element("span", { className: "called" }, title), " ", element("span", { className: "kind" }, what));
    if (written) {
      const code = element("code", { className: "moves" }, written);
      if (spoken) code.setAttribute("aria-hidden", "true");
      link.append(" ", code, ...(spoken ? [element("span", { className: "heard" }, spoken)] : []));
    }
    if (why) link.append(" ", element("span", { className: "why" }, why));
    return element("li", {}, link);
  }

  async function look() {
    const call = ++asked, text = field.value.trim();
    shown.hidden = false;
    if (!text) {
      list.replaceChildren();
      state.textContent = HELP;
      return part("head").catch(() => {});
    }
    try {
      const { count, list: hits } = await search(text);
      if (call !== asked) return;
      list.replaceChildren(...hits.map(hit));
      state.textContent = !count ? `Nothing is found. ${HELP}` : count > hits.length ? `The first ${hits.length} of ${count}` : `${count} found`;
    } catch (error) {
      if (call !== asked) return;
      list.replaceChildren();
      state.textContent = error.message;
    }
  }

  const close = () => {
    shown.hidden = true;
  };
  const again = () => (answered = look());

  field.addEventListener("input", again);
  field.addEventListener("focus", again);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    await answered;
    list.querySelector("a")?.click();
  });
  form.addEventListener("focusout", ({ relatedTarget }) => form.contains(relatedTarget) || close());
  list.addEventListener("click", close);
  form.addEventListener("keydown", (event) => {
    const links = [...list.querySelectorAll("a")], at = links.indexOf(document.activeElement);
    if (event.key === "Escape" && !shown.hidden) {
      field.focus();
      close();
    } else if (event.key === "ArrowDown" && links[at + 1]) links[at + 1].focus();
    else if (event.key === "ArrowUp" && at >= 0) (links[at - 1] ?? field).focus();
    else return;
    event.preventDefault();
  });
  place.append(form);

  // For scripts of themes, and for whoever wants to see what is found.
  globalThis.searching = { search };
})();
