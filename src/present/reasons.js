/* reasons.js - why something is as it is: the condition behind a node of the
 * flat logic as a small tree of sentences, cut where a value has a name.
 *
 * A tree is {all: [...]}, {any: [...]} or a leaf {text, holds, node}; node is
 * there where the leaf has a condition of its own to be asked for.
 */


const DEEPEST = 7, MOST_LEAVES = 40;

function Reasons(machine, words) {
  this.m = machine;
  this.logic = machine.logic;
  this.words = words;
  this.named = [null, this.nameNodes(1), this.nameNodes(2)];
  this.faulty = this.ofFaults();
}

/* Per node: does it read faults, and nothing else? */
Reasons.prototype.ofFaults = function () {
  const logic = this.logic, only = new Uint8Array(logic.n);
  for (let i = 0; i < logic.n; i++) {
    const a = logic.a[i], b = logic.b[i], c = logic.c[i];
    if (logic.op[i] === OP.CELL)
      only[i] = this.m.cells[a].kind === "fault" ? 1 : 0;
    else if (logic.op[i] === OP.CHOICE)
      only[i] = logic.choices[a].kind === KIND_FAULT ? 1 : 0;
    else if (logic.op[i] !== OP.CONST)
      only[i] = [a, b, c].every(k => k < 0 || only[k]) ? 1 : 0;
  }
  return only;
};

/* The first fault below a node that is there or appears, or null. */
Reasons.prototype.faultBelow = function (node) {
  const logic = this.logic;
  if (logic.op[node] <= OP.CHOICE)
    return logic.op[node] !== OP.CONST && logic.value[node] != 0
      ? this.nameOf(node) : null;
  for (const k of [logic.a[node], logic.b[node], logic.c[node]]) {
    const found = k < 0 ? null : this.faultBelow(k);
    if (found)
      return found;
  }
  return null;
};

/* Faults that are not there are not spoken of. */
Reasons.prototype.fault = function (node, not) {
  const found = this.faultBelow(node);
  const so = (this.logic.value[node] != 0) !== not;
  return found === null ? so
                        : {text: this.fill(so ? "is_there" : "is_not_there",
                                           found.text), holds: so, node: -1};
};

/* Which node is which named value, in one of the two forms; the first name
 * that a node gets stays.  Hands and constants need no name. */
Reasons.prototype.nameNodes = function (form) {
  const found = new Map();
  for (const name of this.m.names) {
    const node = this.logic.data.values[name.value][form];
    const op = this.logic.op[node];
    const below = op === OP.NOT ? this.logic.op[this.logic.a[node]] : op;
    if (below > OP.CHOICE && !found.has(node))
      found.set(node, name);
  }
  return found;
};

Reasons.prototype.fill = function (key, ...with_) {
  return with_.reduce((text, value) => text.replace("{}", () => value),
                      this.words[key]);
};

/* A value as people read it; type: null (BOOL), "time", "number" or the list
 * of items. */
Reasons.prototype.say = function (type, value) {
  if (Array.isArray(type))
    return type[Number(value)] === undefined ? String(value)
                                             : type[Number(value)];
  if (type === null)
    return this.words[Number(value) !== 0 ? "true" : "false"];
  return type === "time" ? value + " ms" : String(value);
};

/* "left rescue button is held", "plate opens is off", ... */
Reasons.prototype.sayNamed = function (name, value) {
  if (name.type !== null)
    return this.fill("is", name.text, this.say(name.type, value));
  const yes = Number(value) !== 0;
  switch (name.kind) {
  case "held": return this.fill(yes ? "is_held" : "is_not_held", name.text);
  case "pressed":
    return this.fill(yes ? "is_pressed" : "is_not_pressed", name.text);
  case "power": return this.words[yes ? "no_power" : "with_power"];
  case "fault": return this.fill(yes ? "is_there" : "is_not_there",
                                 name.text);
  case "on": return this.fill(yes ? "is_on" : "is_off", name.text);
  default: return this.fill(yes ? "is_true" : "is_false", name.text);
  }
};

/* What a node is called inside a longer sentence, or null. */
Reasons.prototype.nameOf = function (node) {
  const logic = this.logic, named = this.named[logic.form].get(node);
  if (named)
    return named;
  if (logic.op[node] === OP.CHOICE)
    return this.m.rows[logic.a[node]] || null;
  if (logic.op[node] === OP.CELL)
    return this.m.cells[logic.a[node]];
  return null;
};

Reasons.prototype.phrase = function (node, depth) {
  const logic = this.logic, name = this.nameOf(node);
  if (logic.op[node] === OP.CONST)
    return String(logic.value[node]);
  if (name)
    return name.before ? this.fill("before", name.text) : name.text;
  if (depth > 3)
    return "…";
  const sign = {11: "+", 12: "−", 13: "×", 14: "÷", 15: "mod"}[logic.op[node]];
  if (sign)
    return `${this.phrase(logic.a[node], depth + 1)} ${sign} ` +
           this.phrase(logic.b[node], depth + 1);
  return this.words.reckoned;
};

/* A leaf that says what is wanted of a comparison. */
Reasons.prototype.compared = function (node, holds) {
  const logic = this.logic, op = logic.op[node];
  let left = logic.a[node], right = logic.b[node], name;
  if (op === OP.EQ && logic.op[left] === OP.CONST)
    [left, right] = [right, left];
  name = this.nameOf(left);
  if (op === OP.EQ && name && logic.op[right] === OP.CONST) {
    const what = name.before ? this.fill("before", name.text) : name.text;
    return this.fill(holds ? "is" : "is_not", what,
                     this.say(name.type, logic.value[right]));
  }
  const key = {8: ["is", "is_not"], 9: ["is_below", "is_at_least"],
               10: ["is_at_most", "is_above"]}[op];
  return this.fill(key[holds ? 0 : 1], this.phrase(left, 0),
                   this.phrase(right, 0));
};

Reasons.prototype.leaf = function (node, not) {
  const logic = this.logic, holds = (logic.value[node] != 0) !== not;
  const op = logic.op[node], name = this.nameOf(node);
  let text;
  if (name)
    text = name.before
      ? this.fill("was_before", this.sayNamed(name, not ? 0 : 1))
      : this.sayNamed(name, not ? 0 : 1);
  else if (op === OP.EQ || op === OP.LT || op === OP.LE)
    text = this.compared(node, !not);
  else
    text = this.fill(not ? "is_false" : "is_true", this.phrase(node, 0));
  return {text, holds, node: this.named[logic.form].has(node) ? node : -1};
};

function joined(kind, trees) {
  const list = [];
  for (const tree of trees) {
    if (tree === true || tree === false) {
      if (tree !== (kind === "all"))
        return tree;
      continue;
    }
    list.push(...(tree[kind] || [tree]));
  }
  if (list.length === 0)
    return kind === "all";
  return list.length === 1 ? list[0] : {[kind]: list};
}

/* The condition under which a node holds (not: does not hold); top: its own
 * name does not end it. */
Reasons.prototype.tree = function (node, not, top, depth) {
  const logic = this.logic, a = logic.a[node], b = logic.b[node];
  const c = logic.c[node];
  const go = (k, n) => this.tree(k, n, false, depth + 1);
  if (logic.op[node] === OP.CONST)
    return (logic.value[node] != 0) !== not;
  if (this.faulty[node])
    return this.fault(node, not);
  if ((!top && this.named[logic.form].has(node)) || depth > DEEPEST)
    return this.leaf(node, not);
  switch (logic.op[node]) {
  case OP.NOT: return this.tree(a, !not, top, depth);
  case OP.AND:
    return joined(not ? "any" : "all", [go(a, not), go(b, not)]);
  case OP.OR: return joined(not ? "all" : "any", [go(a, not), go(b, not)]);
  case OP.ITE:
    return joined("any", [joined("all", [go(a, false), go(b, not)]),
                          joined("all", [go(a, true), go(c, not)])]);
  default: return this.leaf(node, not);
  }
};

function holds(tree) {
  if (tree === true || tree === false)
    return tree;
  if (tree.all)
    return tree.all.every(holds);
  return tree.any ? tree.any.some(holds) : tree.holds;
}

function leaves(tree) {
  if (tree === true || tree === false)
    return 0;
  return (tree.all || tree.any || []).reduce((n, t) => n + leaves(t), 0) ||
         1;
}

/* The fewest leaves that would have to become true. */
function missing(tree) {
  if (holds(tree))
    return [];
  if (tree === false)
    return null;
  if (tree.all) {
    const lists = tree.all.map(missing);
    return lists.includes(null) ? null : lists.flat();
  }
  if (tree.any)
    return tree.any.map(missing).filter(list => list !== null)
      .sort((x, y) => x.length - y.length)[0] || null;
  return [tree];
}

/* Why the node is as it is: {tree, holds, missing}; the condition is that
 * of what is not so. */
Reasons.prototype.why = function (node) {
  const on = this.logic.value[node] != 0;
  const tree = this.tree(node, false, true, 0);
  const away = on ? this.tree(node, true, true, 0) : tree;
  const wanted = missing(away) || [];
  return {tree, on, large: leaves(tree) > MOST_LEAVES,
          missing: wanted.filter((leaf, i) =>
            wanted.findIndex(other => other.text === leaf.text) === i)};
};
