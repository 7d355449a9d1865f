/* evaluator.js - runs the flat logic as src/logic/flatdata.h writes it, scan
 * by scan, with plain numbers.
 *
 * Nodes are computed in ascending order: children stand before parents.  A
 * number keeps 53 bits; the few nodes that may hold more are computed with
 * integers of any length, cut to 64 bits.
 */
"use strict";

const OP = {CONST: 0, CELL: 1, CHOICE: 2, NOT: 4, AND: 5, OR: 6, XOR: 7,
            EQ: 8, LT: 9, LE: 10, ADD: 11, SUB: 12, MUL: 13, DIV: 14,
            MOD: 15, MEET: 16, ITE: 17};

function Logic(data) {
  this.data = data;
  this.n = data.nodes.length;
  this.op = new Uint8Array(this.n);
  this.a = new Int32Array(this.n);
  this.b = new Int32Array(this.n);
  this.c = new Int32Array(this.n);
  this.wide = new Uint8Array(this.n);
  this.long = new Uint8Array(this.n);
  for (const i of data.wide)
    this.wide[i] = 1;
  this.value = data.wide.length > 0 ? new Array(this.n).fill(0)
                                    : new Float64Array(this.n);
  data.nodes.forEach((node, i) => this.take(node, i));
  this.choices = data.choices.map(
    row => ({kind: row[0], rest: row[1], values: row.slice(2).map(exact)}));
  this.firstList = this.list(1);
  this.nextList = this.list(2);
  this.begin();
}

/* A number of the data; beyond 53 bits it is written as a string. */
function exact(number) {
  return typeof number === "string" ? BigInt(number) : number;
}

Logic.prototype.take = function (node, i) {
  this.op[i] = node[0];
  if (node[0] === OP.CONST) {
    this.value[i] = exact(node[1]);
    return;
  }
  this.a[i] = node[1];
  this.b[i] = node.length > 2 ? node[2] : -1;
  this.c[i] = node.length > 3 ? node[3] : -1;
  const below = node[0] < OP.NOT ? [] : node.slice(1);
  this.long[i] = this.wide[i] || below.some(k => this.wide[k]) ? 1 : 0;
};

/* The nodes that a scan needs: form 1 for the first one, 2 for others. */
Logic.prototype.list = function (form) {
  const needed = new Uint8Array(this.n), list = [];
  for (const cell of this.data.cells)
    needed[cell[form - 1]] = 1;
  for (const roots of [this.data.assumptions, this.data.watches,
                       this.data.values])
    for (const root of roots)
      needed[root[form]] = 1;
  for (let i = this.n - 1; i >= 0; i--) {
    if (!needed[i] || this.op[i] < OP.NOT)
      continue;
    for (const k of [this.a[i], this.b[i], this.c[i]])
      if (k >= 0)
        needed[k] = 1;
  }
  for (let i = 0; i < this.n; i++)
    if (needed[i] && this.op[i] !== OP.CONST)
      list.push(i);
  return Int32Array.from(list);
};

/* Before the first scan. */
Logic.prototype.begin = function () {
  this.scans = 0;
  this.cell = new Array(this.data.cells.length).fill(0);
};

Logic.prototype.state = function () {
  return {scans: this.scans, cell: this.cell.slice()};
};

Logic.prototype.restore = function (state) {
  this.scans = state.scans;
  this.cell = state.cell.slice();
};

/* The values at rest, one per choice row. */
Logic.prototype.atRest = function () {
  return this.choices.map(choice => choice.values[choice.rest]);
};

function both(x, y) {
  return (x | 0) === x && (y | 0) === y ? x & y
                                        : Number(BigInt(x) & BigInt(y));
}

/* One node whose value, or that of an operand, may need more than 53 bits. */
Logic.prototype.longOne = function (i) {
  const v = this.value, x = BigInt(v[this.a[i]]);
  const y = this.b[i] < 0 ? 0n : BigInt(v[this.b[i]]);
  let r;
  switch (this.op[i]) {
  case OP.EQ: r = x === y ? 1 : 0; break;
  case OP.LT: r = x < y ? 1 : 0; break;
  case OP.LE: r = x <= y ? 1 : 0; break;
  case OP.ADD: r = x + y; break;
  case OP.SUB: r = x - y; break;
  case OP.MUL: r = x * y; break;
  case OP.DIV: r = y === 0n ? 0n : x / y; break;
  case OP.MOD: r = y === 0n ? 0n : x % y; break;
  case OP.MEET: r = x & y; break;
  default: r = x !== 0n ? v[this.b[i]] : v[this.c[i]]; break;
  }
  v[i] = this.wide[i] ? BigInt.asIntN(64, BigInt(r)) : Number(r);
};

Logic.prototype.one = function (i, choice) {
  const v = this.value, a = this.a, b = this.b;
  switch (this.op[i]) {
  case OP.CELL: v[i] = this.cell[a[i]]; return;
  case OP.CHOICE: v[i] = choice[a[i]]; return;
  case OP.NOT: v[i] = 1 - v[a[i]]; return;
  case OP.AND: v[i] = v[a[i]] & v[b[i]]; return;
  case OP.OR: v[i] = v[a[i]] | v[b[i]]; return;
  case OP.XOR: v[i] = v[a[i]] ^ v[b[i]]; return;
  case OP.EQ: v[i] = v[a[i]] === v[b[i]] ? 1 : 0; return;
  case OP.LT: v[i] = v[a[i]] < v[b[i]] ? 1 : 0; return;
  case OP.LE: v[i] = v[a[i]] <= v[b[i]] ? 1 : 0; return;
  case OP.ADD: v[i] = v[a[i]] + v[b[i]]; return;
  case OP.SUB: v[i] = v[a[i]] - v[b[i]]; return;
  case OP.MUL: v[i] = v[a[i]] * v[b[i]] + 0; return;
  case OP.DIV:
    v[i] = v[b[i]] === 0 ? 0 : Math.trunc(v[a[i]] / v[b[i]]) + 0;
    return;
  case OP.MOD: v[i] = v[b[i]] === 0 ? 0 : v[a[i]] % v[b[i]] + 0; return;
  case OP.MEET: v[i] = both(v[a[i]], v[b[i]]); return;
  case OP.ITE: v[i] = v[a[i]] !== 0 ? v[b[i]] : v[this.c[i]]; return;
  }
};

/* A leaf that needs no more than 53 bits holds a plain number. */
function short(value) {
  return typeof value === "bigint" && BigInt.asIntN(54, value) === value
    ? Number(value) : value;
}

/* Computes a scan with these values of the choices, one per row; nothing is
 * stored. */
Logic.prototype.look = function (choice) {
  const list = this.scans === 0 ? this.firstList : this.nextList;
  this.form = this.scans === 0 ? 1 : 2;
  for (let k = 0; k < list.length; k++) {
    const i = list[k];
    if (this.long[i] && this.op[i] > OP.CHOICE)
      this.longOne(i);
    else
      this.one(i, choice);
  }
};

/* Of the scan looked at last: the node behind a root [number, first, next]
 * and its value. */
Logic.prototype.node = function (root) {
  return root[this.form];
};

Logic.prototype.at = function (root) {
  return this.value[root[this.form]];
};

/* The first assumption that does not hold, or -1. */
Logic.prototype.refused = function () {
  for (const root of this.data.assumptions)
    if (this.at(root) === 0)
      return root[0];
  return -1;
};

/* The scan looked at last is judged: its values are stored. */
Logic.prototype.accept = function () {
  const form = this.form - 1, cells = this.data.cells;
  for (let i = 0; i < cells.length; i++)
    this.cell[i] = short(this.value[cells[i][form]]);
  this.scans++;
};

if (typeof module !== "undefined")
  module.exports = {Logic, OP};
