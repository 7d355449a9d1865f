/* hands.js - the controls of a machine as they are drawn, pressed and held:
 * by fingers (as many as there are), mouse and keys.
 *
 * Whatever takes a finger, a key or the page away counts as let go.  Only a
 * control that is tied down stays, and is drawn so.
 */


const KEYS = "1234567890qwertuiopasdfghjklyxcvbnm";

function make(tag, set, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(set || {})) {
    if (name === "class")
      made.className = value;
    else if (value !== null)
      made.setAttribute(name, value);
  }
  made.append(...inside);
  return made;
}

/* changed(): a hand did something; changed("let_go"): what was held is
 * released because the page was left; changed("left"): nothing was held.
 * words: the table; machine: what is run. */
function Hands(machine, words, changed) {
  this.m = machine;
  this.words = words;
  this.changed = changed;
  this.set = new Map();      /* row: value of what stays as it is set */
  this.holding = new Map();  /* row: set of fingers and keys */
  this.tied = new Set();
  this.keys = new Map();     /* key: control */
  this.drawn = [];
  this.listen();
}

Hands.prototype.momentary = function (control) {
  return control.kind === "button" ||
         (control.kind === "stop" && !control.latching);
};

Hands.prototype.isHeld = function (row) {
  return this.tied.has(row) ||
         (this.holding.has(row) && this.holding.get(row).size > 0);
};

/* All that is not at rest: row, value. */
Hands.prototype.values = function () {
  const values = new Map(this.set);
  for (const control of this.m.controls)
    if (this.momentary(control))
      values.set(control.row, this.isHeld(control.row) ? 1 : 0);
  return values;
};

/* Takes the hands as a scan had them; what must be held is let go. */
Hands.prototype.follow = function (choice) {
  this.set.clear();
  this.letAllGo();
  this.tied.clear();
  for (const control of this.m.controls)
    if (!this.momentary(control) && choice !== null)
      this.set.set(control.row, choice[control.row]);
  for (const input of this.m.inputs)
    if (choice !== null)
      this.set.set(input.row, choice[input.row]);
};

Hands.prototype.hold = function (control, by) {
  if (!this.holding.has(control.row))
    this.holding.set(control.row, new Set());
  this.holding.get(control.row).add(by);
  this.changed();
};

Hands.prototype.letGo = function (control, by) {
  const held = this.holding.get(control.row);
  if (held && held.delete(by))
    this.changed();
};

/* True when something was held. */
Hands.prototype.letAllGo = function () {
  const any = [...this.holding.values()].some(by => by.size > 0);
  this.holding.clear();
  return any;
};

Hands.prototype.put = function (row, value) {
  this.set.set(row, value);
  this.changed();
};

Hands.prototype.at = function (row) {
  return this.set.has(row) ? this.set.get(row) : this.m.restValues[row];
};

/* ---- drawing ---- */

Hands.prototype.label = function (thing, i) {
  const value = this.m.logic.choices[thing.row].values[i];
  if (thing.labels)
    return thing.labels[i];
  return thing.type === null ? this.words[Number(value) !== 0 ? "on" : "off"]
                             : thing.type[Number(value)];
};

/* A button that is pressed as long as it is held. */
Hands.prototype.drawHeld = function (control, key) {
  const state = make("b", {class: "state"});
  const press = make("button", {
    type: "button", class: `press ${control.kind} ${control.colour || ""}`,
    "aria-pressed": "false",
    "data-row": control.row}, make("span", {class: "cap"}),
    make("bdi", {}, control.title), state);
  const tie = make("button", {type: "button", class: "tie",
                              "aria-pressed": "false"}, this.words.tie);
  tie.setAttribute("aria-label", `${this.words.tie}: ${control.title}`);
  if (key)
    press.append(make("kbd", {}, key));
  press.addEventListener("pointerdown", event => {
    press.setPointerCapture(event.pointerId);
    this.hold(control, event.pointerId);
  });
  for (const name of ["pointerup", "pointercancel", "lostpointercapture"])
    press.addEventListener(name,
                           event => this.letGo(control, event.pointerId));
  press.addEventListener("contextmenu", event => event.preventDefault());
  press.addEventListener("keydown", event => {
    if (event.key !== " " && event.key !== "Enter")
      return;
    event.preventDefault();
    if (!event.repeat)
      this.hold(control, "at " + event.key);
  });
  press.addEventListener("keyup", event => {
    if (event.key === " " || event.key === "Enter")
      event.preventDefault();
    this.letGo(control, "at " + event.key);
  });
  press.addEventListener("blur", () => {
    this.letGo(control, "at  ");
    this.letGo(control, "at Enter");
  });
  tie.addEventListener("click", () => {
    if (!this.tied.delete(control.row))
      this.tied.add(control.row);
    this.changed();
  });
  this.drawn.push(() => {
    const held = this.isHeld(control.row), tied = this.tied.has(control.row);
    press.setAttribute("aria-pressed", String(held));
    tie.setAttribute("aria-pressed", String(tied));
    state.textContent = tied ? this.words.tied
                             : this.words[held ? "held" : "released"];
    press.parentNode.classList.toggle("misuse", tied);
  });
  return make("div", {class: "control"}, press, tie);
};

/* A switch, or a stop that latches. */
Hands.prototype.drawSwitch = function (control, key) {
  const stop = control.kind === "stop", state = make("b", {class: "state"});
  const press = make("button", {
    type: "button", class: "press " + (stop ? "stop latching" : "switch"),
    "aria-pressed": "false", "data-row": control.row},
    make("span", {class: "cap"}), make("bdi", {}, control.title), state);
  if (key)
    press.append(make("kbd", {}, key));
  press.addEventListener("click", () =>
    this.put(control.row, this.at(control.row) ? 0 : 1));
  this.drawn.push(() => {
    const on = this.at(control.row) != 0;
    press.setAttribute("aria-pressed", String(on));
    state.textContent = this.words[stop ? (on ? "latched" : "pulled")
                                        : (on ? "on" : "off")];
  });
  return make("div", {class: "control"}, press);
};

/* One position of several. */
Hands.prototype.drawPositions = function (thing) {
  const group = make("div", {class: "control several", role: "group",
                             "aria-label": thing.title},
                     make("bdi", {class: "name"}, thing.title));
  const values = this.m.logic.choices[thing.row].values;
  if (values.length > 12)
    return this.drawList(thing, group, values);
  values.forEach((value, i) => {
    const press = make("button", {type: "button", class: "place",
                                  "data-row": thing.row,
                                  "data-value": String(value)},
                       make("bdi", {}, this.label(thing, i)));
    press.addEventListener("click", () => this.put(thing.row, value));
    this.drawn.push(() => press.setAttribute(
      "aria-pressed", String(this.at(thing.row) == value)));
    group.append(press);
  });
  return group;
};

Hands.prototype.drawList = function (thing, group, values) {
  const list = make("select", {"aria-label": thing.title});
  values.forEach((_, i) => list.append(
    make("option", {value: String(i)}, this.label(thing, i))));
  list.addEventListener("change",
                        () => this.put(thing.row, values[list.value]));
  this.drawn.push(() => {
    list.value = String(values.findIndex(v => v == this.at(thing.row)));
  });
  group.append(list);
  return group;
};

Hands.prototype.draw = function (control) {
  if (control.kind === "selector" || control.kind === "number")
    return this.drawPositions(control);
  const key = KEYS[this.keys.size];
  if (key)
    this.keys.set(key, control);
  return this.momentary(control) ? this.drawHeld(control, key)
                                 : this.drawSwitch(control, key);
};

Hands.prototype.refresh = function () {
  for (const one of this.drawn)
    one();
};

/* ---- what takes hands away ---- */

Hands.prototype.listen = function () {
  const stop = new AbortController(), on = {signal: stop.signal};
  const lost = () => this.changed(this.letAllGo() ? "let_go" : "left");
  this.close = () => stop.abort();
  document.addEventListener("keydown", event => this.key(event, true), on);
  document.addEventListener("keyup", event => this.key(event, false), on);
  document.addEventListener("visibilitychange", lost, on);
  for (const name of ["blur", "pagehide", "orientationchange"])
    window.addEventListener(name, lost, on);
  if (screen.orientation && screen.orientation.addEventListener)
    screen.orientation.addEventListener("change", lost, on);
  /* Also a window that is pulled from tall to wide. */
  window.matchMedia("(orientation: portrait)")
    .addEventListener("change", lost, on);
};

Hands.prototype.key = function (event, down) {
  const control = this.keys.get(event.key.toLowerCase());
  if (!control || (down && (event.ctrlKey || event.altKey || event.metaKey ||
                            event.repeat ||
                            /^(SELECT|INPUT|TEXTAREA)$/.test(
                              event.target.tagName))))
    return;
  if (!this.momentary(control)) {
    if (down)
      this.put(control.row, this.at(control.row) ? 0 : 1);
  } else if (down) {
    this.hold(control, "key");
  } else {
    this.letGo(control, "key");
  }
};
