/* machine.js - a machine that is run by hand in the page: what hands,
 * machine and faults choose, scan by scan, forth and back.
 *
 * Knows nothing of the page.
 */


/* So many scans can be taken back. */
const MOST_BACK = 3000;

function Machine(said) {
  Object.assign(this, said);
  this.logic = new Logic(said.logic);
  this.restValues = said.rest;
  this.byItself = new Map(said.moves.map(move => [move.row, move.auto]));
  this.powerUp();
}

/* Before the first scan; hands stay where they are set. */
Machine.prototype.powerUp = function () {
  this.logic.begin();
  this.past = [];
  this.count = 0;
  this.time = 0;
  this.were = null;
  this.appearing = new Map();
};

Machine.prototype.scans = function () {
  return this.count;
};

Machine.prototype.last = function () {
  return this.past[this.past.length - 1] || null;
};

/* The value of root number `index` of the values after the last scan. */
Machine.prototype.value = function (index) {
  return this.logic.at(this.logic.data.values[index]);
};

/* The same one scan earlier, or null. */
Machine.prototype.before = function (index) {
  return this.were === null ? null : Number(this.were[index]);
};

Machine.prototype.allValues = function () {
  return this.logic.data.values.map(root => this.logic.at(root));
};

/* ---- faults ---- */

function stored(machine, cell) {
  return cell >= 0 && machine.count > 0 &&
         machine.logic.cell[cell] != 0;
}

Machine.prototype.isPresent = function (fault) {
  return stored(this, fault.cell);
};

Machine.prototype.isEnabled = function (fault) {
  return fault.causes.some(c => stored(this, this.causes[c].cell) ||
                                this.appearing.has(this.causes[c].row));
};

/* With the next scan the fault appears, or, where it comes and goes, goes.
 * False: it would have to be there from power-up. */
Machine.prototype.appear = function (fault) {
  const enabled = this.isEnabled(fault), later = this.count > 0;
  const cause = this.causes[fault.cause];
  if (later && (fault.from_power_up || (!enabled && cause.first_only)))
    return false;
  if (!enabled)
    this.appearing.set(cause.row, 1);
  this.appearing.set(fault.row, 1);
  return true;
};

/* Can all faults that ever were present come from the chosen causes and
 * `left` more of those that the requirement names? */
Machine.prototype.explains = function (asked, from, left, chosen) {
  for (let f = from; f < this.faults.length; f++) {
    const fault = this.faults[f];
    if (!this.last().ever[f] ||
        fault.causes.some(c => chosen.has(c)))
      continue;
    return left > 0 && fault.causes.some(c =>
      asked.of.includes(c) &&
      this.explains(asked, f + 1, left - 1, new Set([...chosen, c])));
  }
  return true;
};

/* ---- one scan ---- */

/* What the hands set (a map of rows to values), with all else at rest. */
Machine.prototype.choose = function (hands) {
  const choice = this.restValues.slice();
  for (const [row, value] of hands)
    choice[row] = value;
  for (const [row, value] of this.appearing)
    choice[row] = value;
  return choice;
};

Machine.prototype.positionValues = function () {
  return this.positions.map(p => this.value(p.value));
};

Machine.prototype.fits = function () {
  return this.logic.refused() < 0 && this.errorNow() < 0;
};

Machine.prototype.errorNow = function () {
  const watches = this.logic.data.watches;
  for (let i = this.requirements.length; i < watches.length; i++)
    if (this.logic.at(watches[i]) != 0)
      return i - this.requirements.length;
  return -1;
};

/* Movements that are made by themselves are made as soon as they may: the
 * first that changes where something stands. */
Machine.prototype.chooseMoves = function (choice) {
  if (this.count === 0)
    return;
  this.logic.look(choice);
  let stands = this.positionValues();
  for (const move of this.moves) {
    if (!this.byItself.get(move.row))
      continue;
    for (const value of this.logic.choices[move.row].values) {
      const before = choice[move.row];
      choice[move.row] = value;
      this.logic.look(choice);
      const now = this.positionValues();
      if (this.fits() && now.some((v, i) => v !== stands[i])) {
        stands = now;
        break;
      }
      choice[move.row] = before;
    }
  }
};

/* Runs one scan with these choices.  {refused} or {error} when it was not
 * run, else {broken: [requirements]}. */
Machine.prototype.run = function (choice) {
  const before = this.logic.state(), earlier = this.last();
  let were = null;
  if (this.count > 0) {
    this.show();
    were = this.allValues();
  }
  this.logic.look(choice);
  const refused = this.logic.refused(), error = this.errorNow();
  if (refused >= 0 || error >= 0) {
    this.show();
    return refused >= 0 ? {refused} : {error};
  }
  this.logic.accept();
  this.were = were;
  this.time = this.count === 0 ? 0 : this.time + Number(this.elapsed(choice));
  this.count++;
  this.past.push({before, choice: choice.slice(), time: this.time,
                  ever: this.faults.map((fault, f) => this.isPresent(fault) ||
                    (earlier !== null && earlier.ever[f]))});
  if (this.past.length > MOST_BACK)
    this.past.shift();
  this.appearing = new Map();
  return {broken: this.brokenNow()};
};

Machine.prototype.elapsed = function (choice) {
  return this.time_row < 0 ? this.scan : choice[this.time_row];
};

Machine.prototype.brokenNow = function () {
  return this.requirements
    .map((asked, i) => ({asked, held:
      !asked.judged || this.logic.at(this.logic.data.watches[i]) == 0}))
    .filter(one => !one.held)
    .map(one => ({asked: one.asked, despite: !this.explains(
      one.asked, 0, one.asked.despite, new Set())}));
};

/* After the logic looked at something else: the last scan again. */
Machine.prototype.show = function () {
  const last = this.last();
  if (last === null) {
    this.logic.begin();
    return;
  }
  this.logic.restore(last.before);
  this.logic.look(last.choice);
  this.logic.accept();
};

Machine.prototype.canGoBack = function () {
  return this.past.length > 1 || (this.count === 1 && this.past.length === 1);
};

Machine.prototype.back = function () {
  this.past.pop();
  this.count--;
  this.appearing = new Map();
  this.time = this.count > 0 ? this.last().time : 0;
  this.were = this.valuesBefore();
  this.show();
};

/* Of the scan before the last one. */
Machine.prototype.valuesBefore = function () {
  const earlier = this.past[this.past.length - 2];
  if (!earlier)
    return null;
  this.logic.restore(earlier.before);
  this.logic.look(earlier.choice);
  return this.allValues();
};

/* ---- what would change it ---- */

/* Which single changes of the hands (or, where there is none, which pairs)
 * give root `value` another value with the next scan?  {alone: it changes by
 * itself, changes: [[row, value], ...] lists}. */
Machine.prototype.tries = function (hands, value, most) {
  const now = this.value(value), found = [];
  const differs = more => {
    const choice = this.choose(new Map([...hands, ...more]));
    this.logic.look(choice);
    return this.fits() && this.value(value) !== now;
  };
  const single = this.otherHands(hands);
  const alone = differs([]);
  if (!alone) {
    for (const one of single)
      if (found.length < most && differs([one]))
        found.push([one]);
    for (let i = 0; found.length === 0 && i < single.length; i++)
      for (let k = i + 1; k < single.length && found.length < most; k++)
        if (single[i][0] !== single[k][0] && differs([single[i], single[k]]))
          found.push([single[i], single[k]]);
  }
  this.show();
  return {alone, changes: found};
};

Machine.prototype.otherHands = function (hands) {
  const list = [];
  for (const control of this.controls) {
    const choice = this.logic.choices[control.row];
    const at = hands.has(control.row) ? hands.get(control.row)
                                      : this.restValues[control.row];
    if (choice.values.length <= 16)
      for (const value of choice.values)
        if (value !== at)
          list.push([control.row, value]);
  }
  return list;
};
