/* reasons.js - the reasons of a trainer's page without a browser:
 *
 *     node reasons.js PAGE.html walk NAME..     random walks without faults
 *     node reasons.js PAGE.html tell STEPS NAME [NAME..]
 *
 * walk: what is written must lead to what is there, in every scan, for all
 * variables; for those named it must be followed to the end, so that it has a
 * value (not in the first scan, which has none before it).
 *
 * tell: runs STEPS, a list like "go=1 2 go=0 1" (a control set, then so many
 * scans), and says why the variables are as they are, as lines.
 */
"use strict";

const assert = require("assert");
const fs = require("fs");
const path = require("path");
const vm = require("vm");

const [, , page, what, ...rest] = process.argv;
const html = fs.readFileSync(page, "utf8");
const said = JSON.parse(
  /<script type="application\/json" id="data">([^]*?)<\/script>/.exec(
    html)[1]);
const scripts = ["evaluator.js", "reasons.js", "machine.js"].map(name =>
  fs.readFileSync(path.join(__dirname, "../../src/present", name), "utf8"));
const {Machine, Reasons, holds} = vm.runInThisContext(
  `(() => { ${scripts.join("\n")}
     return {Machine, Reasons, holds}; })()`);
const m = new Machine(said.machines[0]);
const reasons = new Reasons(m, said.words);

/* The last part of a name is enough. */
function variable(name) {
  const found = m.names.filter(n => n.text === name ||
                                    n.text.endsWith("." + name));
  assert.ok(found.length > 0, `no ${name}`);
  const written = found.find(n => reasons.written.has(n.value));
  assert.ok(written, `nothing is written for ${name}`);
  return written.value;
}

let seed = 7;

function any(n) {
  seed = (seed * 1103515245 + 12345) % 2147483648;
  return Math.floor(seed / 65536) % n;
}

function walk() {
  const named = new Map(rest.map(name => [variable(name), name]));
  const changed = new Map(rest.map(name => [name, new Set()]));
  let looked = 0, hands = new Map();
  for (let i = 0; i < (rest.length > 0 ? 3000 : 600); i++) {
    if (i % 300 === 0)
      m.powerUp();
    for (const list of [m.controls, m.inputs])
      for (const {row} of list) {
        const values = m.logic.choices[row].values;
        if (any(3) === 0)
          hands.set(row, values[any(values.length)]);
      }
    const choice = m.choose(hands);
    m.chooseMoves(choice);
    if (m.run(choice).broken === undefined)
      continue;
    for (const value of reasons.written.keys()) {
      const why = reasons.why({value}), name = reasons.names.get(value);
      looked++;
      assert.ok(!why.apart, `scan ${i}: ${name ? name.text : value}`);
      if (!named.has(value) || m.scans() < 2)
        continue;
      assert.notStrictEqual(reasons.value(reasons.written.get(value).expr),
                            null, `scan ${i}: ${named.get(value)}`);
      assert.strictEqual(why.tree === undefined ? undefined
                         : holds(why.tree), why.now === undefined ? why.on
                         : true, `scan ${i}: ${named.get(value)}`);
      changed.get(named.get(value)).add(String(m.value(value)));
    }
  }
  for (const [name, values] of changed)
    assert.ok(values.size > 1, `${name} never changed`);
  console.log(`${looked} reasons agree`);
}

function lines(tree, into, depth) {
  const pad = "  ".repeat(depth);
  if (tree === true || tree === false) {
    into.push(`${pad}${tree}`);
  } else if (tree.text) {
    into.push(`${pad}[${tree.holds === null ? "?" : tree.holds}] ` +
              tree.text);
    for (const part of tree.parts || []) {
      into.push(`${pad}  ${part.text}`);
      if (part.tree !== null)
        lines(part.tree, into, depth + 2);
    }
    if (tree.ask && tree.ask.expr)
      show(reasons.why(tree.ask), into, depth + 1);
  } else {
    into.push(pad + (tree.all ? "all" : "any"));
    for (const part of tree.all || tree.any)
      lines(part, into, depth + 1);
  }
}

function show(why, into, depth) {
  const pad = "  ".repeat(depth);
  if (why.apart)
    into.push(pad + "apart");
  else if (why.from || why.large)
    into.push(pad + (why.from ? "depends on" : "too long, depends on"),
              ...(why.from || why.large).map(leaf => `${pad}  ${leaf.text}`));
  else
    lines(why.tree, into, depth);
}

function tell() {
  const [steps, ...names] = rest, hands = new Map();
  for (const step of steps.split(" ")) {
    const [name, value] = step.split("=");
    if (value !== undefined) {
      hands.set(m.controls.find(c => c.title === name).row, Number(value));
      continue;
    }
    for (let i = 0; i < Number(name); i++) {
      const choice = m.choose(hands);
      m.chooseMoves(choice);
      assert.ok(m.run(choice).broken !== undefined);
    }
  }
  for (const name of names) {
    const why = reasons.why({value: variable(name)}), into = [];
    show(why, into, 1);
    console.log(`${name}: ${why.now === undefined ? why.on : why.now}`);
    console.log(into.join("\n"));
    if (why.missing && why.missing.length > 0)
      console.log("missing: " + why.missing.map(l => l.wanted || l.text).join(" & "));
  }
}

if (what === "walk")
  walk();
else
  tell();
