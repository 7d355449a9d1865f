/* agree.js - replays a walk of the reference interpreter with the evaluator
 * of the trainer's page:
 *
 *     node agree.js LOGIC.json WALK
 *
 * LOGIC.json: the logic, and the numbers of the roots that are compared.
 * WALK: per scan a byte (1: from power-up), the value index of each choice
 * in two bytes, a byte (0 judged, 1 refused by an assumption, 2 ended by an
 * error) and, in four bytes, what all compared values hash to.
 */
"use strict";

const fs = require("fs");
const path = require("path");
const {Logic} = require(path.join(__dirname,
                                  "../../src/present/evaluator.js"));

const said = JSON.parse(fs.readFileSync(process.argv[2], "utf8"));
const walk = fs.readFileSync(process.argv[3]);
const logic = new Logic(said.logic);
const data = said.logic;
const roots = said.watches.map(i => data.watches[i]).concat(
  said.values.map(i => data.values[i]));
const errors = data.watches.slice(said.first_error);
const rows = logic.choices.length;

function mix(hash, word) {
  return Math.imul(hash ^ word, 16777619);
}

/* Both halves of 64 bits. */
function add(hash, value) {
  if (typeof value === "bigint")
    return mix(mix(hash, Number(BigInt.asIntN(32, value))),
               Number(BigInt.asIntN(32, value >> 32n)));
  return mix(mix(hash, value | 0), Math.floor(value / 4294967296) | 0);
}

function end() {
  if (logic.refused() >= 0)
    return 1;
  return errors.some(root => logic.at(root) !== 0) ? 2 : 0;
}

let at = 0, scans = 0;
const choice = new Array(rows);

while (at < walk.length) {
  if (walk[at++] === 1)
    logic.begin();
  for (let i = 0; i < rows; i++, at += 2)
    choice[i] = logic.choices[i].values[walk.readUInt16LE(at)];
  const wanted = walk[at++], wantedHash = walk.readInt32LE(at);
  at += 4;
  logic.look(choice);
  const got = end();
  let hash = 0;
  if (got === 0) {
    hash = -2128831035; /* 2166136261 */
    for (const root of roots)
      hash = add(hash, logic.at(root));
  }
  if (got !== wanted || hash !== wantedHash) {
    console.log(`scan ${scans}: end ${got}, wanted ${wanted}; values`);
    console.log(roots.map(root => String(logic.at(root))).join(" "));
    process.exit(1);
  }
  if (got === 0)
    logic.accept();
  scans++;
}
console.log(`${scans} scans agree`);
