/* reasons.js - why something is as it is: the statements behind it as a tree
 * of sentences (src/present/lessonreasons.h), with what is true and not true
 * after the last scan.
 *
 * A tree is true, false, {all: [...]}, {any: [...]} or a leaf {text, holds,
 * wanted, ask, parts}; holds is null where nothing is known; wanted is what
 * would have to become of it, where that is not its text; ask is there where
 * the leaf can be asked for its own reason, parts where it is a sum: {text,
 * tree} for what is added, each.
 */

const MOST_LEAVES = 60;
const LARGEST = 9007199254740991; /* beyond it a number is not exact */

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
  return this.words[key].split("{}").reduce(
    (text, part, i) => text + (i === 0 ? "" : with_[i - 1]) + part, "");
};

/* A value as people read it; type: null (two values), "time", "number", "cell"
 * (a REAL: no number of its own) or the list of items. */
Reasons.prototype.say = function (type, value) {
  if (Array.isArray(type))
    return type[Number(value)] === undefined ? String(value)
                                             : type[Number(value)];
  if (type === null)
    return this.words[Number(value) !== 0 ? "true" : "false"];
  if (type === "cell")
    return this.words.real;
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

/* As a plain number, or null: too large for one. */
function plain(value) {
  if (value === null || value === undefined)
    return null;
  const number = Number(value);
  return Math.abs(number) > LARGEST ? null : number;
}

/* The value of an expression after the last scan, or null. */
Reasons.prototype.value = function (expr) {
  const [op, a, b, c] = expr, go = e => this.value(e);
  switch (op) {
  case "c": return plain(a);
  case "v": case "k": return plain(this.m.value(a));
  case "b": return plain(this.m.before(a));
  case "h": return plain(this.m.last().choice[this.m.controls[a].row]);
  case "g": return plain(this.m.last().choice[a]);
  case "u": case "o": return null;
  case "t": case "n": return this.blockValue(expr);
  case "!": return go(a) === null ? null : go(a) ? 0 : 1;
  case "&": return this.both(go(a), go(b), 0);
  case "|": return this.both(go(a), go(b), 1);
  case "?": return go(a) === null ? null : go(a) ? go(b) : go(c);
  case "~": return within(go(a), b, c);
  }
  const x = go(a), y = op === "bit" ? b : go(b);
  return x === null || y === null ? null : plain(reckon(op, x, y));
};

function within(value, low, high) {
  return value === null || value < low || value > high ? null : value;
}

function reckon(op, x, y) {
  switch (op) {
  case "^": return x !== y ? 1 : 0;
  case "=": return x === y ? 1 : 0;
  case "<": return x < y ? 1 : 0;
  case "<=": return x <= y ? 1 : 0;
  case "+": return x + y;
  case "-": return x - y;
  case "*": return x * y;
  case "/": return y === 0 ? null : Math.trunc(x / y);
  case "%": return y === 0 ? null : x % y;
  case "bit": return x < 0 ? null : Math.floor(x / 2 ** y) % 2;
  }
  return null;
}

/* Of a timer that it has run, of a counter that it has come to its end. */
Reasons.prototype.blockValue = function (expr) {
  if (expr[0] === "t") {
    const [, kind, , q] = expr;
    if (q === undefined)
      return null;
    const on = Number(this.m.value(q)) !== 0;
    return on !== (kind === 1) ? 1 : 0;
  }
  const [, down, , , cv, pv] = expr;
  if (cv === undefined)
    return null;
  const count = plain(this.m.value(cv)), end = plain(this.m.value(pv));
  if (count === null || end === null)
    return null;
  return (down ? count <= 0 : count >= end) ? 1 : 0;
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
  const [op, a, b] = expr;
  switch (op) {
  case "h": return this.m.controls[a].title;
  case "k": return this.m.controls[b].title;
  case "c": return String(a);
  case "~": return this.phrase(a);
  case "u": return this.reckonedFrom(expr);
  case "o": return this.words.left_open;
  case "bit": return this.fill("bit_of", b, this.phrase(a));
  case "+": case "-": case "*": case "/": case "%":
    return `${this.factor(a)} ${op} ${this.factor(b)}`;
  }
  const name = this.nameOf(expr);
  if (!name)
    return this.words.reckoned;
  return op === "v" ? name.text
                    : this.fill(op === "b" ? "before" : "given", name.text);
};

/* In brackets where it is more than a name. */
Reasons.prototype.factor = function (expr) {
  const inner = expr[0] === "~" ? expr[1] : expr;
  return "+-*/%".includes(inner[0]) ? `(${this.phrase(inner)})`
                                    : this.phrase(inner);
};

Reasons.prototype.typeOf = function (expr) {
  const [op, a] = expr;
  if (op === "h" || op === "k")
    return this.m.controls[op === "h" ? a : expr[2]].type;
  if ("~+-*/%".includes(op))
    return this.typeOf(a);
  const name = this.nameOf(expr);
  return name ? name.type : "number";
};

/* "something reckoned from speed (3) and left rescue button (TRUE)" */
Reasons.prototype.reckonedFrom = function (expr) {
  const [, more, ...of] = expr;
  if (of.length === 0)
    return this.words.not_followed;
  const list = of.map(one => one[0] === "o" ? this.words.left_open
    : `${this.phrase(one)} (${this.sayNow(one)})`).join(", ");
  return this.fill(more ? "reckoned_more" : "reckoned_from", list);
};

Reasons.prototype.sayNow = function (expr) {
  const now = this.value(expr);
  return now === null ? this.words.not_known
                      : this.say(this.typeOf(expr), now);
};

/* The words of a comparison, with the known number on the right. */
Reasons.prototype.compareWords = function (op, not) {
  return {"=": ["is", "is_not"], "^": ["is_not", "is"],
          "<": ["is_below", "is_at_least"],
          "<=": ["is_at_most", "is_above"],
          ">": ["is_above", "is_at_most"],
          ">=": ["is_at_least", "is_below"]}[op][not ? 1 : 0];
};

/* a op b with what is known, if anything, as b. */
function turned([op, a, b]) {
  return a[0] === "c" && b[0] !== "c"
    ? [{"<": ">", "<=": ">="}[op] || op, b, a] : [op, a, b];
}

function bare(expr) {
  return expr[0] === "~" ? bare(expr[1]) : expr;
}

Reasons.prototype.compared = function (expr, not) {
  const [op, a, b] = turned(expr), known = b[0] === "c";
  const type = this.typeOf(a);
  const now = truth(this.value(expr)), is = this.value(a);
  let text = this.fill(this.compareWords(op, not), this.phrase(a),
                       known ? this.say(type, b[1]) : this.phrase(b));
  if (known && is !== null && type !== null && !(op === "=" && now === true))
    text = this.fill(bare(a)[0] === "b" ? "with_was" : "with_now", text,
                     this.say(type, is));
  return {text, holds: now === null ? null : now !== not,
          ask: this.askOf(expr, a, b)};
};

/* A comparison of a variable with a number can be asked like the variable. */
Reasons.prototype.askOf = function (expr, a, b) {
  const known = b[0] === "c" && a[0] === "v" && this.written.has(a[1]);
  if (!known)
    return undefined;
  const {expr: behind, place} = this.written.get(a[1]);
  return {value: a[1], place, is: this.value(expr) === 1,
          expr: expr[1] === a ? [expr[0], behind, b] : [expr[0], b, behind]};
};

/* ---- sums ---- */

/* The parts of a sum, [sign, expression], or null: it is none. */
function terms(expr) {
  const [op, a, b] = bare(expr);
  if (op !== "+" && op !== "-")
    return null;
  const right = terms(b) || [[1, b]], sign = op === "+" ? 1 : -1;
  return (terms(a) || [[1, a]]).concat(right.map(([s, e]) => [s * sign, e]));
}

function counts(expr) {
  const [op, , b, c] = bare(expr);
  return op === "?" && b[0] === "c" && c[0] === "c" &&
         (b[1] === 0 || c[1] === 0);
}

/* Of conditions that count: a leaf with its parts, or null. */
Reasons.prototype.sum = function (expr, not) {
  const [op, a, b] = turned(expr), all = terms(a);
  if (all === null || b[0] !== "c" || !all.some(([, e]) => counts(e)))
    return null;
  const now = truth(this.value(expr)), is = this.value(a);
  const says = this.compareWords(op, not);
  const is_now = is === null ? this.words.not_known : is;
  const plainly = this.fill(says, this.words.a_count, b[1]);
  return {
    text: says === "is_at_least" ? this.fill("count_reached", is_now, b[1])
                                 : this.fill("with_now", plainly, is_now),
    wanted: plainly,
    holds: now === null ? null : now !== not,
    parts: all.map(([sign, e]) => this.part(sign, e))};
};

Reasons.prototype.part = function (sign, expr) {
  if (!counts(expr))
    return {text: `${sign < 0 ? "- " : ""}${this.phrase(expr)}: ` +
                  this.sayNow(expr), tree: null};
  const [, condition, yes, no] = bare(expr), not = yes[1] === 0;
  return {text: this.fill("counts_if", sign * (not ? no : yes)[1]),
          tree: this.tree(condition, not)};
};

/* ---- standard blocks ---- */

/* A condition inside a sentence. */
Reasons.prototype.inShort = function (expr) {
  const tree = this.tree(expr, false), parts = tree.all || tree.any;
  if (tree.text)
    return tree.text;
  if (!parts || parts.length > 3 || parts.some(part => !part.text))
    return this.words.reckoned;
  return parts.map(part => part.text)
    .join(` ${this.words[tree.all ? "and" : "or"]} `);
};

Reasons.prototype.timed = function (expr, not) {
  const [, kind, input, q, et, pt] = expr, now = truth(this.value(expr));
  const key = [["time_over", "time_runs"], ["hold_over", "hold_runs"],
               ["pulse_runs", "pulse_none"]][kind][not ? 1 : 0];
  let text = kind === 2 ? this.fill(key, this.inShort(input))
                        : this.words[key];
  if (q !== undefined)
    text = this.fill("time_of", text, this.say("time", this.m.value(et)),
                     this.say("time", this.m.value(pt)));
  return {text, holds: now === null ? null : now !== not};
};

Reasons.prototype.counted = function (expr, not) {
  const [, down, input, back, cv, pv] = expr;
  const now = truth(this.value(expr));
  let text = cv === undefined ? this.words[not ? "count_goes_on"
                                               : "count_ended"]
    : down ? this.fill(not ? "count_left" : "count_none_left",
                       this.m.value(cv))
    : this.fill(not ? "count_below" : "count_reached", this.m.value(cv),
                this.m.value(pv));
  text = this.fill("counted_by", text, this.inShort(input));
  if (back !== null && back[0] !== "c")
    text = this.fill("counted_back", text, this.inShort(back));
  const wanted = cv === undefined ? text
    : this.fill(down ? (not ? "is_above" : "is_at_most")
                     : (not ? "is_below" : "is_at_least"),
                this.words.the_count, down ? 0 : this.m.value(pv));
  return {text, wanted, holds: now === null ? null : now !== not};
};

/* ---- trees ---- */

/* The entry of the variable behind an expression, if it is one. */
Reasons.prototype.nameOf = function ([op, a, b]) {
  return op === "v" || op === "b" ? this.names.get(a)
       : op === "g" ? this.names.get(b) : undefined;
};

Reasons.prototype.named = function (expr, not) {
  const [op, a] = expr, name = this.nameOf(expr);
  const now = truth(this.value(expr));
  let text = name ? this.sayNamed(name, !not)
                  : this.fill(not ? "is_false" : "is_true",
                              this.words.reckoned);
  if (op !== "v")
    text = this.fill(op === "b" ? "was_before" : "was_given", text);
  return {text, holds: now === null ? null : now !== not,
          ask: op === "v" && this.written.has(a) ? {value: a} : undefined};
};

/* x where c holds, else y, compared: both ways apart.  null: neither side has
 * two ways, or they are too many. */
Reasons.prototype.bothWays = function ([op, a, b], not) {
  const left = bare(a), right = bare(b);
  const apart = left[0] === "?" ? left : right[0] === "?" ? right : null;
  if (apart === null || ways(left) * ways(right) > MOST_LEAVES)
    return null;
  const with_ = e => left[0] === "?" ? [op, e, b] : [op, a, e];
  return joined("any", [
    joined("all", [this.tree(apart[1], false),
                   this.tree(with_(apart[2]), not)]),
    joined("all", [this.tree(apart[1], true),
                   this.tree(with_(apart[3]), not)])]);
};

function ways(expr) {
  const [op, , b, c] = bare(expr);
  return op === "?" ? ways(b) + ways(c) : 1;
}

Reasons.prototype.comparedTree = function (expr, not) {
  const [op, a, b] = expr;
  if (a[0] === "c" && b[0] === "c")
    return (reckon(op, a[1], b[1]) !== 0) !== not;
  return this.bothWays(expr, not) ?? this.sum(expr, not) ??
         this.compared(expr, not);
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
  case "v": case "b": case "g": return this.named(expr, not);
  case "k": return this.contact(expr, not);
  case "h": {
    const control = this.m.controls[a];
    return {text: this.sayHand(control, !not),
            holds: (this.value(expr) !== 0) !== not};
  }
  case "u": return {text: this.reckonedFrom(expr), holds: null};
  case "o": return {text: this.words.left_open, holds: null};
  case "t": return this.timed(expr, not);
  case "n": return this.counted(expr, not);
  case "~": return this.tree(a, not);
  case "bit": {
    const now = truth(this.value(expr));
    return {text: this.fill(not ? "is_false" : "is_true", this.phrase(expr)),
            holds: now === null ? null : now !== not};
  }
  default: return this.comparedTree(expr, not);
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

/* Why what is asked is as it is.  ask: {value} of a variable, or {value, expr,
 * is} of a comparison with it.  {on, tree, missing, place}; of a number `now`
 * instead of on; {from, place}: what it depends on, where that is not followed;
 * null where nothing is written; {apart: true} where what is written does not
 * lead to what is there: a fault, no power, a program at rest. */
Reasons.prototype.why = function (ask) {
  const written = this.written.get(ask.value);
  if (!written)
    return null;
  const {place} = written, now = plain(this.m.value(ask.value));
  const reckoned = this.value(written.expr);
  const name = this.names.get(ask.value), type = name ? name.type : null;
  if (reckoned !== null && now !== null &&
      (type === null ? truth(reckoned) !== truth(now) : reckoned !== now))
    return {apart: true, on: now !== 0, now: this.say(type, now), type};
  if (bare(written.expr)[0] === "u")
    return {from: this.leavesOf(bare(written.expr)), now: this.say(type, now),
            more: bare(written.expr)[1] === 1, place};
  if (ask.expr !== undefined)
    return this.because(ask.expr, ask.is, place);
  if (type !== null)
    return Object.assign(
      this.because(["=", written.expr, ["c", now]], true, place),
      {now: this.say(type, now), missing: []});
  return this.because(written.expr, now !== 0, place);
};

Reasons.prototype.because = function (expr, on, place) {
  const tree = this.tree(expr, false);
  const wanted = missing(on ? this.tree(expr, true) : tree) || [];
  const large = leaves(tree) > MOST_LEAVES;
  return {tree, on, place, large: large ? this.leavesOf(expr) : null,
          missing: wanted.filter((leaf, i) => wanted.findIndex(
            other => other.text === leaf.text) === i)};
};

/* The names in an expression, each once. */
function namesIn(expr, found) {
  const [op] = expr, key = JSON.stringify(expr);
  if ("vbhkg".includes(op))
    found.set(key, expr);
  else
    for (const part of expr.slice(1))
      if (Array.isArray(part))
        namesIn(part, found);
  return found;
}

/* What a value depends on, each as a leaf. */
Reasons.prototype.leavesOf = function (expr) {
  const of = expr[0] === "u" ? expr.slice(2)
                             : [...namesIn(expr, new Map()).values()];
  return of.map(leaf => leaf[0] === "o" ? {text: this.words.left_open} : {
    text: `${this.phrase(leaf)}: ${this.sayNow(leaf)}`,
    ask: leaf[0] === "v" && this.written.has(leaf[1]) ? {value: leaf[1]}
                                                      : undefined});
};
