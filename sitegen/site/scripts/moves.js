// Moves as people write them, to turns one by one. What can be written of a puzzle is in files/turning/NAME.js.
"use strict";

(() => {
  const MOST = 10000; // turns that are read at once

  // What is written: turns, (groups), [commutators, these] and [conjugates: these]; behind each a number and a prime.
  function read(of, text) {
    const full = Math.round(360 / of.angle);
    const names = Object.keys({ ...of.turns, ...of.letters }).sort((a, b) => b.length - a.length).map((name) => name.replace(/\W/g, "\\$&"));
    const token = RegExp(`\\s*(?:([[(,:])|(${names.join("|")}|[)\\]]|$)(\\d{0,9})(['’′]?))\\s*`, "y");
    let at = 0;
    const fail = () => {
      const word = text.slice(at).trim().split(/\s/)[0];
      throw new Error(word ? `${word} is no turn of this puzzle` : "A bracket is not closed");
    };
    const turn = (axis, first, last, amount) => Object.entries(of.turns)
      .filter(([, to]) => to[0] === axis && to[1] === first && to[2] === last && (to[3] - amount) % full === 0)
      .map(([word, to]) => ({ word, axis, first, last, amount: to[3], spoken: to[4] }));
    const times = (row, count) => {
      const once = count < 0 ? row.map((one) => turn(one.axis, one.first, one.last, -one.amount)[0]).reverse() : row;
      if (once.length * Math.abs(count) > MOST) throw new Error(`These are more than ${MOST} turns`);
      return once.length ? Array(Math.abs(count)).fill(once).flat() : [];
    };
    const series = (ends) => {
      let row = [];
      for (;;) {
        token.lastIndex = at;
        const [all, opening, closing, number, prime] = token.exec(text) ?? fail(), sign = opening ?? closing;
        const count = (number || 1) * (prime ? -1 : 1);
        if (!ends.includes(sign) && [",", ":", ")", "]", ""].includes(sign)) fail();
        at += all.length;
        if (ends.includes(sign)) return { row, sign, count };
        if (sign === "(") {
          const body = series([")"]);
          row = row.concat(times(body.row, body.count));
        } else if (sign === "[") {
          const a = series([",", ":"]), b = series(["]"]), end = a.sign === "," ? times(b.row, -1) : [];
          row = row.concat(times([...a.row, ...b.row, ...times(a.row, -1), ...end], b.count));
        } else {
          const [axis, first, last, amount] = of.turns[of.letters[sign] ?? sign];
          const ways = turn(axis, first, last, amount * count);
          row.push(...ways.filter(({ word }) => word === all.trim()).concat(ways).slice(0, 1));
        }
      }
    };
    return series([""]).row;
  }

  globalThis.moves = { read };
})();
