/* reasons.js - why something is as it is: the statements behind it as a tree
 * of sentences (src/present/lessonreasons.h), with what is true and not true
 * after the last scan.
 *
 * A tree is true, false, {all: [...]}, {any: [...]} or a leaf {text, holds,
 * value}; holds is null where nothing is known; value is there where the leaf
 * can be asked for its own reason.
 */

const MOST_LEAVES = 60;

function Reasons(machine, words) {
  this.m = machine;
  this.words = words;
  this.names = new Map();
  for (const name of machine.names)
    if (!this.names.has(name.value))
      this.names.set(name.value, name);
  this.written = new Map(machine.written.map(
    ([value, expr, place]) => [value, {expr, place}]));
}

Reasons.prototype.fill = function (key, ...with_) {
  return with_.reduce((text, value) => text.replace("{}", () => value),
                      this.words[key]);
};

/* A value as people read it; type: null (two values), "time", "number" or the
 * list of items. */
Reasons.prototype.say = function (type, value) {
  if (Array.isArray(type))
    return type[Number(value)] === undefined ? String(value)
                                             : type[Number(value)];
  if (type === null)
    return this.words[Number(value) !== 0 ? "true" : "false"];
  return type === "time" ? value + " ms" : String(value);
};

/* "plate opens is off", "Packing.rescue_runs is TRUE" */
Reasons.prototype.sayNamed = function (name, yes) {
  switch (name.kind) {
  case "power": return this.words[yes ? "no_power" : "with_power"];
  case "on": return this.fill(yes ? "is_on" : "is_off", name.text);
  default: return this.fill(yes ? "is_true" : "is_false", name.text);
  }
};

/* "left rescue button is held" */
Reasons.prototype.sayHand = function (control, yes) {
  const key = {button: ["is_held", "is_not_held"],
               stop: ["is_pressed", "is_not_pressed"]}[control.kind] ||
              ["is_on", "is_off"];
  return this.fill(key[yes ? 0 : 1], control.title);
};

/* ---- values ---- */

function truth(value) {
  return value === null ? null : value != 0;
}

/* The value of an expression after the last scan, or null. */
Reasons.prototype.value = function (expr) {
  const [op, a, b, c] = expr, go = e => this.value(e);
  switch (op) {
  case "c": return a;
  case "v": case "k": return Number(this.m.value(a));
  case "b": return this.m.before(a);
  case "h": return Number(this.m.last().choice[this.m.controls[a].row]);
  case "u": case "t": return null;
  case "!": return go(a) === null ? null : go(a) ? 0 : 1;
  case "&": return this.both(go(a), go(b), 0);
  case "|": return this.both(go(a), go(b), 1);
  case "?": return go(a) === null ? null : go(a) ? go(b) : go(c);
  }
  const x = go(a), y = go(b);
  if (x === null || y === null)
    return null;
  return {"^": x !== y, "=": x === y, "<": x < y, "<=": x <= y}[op] ? 1 : 0;
};

/* Of AND and OR; decides: the value of either side that decides it. */
Reasons.prototype.both = function (x, y, decides) {
  if (x === decides || y === decides)
    return decides;
  return x === null || y === null ? null : 1 - decides;
};

/* ---- sentences ---- */

Reasons.prototype.contact = function (expr, not) {
  const [, value, at, kind, position] = expr;
  const control = this.m.controls[at];
  const conducts = Number(this.m.value(value)) !== 0, wants = !not;
  const hand = Number(this.m.last().choice[control.row]);
  const sound = kind === 2 ? hand === position
                           : (hand !== 0) === (kind === 0);
  let text = kind === 2
    ? this.fill(wants ? "is" : "is_not", control.title,
                control.labels ? String(position)
                               : this.say(control.type, position))
    : this.sayHand(control, (kind === 0) === wants);
  if (sound !== conducts)
    text = this.fill("as_read", text);
  return {text, holds: conducts === wants};
};

/* What an expression is called inside a longer sentence. */
Reasons.prototype.phrase = function (expr) {
  const [op, a] = expr;
  if (op === "h")
    return this.m.controls[a].title;
  if (op === "k")
    return this.m.controls[expr[2]].title;
  if (op === "c")
    return String(a);
  const name = op === "v" || op === "b" ? this.names.get(a) : null;
  if (!name)
    return this.words.reckoned;
  return op === "b" ? this.fill("before", name.text) : name.text;
};

Reasons.prototype.typeOf = function (expr) {
  const [op, a] = expr;
  if (op === "h" || op === "k")
    return this.m.controls[op === "h" ? a : expr[2]].type;
  const name = op === "v" || op === "b" ? this.names.get(a) : null;
  return name ? name.type : "number";
};

Reasons.prototype.compared = function (expr, not) {
  let [op, a, b] = expr;
  if (a[0] === "c" && op === "=")
    [a, b] = [b, a];
  const key = {"=": ["is", "is_not"], "^": ["is_not", "is"],
               "<": ["is_below", "is_at_least"],
               "<=": ["is_at_most", "is_above"]}[op][not ? 1 : 0];
  const right = b[0] === "c" ? this.say(this.typeOf(a), b[1])
                             : this.phrase(b);
  const now = truth(this.value(expr));
  return {text: this.fill(key, this.phrase(a), right),
          holds: now === null ? null : now !== not};
};

Reasons.prototype.named = function (expr, not) {
  const [op, a] = expr, name = this.names.get(a);
  const now = truth(this.value(expr));
  let text = name ? this.sayNamed(name, !not)
                  : this.fill(not ? "is_false" : "is_true",
                              this.words.reckoned);
  if (op === "b")
    text = this.fill("was_before", text);
  return {text, holds: now === null ? null : now !== not,
          value: op === "v" && this.written.has(a) ? a : undefined};
};

Reasons.prototype.tree = function (expr, not) {
  const [op, a, b, c] = expr;
  switch (op) {
  case "c": return (a != 0) !== not;
  case "!": return this.tree(a, !not);
  case "&":
    return joined(not ? "any" : "all",
                  [this.tree(a, not), this.tree(b, not)]);
  case "|":
    return joined(not ? "all" : "any",
                  [this.tree(a, not), this.tree(b, not)]);
  case "?":
    return joined("any", [
      joined("all", [this.tree(a, false), this.tree(b, not)]),
      joined("all", [this.tree(a, true), this.tree(c, not)])]);
  case "v": case "b": return this.named(expr, not);
  case "k": return this.contact(expr, not);
  case "h": {
    const control = this.m.controls[a];
    return {text: this.sayHand(control, !not),
            holds: (this.value(expr) !== 0) !== not};
  }
  case "u": return {text: this.words.not_followed, holds: null};
  case "t":
    return {text: this.words[not ? "time_runs" : "time_over"], holds: null};
  default: return this.compared(expr, not);
  }
};

function joined(kind, trees) {
  const list = [];
  for (const tree of trees) {
    if (tree === true || tree === false) {
      if (tree !== (kind === "all"))
        return tree;
      continue;
    }
    for (const part of tree[kind] || [tree])
      if (!list.some(other => part.text !== undefined &&
                              other.text === part.text))
        list.push(part);
  }
  if (list.length === 0)
    return kind === "all";
  return list.length === 1 ? list[0] : {[kind]: list};
}

/* Does it hold?  null: that is not known. */
function holds(tree) {
  if (tree === true || tree === false)
    return tree;
  const parts = tree.all || tree.any;
  if (!parts)
    return tree.holds;
  const decides = !tree.all, known = parts.map(holds);
  if (known.includes(decides))
    return decides;
  return known.includes(null) ? null : !decides;
}

function leaves(tree) {
  return (tree.all || tree.any || []).reduce((n, t) => n + leaves(t), 0) ||
         1;
}

/* The fewest leaves that would have to become true; null: none would do. */
function missing(tree) {
  if (holds(tree) === true)
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

/* Why the value is as it is: {on, tree, missing, place}; null where nothing is
 * written that could be followed; {apart: true} where what is written does
 * not lead to what is there: a fault, no power, a program at rest. */
Reasons.prototype.why = function (value) {
  const written = this.written.get(value);
  if (!written)
    return null;
  const on = Number(this.m.value(value)) !== 0;
  const reckoned = truth(this.value(written.expr));
  if (reckoned !== null && reckoned !== on)
    return {apart: true, on};
  const tree = this.tree(written.expr, false);
  const wanted = missing(on ? this.tree(written.expr, true) : tree) || [];
  return {tree, on, place: written.place,
          large: leaves(tree) > MOST_LEAVES,
          missing: wanted.filter((leaf, i) => wanted.findIndex(
            other => other.text === leaf.text) === i)};
};
