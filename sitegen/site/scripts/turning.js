// Puzzles that turn on the page. What a puzzle is comes from files/turning/NAME.js, loaded when it is first asked
// for; what is to be turned stands in data attributes.
"use strict";

(() => {
  const FOLDER = new URL("turning/", document.currentScript.src);
  const SVG = "http://www.w3.org/2000/svg";
  const TURN = 700, REST = 130; // milliseconds at the usual speed, for the smallest turn
  const SPEEDS = [0.35, 0.6, 1, 1.6, 2.6];
  const STILL = matchMedia("(prefers-reduced-motion: reduce)");

  // Space: points are rows of three numbers, matrices three such rows.

  const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const apply = (m, p) => [dot(m[0], p), dot(m[1], p), dot(m[2], p)];
  const columns = (m) => [0, 1, 2].map((i) => [m[0][i], m[1][i], m[2][i]]);
  const product = (m, n) => m.map((row) => apply(columns(n), row));

  function rotation([x, y, z], angle) {
    const c = Math.cos(angle), s = Math.sin(angle), t = 1 - c;
    return [
      [t * x * x + c, t * x * y - s * z, t * x * z + s * y],
      [t * x * y + s * z, t * y * y + c, t * y * z - s * x],
      [t * x * z - s * y, t * y * z + s * x, t * z * z + c],
    ];
  }

  // The page: points are pairs, shapes are convex and go round once.

  const apart = (a, b) => Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2);
  const above = (a, b, p) => (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
  const middle = (shape) => [0, 1].map((i) => shape.reduce((sum, p) => sum + p[i], 0) / shape.length);

  const inset = (shape, by) => shape.map((at, i) => {
    const before = shape.at(i - 1), after = shape[(i + 1) % shape.length];
    const p = before[0] - at[0], q = before[1] - at[1], r = after[0] - at[0], s = after[1] - at[1];
    const a = Math.sqrt(p * p + q * q), b = Math.sqrt(r * r + s * s), both = Math.abs(p * s - q * r);
    const share = both > 1e-6 * a * b ? by / both : 0;
    return [at[0] + share * (p * b + r * a), at[1] + share * (q * b + s * a)];
  });

  function room(shape) {
    const at = middle(shape);
    return Math.min(...shape.map((b, i) => {
      const a = shape.at(i - 1);
      return Math.abs(above(a, b, at)) / (apart(a, b) || 1);
    }));
  }

  function hull(points) {
    const ordered = points.slice().sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    const chain = (list) => {
      const found = [];
      for (const p of list) {
        while (found.length > 1 && above(found.at(-2), found.at(-1), p) <= 1e-9) found.pop();
        found.push(p);
      }
      return found.slice(0, -1);
    };
    return [...chain(ordered), ...chain(ordered.reverse())];
  }

  const round = (x) => Math.round(x * 10) / 10;
  const at = (p) => `${round(p[0])} ${round(p[1])}`;
  const line = (points) => points.map(at).join("L");
  const closed = (shape) => `M${line(shape)}Z`;
  const oval = (shape) => `M${at(middle([shape.at(-1), shape[0]]))}` +
    shape.map((p, i) => `Q${at(p)} ${at(middle([p, shape[(i + 1) % shape.length]]))}`).join("");

  // A puzzle: a position says for each sticker of the solved puzzle in which slot it is.

  const loading = new Map();

  // What a file is made to, once for all who ask; the file is a script, which leaves what it says with its element.
  function loaded(folder, name, make, refused) {
    const src = new URL(`${name.split("/").map(encodeURIComponent).join("/")}.js`, folder).href;
    if (!loading.has(src)) {
      loading.set(src, new Promise((resolve, reject) => {
        const script = element("script", { src });
        script.onload = () => resolve(make(script));
        script.onerror = () => {
          loading.delete(src);
          script.remove();
          reject(new Error(refused));
        };
        document.head.append(script);
      }));
    }
    return loading.get(src);
  }

  const puzzle = (name) => loaded(FOLDER, name, (script) => unpacked(script.puzzle),
    `What is known of ${name} cannot be loaded; press again to try once more.`);

  function unpacked(said) {
    const points = (flat) => {
      const found = [];
      for (let i = 0; i < flat.length; i += 3) found.push(flat.slice(i, i + 3).map((x) => x / 10000));
      return found;
    };
    const slots = said.stickers.map(([face, ...flat]) => {
      const corners = points(flat);
      const centre = [0, 1, 2].map((i) => corners.reduce((sum, p) => sum + p[i], 0) / corners.length);
      return { face, corners, centre };
    });
    const pieces = said.names.map(() => []);
    said.pieces.forEach((piece, slot) => pieces[piece].push(slot));
    return { ...said, slots, edges: said.edges.map(points), places: pieces, of: said.pieces };
  }

  const { read } = globalThis.moves;

  const moves = (of, { axis, first, last }, slot) => of.layers[axis][slot] >= first && of.layers[axis][slot] <= last;

  function turned(of, position, turn) {
    const full = Math.round(360 / of.angle), goes = of.goes[turn.axis];
    const times = ((turn.amount % full) + full) % full;
    return position.map((slot) => {
      if (!moves(of, turn, slot)) return slot;
      for (let i = 0; i < times; i++) slot = goes[slot];
      return slot;
    });
  }

  const solved = (of) => of.slots.map((_, slot) => slot);

  // How a guarded piece fares: home if its place looks as it should, else where it is.
  function fares(of, position, has, piece, marked) {
    const slots = of.places[piece];
    const right = marked ? (slot) => has[slot] === slot : (slot) => of.slots[has[slot]].face === of.slots[slot].face;
    if (slots.every(right)) return ["home", slots];
    const at = slots.map((sticker) => position[sticker]);
    return [at.every((slot) => of.of[slot] === piece) ? "turned" : "away", at];
  }

  // A frame: layers between two cuts are convex, so that those further away are painted first.

  function slabs(of, turn, eye) {
    if (!turn) return [{ low: -Infinity, high: Infinity, holds: () => true, turns: false }];
    const way = of.axes[turn.axis], layers = of.layers[turn.axis];
    const high = of.depths[turn.first - 2] ?? Infinity, low = of.depths[turn.last - 1] ?? -Infinity;
    const parts = [
      { low: high, high: Infinity, holds: (slot) => layers[slot] < turn.first },
      { low, high, turns: true, holds: (slot) => moves(of, turn, slot) },
      { low: -Infinity, high: low, holds: (slot) => layers[slot] > turn.last },
    ].filter((part) => part.low < part.high);
    const at = dot(way, eye);
    const far = (part) => Math.max(part.low - at, at - part.high, 0);
    return parts.map((part) => ({ ...part, way })).sort((a, b) => far(b) - far(a));
  }

  function outline(of, { low, high, way }) {
    const found = [];
    for (const [p, q] of of.edges) {
      const a = way ? dot(way, p) : 0, b = way ? dot(way, q) : 0;
      for (const [point, height] of [[p, a], [q, b]]) if (height >= low && height <= high) found.push(point);
      for (const cut of [low, high]) {
        if ((a - cut) * (b - cut) < 0) found.push(p.map((x, i) => x + ((cut - a) / (b - a)) * (q[i] - x)));
      }
    }
    return found;
  }

  // `scene`: the puzzle, its position, a turn under way with the share of it that is done, the view, and what shows.
  function frame(scene) {
    const { of, position, turn, share, view, look } = scene;
    const has = [];
    position.forEach((slot, sticker) => (has[slot] = sticker));
    const eye = view[2].map((x) => x * of.far);
    const guards = new Map();
    for (const piece of look.guard) {
      const [kind, at] = fares(of, position, has, piece, look.marked);
      for (const slot of at) guards.set(slot, kind);
    }
    const rings = new Set(look.watch.flatMap((piece) => of.places[piece]));
    const part = (slab) => {
      const spin = slab.turns ? rotation(of.axes[turn.axis], (-turn.amount * share * of.angle * Math.PI) / 180) : null;
      const matrix = spin ? product(view, spin) : view;
      const seen = projection(of, matrix);
      const faces = of.faces.map(({ normal }) => {
        const ahead = of.far * dot(matrix[2], normal);
        return (ahead - 1) / Math.sqrt(1 - 2 * ahead + of.far ** 2);
      });
      const shapes = new Map();
      of.slots.forEach((slot, i) => {
        if (faces[slot.face] <= 0 || !slab.holds(i)) return;
        const shape = slot.corners.map(seen), flat = faces[slot.face] < of.flat;
        shapes.set(i, flat ? shape : inset(shape, of.rounding));
      });
      return `<path class="body" d="${closed(hull(outline(of, slab).map(seen)))}"/>` +
        stickers(of, look, has, shapes, faces) + grooves(of, guards, shapes) + letters(of, scene, has, shapes) +
        ringed(of, rings, has, shapes);
    };
    return slabs(of, turn, eye).map(part).join("") + trail(scene, projection(of, view));
  }

  const projection = (of, [across, up, ahead]) => (point) => {
    const near = (of.far / (of.far - dot(ahead, point))) * of.scale;
    return [dot(across, point) * near, -dot(up, point) * near];
  };

  // A path for each colour; those that are seen from the edge have no round corners, which would not fit.
  function stickers(of, look, has, shapes, faces) {
    const paths = new Map();
    let cores = "";
    for (const [slot, shape] of shapes) {
      const sticker = has[slot], own = of.faces[of.slots[sticker].face].colour;
      const colour = look.muted.has(sticker) ? "muted" : own;
      if (colour === "muted" && of.centres.includes(sticker)) cores += `<path class="${own}" d="${closed(inset(shape, of.core * room(shape)))}"/>`;
      const kind = `class="${colour}"${faces[of.slots[slot].face] < of.flat ? ' stroke-width="0"' : ""}`;
      paths.set(kind, (paths.get(kind) ?? "") + closed(shape));
    }
    const drawn = [...paths].map(([kind, d]) => `<path ${kind} d="${d}"/>`).join("");
    return `<g class="stickers" stroke-width="${2 * of.rounding}">${drawn}</g>` +
      (cores && `<g class="cores" stroke-width="${of.rounding}">${cores}</g>`);
  }

  function grooves(of, guards, shapes) {
    const width = of.line;
    let whole = "", broken = "";
    for (const [slot, shape] of shapes) {
      const kind = guards.get(slot);
      if (!kind) continue;
      const wide = room(shape), at = (by) => closed(inset(shape, by * wide));
      if (kind === "away") broken += at(of.groove);
      else whole += kind === "turned" ? of.double.map(at).join("") : at(of.groove);
    }
    const lines = (d, more) => d && [" under", ""].map((kind, i) =>
      `<path class="guard${kind}" stroke-width="${of["guard widths"][i] * width}"${more} d="${d}"/>`).join("");
    return lines(whole, "") + lines(broken, ` stroke-dasharray="${2 * width} ${2 * width}"`);
  }

  function letters(of, scene, has, shapes) {
    if (!scene.look.letters && !scene.lettered) return "";
    const [inside, broad, below] = of["letter shares"];
    const drawn = [...shapes].map(([slot, shape]) => {
      const [x, y] = middle(shape), word = of.faces[of.slots[has[slot]].face].letter;
      const high = Math.min(of.letter, (inside * room(shape)) / Math.max(1, broad * word.length));
      return `<text x="${round(x)}" y="${round(y + below * high)}" font-size="${round(high)}">${word}</text>`;
    });
    return `<g class="letters shown">${drawn.join("")}</g>`;
  }

  // How wide the light line below a mark is, and the mark.
  const marked = (of) => of["ring widths"].map((by) => by * of.line);

  function ringed(of, rings, has, shapes) {
    const [under, over] = marked(of);
    let d = "";
    for (const [slot, shape] of shapes) if (rings.has(has[slot])) d += oval(inset(shape, of.ring * room(shape)));
    return d && `<path class="ring under" stroke-width="${under}" d="${d}"/>` +
      `<path class="ring" stroke-width="${over}" d="${d}"/>`;
  }

  // The way of each watched piece so far, by the sticker that names it; broken where it runs behind the puzzle.
  function trail(scene, seen) {
    const { of, positions, done, turns, turn, share, view, look } = scene;
    let front = "", back = "";
    for (const piece of look.watch) {
      const sticker = of.places[piece][0];
      const add = (step, slot, part) => {
        if (!part || !moves(of, step, slot)) return;
        const whole = (-step.amount * of.angle * Math.PI) / 180, { centre, face } = of.slots[slot];
        const parts = Math.ceil(Math.abs(whole) * 8 * part), run = [];
        for (let i = 0; i <= parts; i++) {
          const spin = rotation(of.axes[step.axis], (whole * part * i) / parts);
          const out = apply(spin, centre), normal = apply(spin, of.faces[face].normal);
          run.push([seen(out.map((x) => 1.02 * x)), of.far * dot(view[2], normal) > 1]);
        }
        for (let i = 1; i < run.length; i++) {
          const piece = `M${line([run[i - 1][0], run[i][0]])}`;
          if (run[i][1]) front += piece; else back += piece;
        }
      };
      for (let i = 0; i < done; i++) add(turns[i], positions[i][sticker], 1);
      if (turn) add(turn, positions[done][sticker], share);
    }
    const [under, over] = marked(of);
    return (back && `<path class="went beyond" d="${back}"/>`) +
      (front && `<path class="went under" stroke-width="${under}" d="${front}"/>` +
        `<path class="went" stroke-width="${over}" d="${front}"/>`);
  }

  // A reader's wishes, kept in this browser.

  const kept = {
    get(key, otherwise) {
      try { return localStorage.getItem(`turning-${key}`) ?? otherwise; } catch { return otherwise; }
    },
    set(key, value) {
      try { localStorage.setItem(`turning-${key}`, value); } catch { /* a browser that keeps nothing */ }
    },
  };

  // Elements

  function element(name, attributes = {}, ...children) {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) {
      if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
      else if (value === true) made.setAttribute(key, "");
      else if (value !== false) made.setAttribute(key, value);
    }
    made.append(...children);
    return made;
  }

  const SIGNS = {
    start: "M4 4v12M15 4 9 10l6 6",
    back: "M13 4 7 10l6 6",
    play: "M5 3v14l12-7z",
    pause: "M5 3h4v14H5zM12 3h4v14h-4z",
    on: "M7 4l6 6-6 6",
    end: "M16 4v12M5 4l6 6-6 6",
    behind: "M4 8C5 4 15 4 16 8M16 12c-1 4-11 4-12 0M4 15v-3h3M16 5v3h-3",
    home: "M3 10 10 4l7 6M5 9v7h10V9",
    close: "M5 5l10 10M15 5 5 15",
  };

  function sign(name) {
    const drawn = document.createElementNS(SVG, "svg"), path = document.createElementNS(SVG, "path");
    drawn.setAttribute("viewBox", "0 0 20 20");
    drawn.setAttribute("aria-hidden", "true");
    drawn.setAttribute("class", `sign ${name}`);
    path.setAttribute("d", SIGNS[name]);
    drawn.append(path);
    return drawn;
  }

  const button = (name, words, onclick) =>
    element("button", { type: "button", title: words, "aria-label": words, onclick }, sign(name));

  // Marked as of no use, not switched off, or focus would be lost.
  const useless = (what, yes) => what.setAttribute("aria-disabled", yes);

  // The stage: the puzzle as it is seen, turned about by dragging and by keys.

  function stage(of, words, draw) {
    const drawing = document.createElementNS(SVG, "svg"), group = document.createElementNS(SVG, "g");
    const r = Math.ceil(of.reach);
    drawing.setAttribute("class", "puzzle");
    drawing.setAttribute("viewBox", `${-r} ${-r} ${2 * r} ${2 * r}`);
    drawing.setAttribute("aria-hidden", "true");
    drawing.append(group);
    const about = element("div", {
      class: "stage", tabindex: "0", role: "group",
      "aria-label": `${words}. Arrow keys turn the puzzle about, Home puts it back.`,
    }, drawing);
    // Whether letters are seen is for the sheet to say.
    const probe = document.createElementNS(SVG, "g");
    probe.setAttribute("class", "letters");
    drawing.append(probe);
    const held = { view: of.rows, lettered: false };
    const see = (view) => {
      held.view = view;
      draw();
    };
    const turn = (across, down) =>
      see(product(rotation([1, 0, 0], down), product(rotation([0, 1, 0], across), held.view)));
    // A finger that moves up or down scrolls the page, so that it turns the puzzle sideways alone.
    let from = null, before = null;
    about.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      from = [event.clientX, event.clientY];
      before = held.view;
      about.setPointerCapture(event.pointerId);
    });
    about.addEventListener("pointermove", (event) => {
      if (!from) return;
      const by = 4 / about.clientWidth;
      turn((event.clientX - from[0]) * by, event.pointerType === "touch" ? 0 : (event.clientY - from[1]) * by);
      from = [event.clientX, event.clientY];
    });
    about.addEventListener("pointerup", () => (from = null));
    about.addEventListener("pointercancel", () => {
      if (from) see(before);
      from = null;
    });
    about.addEventListener("keydown", (event) => {
      const ways = { ArrowLeft: [-0.26, 0], ArrowRight: [0.26, 0], ArrowUp: [0, -0.26], ArrowDown: [0, 0.26] };
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      if (event.key === "Home") see(of.rows);
      else if (event.key in ways) turn(...ways[event.key]);
      else return;
      event.preventDefault();
    });
    document.addEventListener("lettered", () => {
      if (!about.isConnected) return;
      held.lettered = getComputedStyle(probe).display !== "none";
      draw();
    });
    const views = [
      button("behind", "From the other side", () => see(product(rotation([0, 1, 0], Math.PI), held.view))),
      button("home", "As it was seen at first", () => see(of.rows)),
    ];
    return { about, held, views, show: (inner) => (group.innerHTML = inner) };
  }

  // Letters on all stickers, for whoever wants them or asks the system for contrast; remembered.

  function letterSwitch() {
    const page = document.documentElement;
    const set = (on) => {
      page.classList.toggle("lettered", on);
      pressed.setAttribute("aria-pressed", on);
      document.dispatchEvent(new Event("lettered"));
    };
    const pressed = element("button", { type: "button", class: "turn-it", onclick: () => {
      const on = !page.classList.contains("lettered");
      kept.set("letters", on ? "yes" : "no");
      set(on);
    } }, "Letters on stickers");
    set(kept.get("letters", "no") === "yes");
    document.querySelector(".letters-switch")?.append(pressed);
  }

  function lookOf(of, said) {
    const list = (text) => (text ? text.split(" ").map(Number) : []);
    const focus = said.focus === undefined ? null : new Set(list(said.focus));
    const muted = new Set(focus ? solved(of).filter((sticker) => !focus.has(of.of[sticker])) : []);
    return {
      muted, guard: list(said.guard), watch: list(said.watch), marked: "marked" in said, letters: "letters" in said,
    };
  }

  // A player: one sequence of turns, in parts where an author divides it, each with what is said of it.

  function player(of, said, words, close, sayings = []) {
    const parts = said.turns.split("|").map((text) => read(of, text));
    const turns = parts.flat();
    const start = said.start ? said.start.split(" ").map(Number) : solved(of);
    const positions = [start];
    for (const turn of turns) positions.push(turned(of, positions.at(-1), turn));
    const look = lookOf(of, said);
    let done = 0, under = null, playing = false, asked = 0;

    const set = stage(of, words, () => draw());
    const told = element("p", { class: "told", "aria-live": "polite" });
    const row = element("p", { class: "turns-row" });
    const each = turns.map((turn, i) =>
      element("button", { type: "button", "aria-label": turn.spoken, onclick: () => go(i + 1) }, turn.word));
    const saying = element("div", { class: "step-words", "aria-hidden": "true" });
    let at = 0;
    parts.forEach((part, number) => {
      if (number) row.append(element("span", { class: "parting", "aria-hidden": "true" }, "·"));
      for (const _ of part) {
        each[at].dataset.part = number;
        row.append(each[at++], " ");
      }
    });

    function draw() {
      const scene = { of, position: positions[done], positions, done, turns, look, ...set.held, turn: null, share: 0 };
      if (under) Object.assign(scene, { turn: under.turn, share: under.share });
      set.show(frame(scene));
    }

    function mark() {
      const current = under ? under.number : done - 1;
      each.forEach((one, i) => {
        one.classList.toggle("done", i < done);
        if (i === current) one.setAttribute("aria-current", "step"); else one.removeAttribute("aria-current");
      });
      if (sayings.length === parts.length) {
        const part = each[Math.max(current, 0)].dataset.part;
        saying.replaceChildren(sayings[part].cloneNode(true));
      }
      for (const one of [first, back]) useless(one, done === 0 && !under);
      for (const one of [on, end]) useless(one, done === turns.length && !under);
      const words = playing ? "Pause" : "Play";
      if (play.title === words) return;
      play.replaceChildren(sign(words.toLowerCase()));
      for (const name of ["title", "aria-label"]) play.setAttribute(name, words);
    }

    const speed = () => SPEEDS[Number(pace.value)];

    // Turns one layer, on or back, and goes on where it plays; a newer call ends an older one.
    function run(number, forwards, from = forwards ? 0 : 1) {
      const call = ++asked, turn = turns[number], length = TURN * Math.abs(turn.amount) ** 0.6;
      let last = performance.now(), gone = 0;
      done = number;
      under = { turn, number, forwards, share: from };
      mark();
      const arrive = () => {
        under = null;
        done = forwards ? number + 1 : number;
        const ends = done === turns.length ? "; at the end" : "";
        tell(forwards ? `${turn.spoken}${ends}` : `${turn.spoken} taken back`);
        mark();
        draw();
        next();
      };
      if (STILL.matches) return arrive();
      const tick = (now) => {
        if (call !== asked) return;
        gone += (Math.max(0, now - last) / length) * speed();
        last = Math.max(last, now);
        if (gone >= 1) return arrive();
        const eased = gone * gone * (3 - 2 * gone);
        under.share = forwards ? from + (1 - from) * eased : from * (1 - eased);
        draw();
        requestAnimationFrame(tick);
      };
      requestAnimationFrame(tick);
    }

    // One turn on or back: what is under way the other way turns round, what goes this way is there at once.
    function step(forwards) {
      if (under && under.forwards !== forwards) {
        const { number, share } = under;
        stop();
        return run(number, forwards, share);
      }
      const at = under ? under.number + (forwards ? 1 : 0) : done, number = forwards ? at : at - 1;
      stop();
      done = at;
      if (number in turns) return run(number, forwards);
      mark();
      draw();
    }

    const tell = (words) => (told.textContent = hears.checked ? words : "");

    function go(number) {
      stop();
      done = number;
      mark();
      draw();
      tell(number === 0 ? "at the start" : number === turns.length ? "at the end" : `after ${turns[number - 1].spoken}`);
    }

    function stop() {
      asked++;
      under = null;
      playing = false;
    }

    function next() {
      const call = asked;
      if (!playing) return;
      if (done === turns.length) { playing = false; mark(); return; }
      setTimeout(() => {
        if (playing && call === asked) run(done, true);
      }, (STILL.matches ? TURN : REST) / speed());
    }

    const first = button("start", "To the start", () => go(0));
    const back = button("back", "One turn back", () => step(false));
    // What is under way when it pauses is turned to its end.
    const play = button("play", "Play", () => {
      playing = !playing;
      if (playing && !under) {
        if (done === turns.length) done = 0;
        run(done, true);
      }
      mark();
    });
    const on = button("on", "One turn on", () => step(true));
    const end = button("end", "To the end", () => go(turns.length));
    const pace = element("input", { type: "range", min: "0", max: `${SPEEDS.length - 1}`, value: kept.get("speed", "2") });
    const paced = () => pace.setAttribute("aria-valuetext", `${speed()} times the usual`);
    pace.addEventListener("input", () => {
      kept.set("speed", pace.value);
      paced();
    });
    paced();
    const hears = element("input", { type: "checkbox" });
    hears.checked = kept.get("told", "yes") === "yes";
    hears.addEventListener("change", () => kept.set("told", hears.checked ? "yes" : "no"));

    const about = element("div", { class: "player", onkeydown: (event) => event.key === "Escape" && close() },
      set.about,
      element("div", { class: "controls" }, first, back, play, on, end,
        ...set.views,
        element("label", { class: "pace" }, "Speed ", pace),
        button("close", "Close", close)),
      row, saying, told,
      element("label", { class: "hears" }, hears, " Turns are told to screen readers"));
    set.about.addEventListener("keydown", (event) => {
      if (event.key === " ") { event.preventDefault(); play.click(); }
    });
    mark();
    draw();
    return { about, stop, first: play, begin: () => play.click() };
  }

  // Trying: the reader turns from a position; any turns that solve it do, however the puzzle is held then.

  // Each way to hold the puzzle, as a position of the solved one.
  function holds(of) {
    const layers = Math.max(...Object.values(of.layers).flat());
    const whole = Object.keys(of.axes).map((axis) => ({ axis, first: 1, last: layers, amount: 1 }));
    const found = new Map([[solved(of).join(), solved(of)]]);
    for (const position of found.values()) {
      for (const turn of whole) {
        if (of.goes[turn.axis].some((slot, i, all) => all.indexOf(slot) !== i)) continue;
        const next = turned(of, position, turn);
        found.set(next.join(), next);
      }
    }
    return [...found.values()];
  }

  // Which pieces are not where they belong, held so that fewest are, and of these which are only turned.
  function left(of, position, held) {
    const away = held.map((hold) => {
      const at = position.map((slot) => hold.indexOf(slot)), has = [];
      at.forEach((slot, sticker) => (has[slot] = sticker));
      return of.places.map((_, piece) => [piece, fares(of, at, has, piece, false)[0]]).filter(([, kind]) => kind !== "home");
    });
    return away.reduce((best, one) => (one.length < best.length ? one : best));
  }

  const MOST_NAMED = 8;

  const listed = (names) => (names.length > 1 ? `${names.slice(0, -1).join(", ")} and ${names.at(-1)}` : names[0]);

  function inWords(of, away) {
    if (!away.length) return "Everything is home.";
    const home = of.places.length - away.length, more = away.length - MOST_NAMED;
    const told = ["away", "turned"].map((kind) => [kind, away.slice(0, MOST_NAMED).filter((one) => one[1] === kind)])
      .filter(([, some]) => some.length)
      .map(([kind, some]) => `${listed(some.map(([piece]) => of.names[piece]))} ${some.length > 1 ? "are" : "is"} ${kind}`);
    if (more > 0) told.push(`${more} more ${more > 1 ? "are" : "is"} not home`);
    return `${home} of ${of.places.length} pieces ${home === 1 ? "is" : "are"} home; ${told.join("; ")}.`;
  }

  // Claims by single stickers: where each may come, which stays where nothing else is said.
  const claimsOf = (text) => JSON.parse(text).map(([words, asked]) => [words, asked.split(" ").map((one) => {
    const [from, to = from] = one.split(">");
    return [Number(from), to.split(",").map(Number)];
  })]);

  function bench(of, said, words, close, reached) {
    const start = said.start ? said.start.split(" ").map(Number) : solved(of);
    const held = holds(of), look = lookOf(of, said);
    let done = [], positions = [start], under = null, asked = 0;
    const set = stage(of, words, () => draw());
    const state = element("p", { class: "state", "aria-live": "polite" });
    const claims = said.claims ? claimsOf(said.claims) : [];
    const list = element("ul", { class: "followed", "aria-hidden": "true" }, ...claims.map(([words]) => element("li", {}, words)));
    const row = element("p", { class: "turns-row" });
    const typed = element("input", { type: "text", autocomplete: "off", autocapitalize: "off", spellcheck: "false" });

    function draw() {
      const scene = { of, position: positions.at(-1), positions, done: done.length, turns: done, look, ...set.held, turn: null, share: 0 };
      if (under) Object.assign(scene, { position: positions.at(-2), turn: under.turn, share: under.share, done: done.length - 1 });
      set.show(frame(scene));
    }

    function tell() {
      const away = left(of, positions.at(-1), held);
      row.textContent = done.map((turn) => turn.word).join(" ");
      for (const one of [undo, again]) useless(one, !done.length);
      const here = positions.at(-1), hold = claims.map(([, asked]) => asked.every(([from, to]) => to.includes(here[from])));
      hold.forEach((yes, i) => list.children[i].classList.toggle("holds", yes));
      const right = claims.length ? hold.every(Boolean) : !away.length;
      state.classList.toggle("solved", right);
      const count = `${done.length} turn${done.length > 1 ? "s" : ""}. `, met = hold.filter(Boolean).length;
      state.textContent = (claims.length ? `${met} of ${claims.length} claims about places ${met === 1 ? "holds" : "hold"}. ` : "") +
        (right && done.length ? (claims.length ? "Found, in " : "Solved in ") + count : "") + inWords(of, away);
      if (right && done.length) reached();
    }

    function add(turn) {
      const call = ++asked, length = (TURN * 0.6 * Math.abs(turn.amount) ** 0.6);
      done.push(turn);
      positions.push(turned(of, positions.at(-1), turn));
      const begun = performance.now();
      const tick = (now) => {
        if (call !== asked) return;
        const share = STILL.matches ? 1 : Math.min(1, Math.max(0, (now - begun) / length));
        under = share < 1 ? { turn, share: share * share * (3 - 2 * share) } : null;
        draw();
        if (under) requestAnimationFrame(tick);
      };
      tick(begun);
      tell();
    }

    function back(count) {
      if (!done.length) return;
      asked++;
      under = null;
      done = done.slice(0, done.length - count);
      positions = positions.slice(0, done.length + 1);
      tell();
      draw();
    }

    function enter(event) {
      event.preventDefault();
      const text = typed.value.replace(/[’′]/g, "'");
      try {
        read(of, text).forEach(add);
        typed.value = "";
      } catch (error) {
        state.textContent = `${error.message}: write turns with blanks between them.`;
      }
    }

    // What is left of the step in which the reader is, if the known way leads there.
    function hint() {
      if (state.classList.contains("solved")) return;
      const here = positions.at(-1).join();
      let at = start, next = null;
      for (const step of said.turns.split(" | ").map((part) => read(of, part))) {
        step.forEach((turn, i) => {
          if (at.join() === here) next = step.slice(i);
          at = turned(of, at, turn);
        });
      }
      state.replaceChildren(...(next
        ? ["The next step of a way that is known: ", element("code", { class: "moves", "aria-hidden": "true" }, next.map((turn) => turn.word).join(" ")), element("span", { class: "heard" }, next.map((turn) => turn.spoken).join(", "))]
        : ["This is off the way that is known. Undo, or start again, and ask then."]));
    }

    const undo = element("button", { type: "button", onclick: () => back(1) }, "Undo");
    const hints = said.turns ? [element("button", { type: "button", onclick: hint }, "Hint")] : [];
    const again = element("button", { type: "button", onclick: () => back(done.length) }, "Start again");
    const keys = [...of.buttons, ...said.more?.split(", ") ?? []].map((pair) => element("span", { class: "pair-of-turns" }, ...read(of, pair).map((turn) =>
      element("button", { type: "button", "aria-label": turn.spoken, onclick: () => add(turn) }, turn.word))));
    const about = element("div", { class: "player bench", onkeydown: (event) => event.key === "Escape" && close() },
      set.about,
      element("div", { class: "controls" }, ...set.views, undo, again, ...hints, button("close", "Close", close)),
      element("div", { class: "hand" }, ...keys),
      element("form", { class: "typed", onsubmit: enter }, element("label", {}, "Or type turns ", typed), element("button", { type: "submit" }, "Turn")),
      row, state, ...(claims.length ? [list] : []));
    tell();
    draw();
    return { about, first: keys[0].firstChild, begin: () => {}, stop: () => asked++ };
  }

  // Where something can be turned on the page: beneath figures, and behind moves in the text.

  // What a button opens and closes; the page stays where it is, also where a figure gives way to it.
  function opener(place, name, make, put) {
    let open = null;
    const still = (change) => {
      const before = place.getBoundingClientRect().top;
      change();
      scrollBy(0, place.getBoundingClientRect().top - before);
    };
    const close = () => {
      open.stop();
      still(() => open.about.remove());
      open = null;
      place.setAttribute("aria-expanded", "false");
      place.focus({ preventScroll: true });
    };
    place.setAttribute("aria-expanded", "false");
    place.addEventListener("click", async () => {
      if (open) return close();
      place.parentElement.querySelector(":scope > [role=alert]")?.remove();
      try {
        const of = await puzzle(name);
        if (open) return;
        open = make(of, close);
      } catch (error) {
        place.after(element("span", { role: "alert", class: "note" }, ` ${error.message}`));
        return;
      }
      still(() => put(open.about));
      document.dispatchEvent(new Event("lettered")); // where it stands it is known whether letters are seen
      place.setAttribute("aria-expanded", "true");
      open.first.focus({ preventScroll: true });
      open.about.scrollIntoView({ block: "nearest" });
      // Once it has been set and painted.
      requestAnimationFrame(() => requestAnimationFrame(() => open?.begin()));
    });
  }

  const wordsOf = (place) => place.closest("[aria-label]")?.getAttribute("aria-label") ?? document.title;

  // What was solved is known by its page and by its place among what can be tried there.
  function tried(place, number) {
    const said = place.dataset, key = `solved-${location.pathname}-${said.start ?? ""}-${number}`;
    const open = element("button", { type: "button", class: "turn-it" }, said.claims ? "Find turns of your own" : "Try it");
    const note = element("span", { class: "note solved-before" });
    const forget = element("button", { type: "button", class: "turn-it", onclick: () => { kept.set(key, ""); mark(); open.focus(); } }, "Forget it");
    const mark = () => {
      note.replaceChildren(...(kept.get(key, "") ? [said.claims ? " ✓ found before " : " ✓ solved before ", forget] : []));
    };
    const solve = () => {
      kept.set(key, "yes");
      mark();
    };
    place.append(open, note);
    mark();
    opener(open, said.puzzle, (of, close) => bench(of, said, wordsOf(place), close, solve), (about) => place.append(about));
  }

  function beneath(figures) {
    const said = figures.dataset;
    const place = element("button", { type: "button", class: "turn-it" }, sign("play"), "Play the turns");
    figures.append(place);
    const steps = figures.parentElement.querySelectorAll(".stage-words");
    const make = (of, close) => player(of, said, wordsOf(figures), close, steps);
    opener(place, said.puzzle, make, (about) => figures.append(about));
  }

  function heardOf(element) {
    const copy = element.cloneNode(true);
    copy.querySelectorAll("[aria-hidden]").forEach((written) => written.remove());
    return copy.textContent;
  }

  function behindCode(code) {
    const said = code.dataset, heard = heardOf(code), words = `Play ${heard}`;
    const place = element("button", { type: "button", class: "turn-it small", title: words, "aria-label": words }, sign("play"));
    code.after(place);
    const block = code.closest("table, p, li, dd, blockquote, h2, h3") ?? code.parentElement;
    const put = (about) => {
      let last = block;
      while (last.nextElementSibling?.matches(".player")) last = last.nextElementSibling;
      if (block.matches("li, dd")) block.append(about); else last.after(about);
    };
    opener(place, said.puzzle, (of, close) => player(of, said, heard, close), put);
  }

  letterSwitch();
  for (const figures of document.querySelectorAll("div.turning")) beneath(figures);
  document.querySelectorAll(".trying").forEach(tried);
  for (const code of document.querySelectorAll("code[data-turns]")) behindCode(code);

  // For scripts of themes, and for tests.
  globalThis.turning = { element, loaded, puzzle, read, turned, solved, frame, player, bench };
})();
