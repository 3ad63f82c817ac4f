// Finds pages, headings, tags and sequences: by their words, by what they do, and by moves that do the same. What is
// searched through lies in files/search/, of which a page loads the little that is asked for.
"use strict";

(() => {
  const PARTS = new URL("search/", document.currentScript.src), SITE = new URL("../", document.currentScript.src);
  const MOST = 12, WIDEST = 8; // so many are listed; so many files are loaded for words that begin alike
  const CALLED = [8, 5], BESIDE = [3, 1]; // what the whole word counts, and the beginning of one
  const HELP = "Words, turns as in R U R' U', or what they do, as in “flips two edges” or “keeps D”.";

  const place = document.querySelector(".finder");
  if (!place) return;

  const { element, loaded } = turning;
  const part = (path) => loaded(PARTS, path, (script) => script.says, "What is searched through cannot be loaded; type again to try once more.");

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
    const kinds = Object.values(head.kinds);
    const words = said.filter((word) => !head.joints.includes(word)).map((word) => {
      const count = head.numbers.indexOf(word) + 1;
      return count ? `${count}` : own(head.kinds, word) ?? word;
    });
    if (words.some((word) => head.limits.includes(word))) return [`:${[verb, ...words].join(" ")}`];
    return [`:${verb}`, ...words.map((word, i) => `:${verb} ${word}${/^\d+$/.test(word) && kinds.includes(words[i + 1]) ? ` ${words[i + 1]}` : ""}`)];
  }

  // What is meant by words: what something is called, and from each verb on what moves do.
  async function byWords(head, text) {
    const words = text.normalize("NFD").replace(/\p{M}/gu, "").match(/[\p{L}\p{N}]+(?:-[\p{L}\p{N}]+)*/gu) ?? [];
    const verbOf = (word) => own(head.verbs, word.toLowerCase()), first = words.findIndex(verbOf);
    const called = (some) => all(head, some.flatMap((word) => word.toLowerCase().split("-")), true);
    const found = await called(words);
    if (first < 0) return found;
    const before = words.slice(0, first), clauses = [];
    for (const word of words.slice(first)) if (verbOf(word)) clauses.push([verbOf(word)]); else clauses.at(-1).push(word);
    // Names may be typed without capitals.
    const does = async (said) => {
      const terms = (change) => said.flatMap(([verb, ...rest]) => statement(head, verb, rest.map(change)));
      const typed = await all(head, terms((word) => word), false);
      return typed.size ? typed : all(head, terms((word) => {
        const low = word.toLowerCase();
        return own(head.kinds, low) || [head.numbers, head.joints, head.limits].flat().includes(low) ? low : word.toUpperCase();
      }), false);
    };
    if (!before.length) return either(found, await does(clauses));
    const those = await called(before), both = [...await does(clauses)].filter(([number]) => those.has(number));
    // “UF is flipped”
    return either(either(found, new Map(both)), await does([[clauses[0][0], ...before, ...clauses[0].slice(1)], ...clauses.slice(1)]));
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

  const seenAs = (of, sticker) => of.looks[sticker] ?? sticker;

  // For each slot the look of the sticker that came there, in each of these ways.
  function looks(of, position) {
    const has = inverse(position);
    return waysOf(of).map(({ to, from }) => from.map((slot) => seenAs(of, to[has[slot]])));
  }

  // The same as in family.py: pairs of a slot and a look count as much as what symmetries make of them.

  const weights = new Map();

  function weightsOf(of) {
    if (!weights.has(of)) {
      const size = of.slots.length, numbers = Array(size * size);
      let count = 0;
      for (let pair = 0; pair < numbers.length; pair++) {
        if (numbers[pair]) continue;
        numbers[pair] = ++count;
        for (const { to } of waysOf(of)) numbers[to[Math.floor(pair / size)] * size + seenAs(of, to[pair % size])] ??= count;
      }
      weights.set(of, numbers);
    }
    return weights.get(of);
  }

  const family = (head, of, look) => look.reduce((sum, there, slot) => (sum + weightsOf(of)[slot * look.length + there] ** 3) % head.prime, 0);

  const digest = (head, look) => look.reduce((sum, slot) => (((sum * 256 + (slot >> 8)) % head.prime) * 256 + (slot & 255)) % head.prime, 0);

  async function byMoves(head, text) {
    const found = [];
    for (const [name, { files, signs }] of Object.entries(head.puzzles)) {
      if (/^[a-z]{2,}$/.test(text) || [...text].some((sign) => !/[\s\d'’′()[\],:]/.test(sign) && !signs.includes(sign))) continue;
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
      const seen = looks(of, home), number = family(head, of, seen[0]);
      const base = (list) => list.map((look) => digest(head, look).toString(36));
      const homes = base(seen), wholes = base(looks(of, whole));
      const there = (await part(`moves/${name}/${number % files}`))[number.toString(36)] ?? [];
      for (const one of there) {
        const [at, place, truly = at] = one.split(","), same = wholes.indexOf(truly);
        const way = waysOf(of)[same < 0 ? homes.indexOf(at) : same];
        if (way) found.push({ number: parseInt(place, 36), order: way.order + (same < 0 ? 4 : 0), why: same < 0 ? `${way.words}, but for a turning of the whole puzzle at the end` : way.words });
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

  const field = element("input", { type: "search", placeholder: "Search", "aria-label": "Search this guide", autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
  const state = element("p", { class: "state", role: "status" }), list = element("ol");
  const shown = element("div", { class: "found-here", hidden: true }, state, list);
  const form = element("form", { class: "search", role: "search" }, field, shown);
  let asked = 0, answered = Promise.resolve();

  function hit({ kind, title, url, about, moves: written, spoken, why }) {
    return element("li", {}, element("a", { href: url },
      element("span", { class: "called", lang: document.documentElement.lang }, title), " ", element("span", { class: "kind" }, about ? `${kind} ${about}` : kind), " ",
      element("code", { class: "moves", "aria-hidden": spoken ? "true" : false }, written ?? ""), element("span", { class: "heard" }, spoken ?? ""), " ",
      element("span", { class: "why" }, why)));
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
