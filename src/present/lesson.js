/* lesson.js - the trainer's page: one machine drawn, run by a clock or step
 * by step, with reasons and stories.
 */


const DATA = JSON.parse(document.getElementById("data").textContent);
const W = DATA.words;

function words(key, ...with_) {
  return W[key].split("{}").reduce(
    (text, part, i) => text + (i === 0 ? "" : with_[i - 1]) + part, "");
}

function seconds(ms) {
  return (ms / 1000).toFixed(ms % 100 === 0 ? 1 : 3).replace(".", W.point);
}

/* ---- the page of one machine ---- */

function Page(at) {
  this.m = new Machine(DATA.machines[at]);
  this.number = at;
  this.reasons = new Reasons(this.m, W);
  this.play = null;
  this.timer = null;
  this.speed = 1;
  this.open = new Set();
  this.drawnFor = 0;
  this.parts = [];
  this.hands = new Hands(this.m, W, reason => this.handMoved(reason));
  this.root = make("div", {class: "machine"});
  this.draw();
  this.refresh();
}

Page.prototype.close = function () {
  this.stop();
  this.hands.close();
  this.root.remove();
};

Page.prototype.say = function (text, kind) {
  this.told.textContent = text;
  this.told.className = "told " + (kind || "");
};

/* A hand leaves the story: from here on it is the reader's. */
Page.prototype.handMoved = function (reason) {
  if (reason === "let_go")
    this.say(W.let_go);
  if (document.hidden)
    this.stop();
  if (reason === undefined && this.play !== null && this.m.scans() > 0) {
    const last = this.m.last().choice;
    this.play = null;
    this.say(W.left_story);
    for (const control of this.m.controls)
      if (!this.hands.momentary(control) && !this.hands.set.has(control.row))
        this.hands.set.set(control.row, last[control.row]);
  }
  this.refreshHands();
};

/* ---- clock ---- */

Page.prototype.stop = function () {
  clearInterval(this.timer);
  this.timer = null;
  this.refreshClock();
};

Page.prototype.start = function () {
  this.stop();
  this.timer = setInterval(() => this.step(),
                           Math.max(20, this.m.scan / this.speed));
  this.refreshClock();
};

Page.prototype.step = function () {
  const choice = this.play !== null ? this.nextOfStory() : this.nextByHand();
  if (choice === null) {
    this.stop();
    this.say(W.end_of_story);
    return;
  }
  const went = this.m.run(choice);
  if (went.refused !== undefined)
    this.say(words("refused", this.m.assumptions[went.refused]), "stands");
  else if (went.error !== undefined)
    this.ends(went.error);
  else
    this.ran(went);
  this.refresh();
};

Page.prototype.ran = function (went) {
  if (this.play !== null) {
    if (this.play.at++ === 0)
      this.say("");
    this.hands.follow(this.m.last().choice);
    this.tellStory();
  }
  if (went.broken.length > 0) {
    this.stop();
    this.say(went.broken.map(one => words(
      one.despite ? "broken_despite" : "broken", one.asked.name,
      one.asked.title)).join(" "), "stands");
  } else if (this.told.classList.contains("stands")) {
    this.say("");
  }
};

Page.prototype.ends = function (error) {
  this.stop();
  this.say(words("error", this.m.errors[error]), "stands");
};

Page.prototype.nextByHand = function () {
  const choice = this.m.choose(this.hands.values());
  if (this.power && this.m.power_row >= 0)
    choice[this.m.power_row] = this.m.scans() > 0 ? 1 : 0;
  for (const position of this.m.positions)
    if (position.start >= 0)
      choice[position.start] = position.from;
  this.m.chooseMoves(choice);
  return choice;
};

Page.prototype.back = function () {
  this.stop();
  if (!this.m.canGoBack())
    return;
  this.m.back();
  const last = this.m.last();
  if (this.play !== null)
    this.play.at = Math.max(0, this.play.at - 1);
  this.hands.follow(last === null ? null : last.choice);
  this.power = last !== null && this.m.power_row >= 0 &&
               last.choice[this.m.power_row] != 0;
  this.say("");
  this.tellStory();
  this.refresh();
};

Page.prototype.powerUp = function () {
  this.stop();
  this.m.powerUp();
  this.power = false;
  if (this.play !== null)
    this.play.at = 0;
  this.say("");
  this.tellStory();
  this.refresh();
};

/* ---- stories ---- */

Page.prototype.load = function (story) {
  this.play = {story, at: 0};
  this.hands.follow(null);
  this.powerUp();
  this.say(words("loaded", story.title));
  this.root.scrollIntoView();
};

Page.prototype.nextOfStory = function () {
  const {story, at} = this.play;
  if (at >= story.scans.length)
    return null;
  const choice = at === 0 ? this.m.restValues.slice()
                          : this.m.last().choice.slice();
  const changes = story.scans[at];
  for (let i = 0; i < changes.length; i += 2)
    choice[changes[i]] = exact(changes[i + 1]);
  return choice;
};

Page.prototype.tellStory = function () {
  this.story.replaceChildren();
  for (const row of document.querySelectorAll("tr.now"))
    row.classList.remove("now");
  if (this.play === null || this.play.at === 0)
    return;
  const strip = document.getElementById(this.play.story.id);
  for (const row of strip.querySelectorAll("tr[data-scan]"))
    if (Number(row.dataset.scan) === this.play.at - 1) {
      row.classList.add("now");
      for (const cell of row.cells)
        this.story.append(make("p", {}, cell.innerText));
    }
};

/* ---- drawing ---- */

Page.prototype.button = function (key, act, set) {
  const made = make("button", Object.assign({type: "button"}, set), W[key]);
  made.addEventListener("click", act);
  return made;
};

Page.prototype.drawBar = function () {
  this.clock = make("output", {class: "clock"});
  this.told = make("p", {class: "told", role: "status",
                         "aria-live": "polite"});
  this.go = this.button("run", () =>
    this.timer === null ? this.start() : this.stop(), {class: "go"});
  const slow = make("select", {"aria-label": W.speed});
  for (const speed of [1, 0.5, 0.1])
    slow.append(make("option", {value: speed}, words("times", speed)));
  slow.addEventListener("change", () => {
    this.speed = Number(slow.value);
    if (this.timer !== null)
      this.start();
  });
  return make("div", {class: "bar"}, this.clock, this.go,
              this.button("step", () => { this.stop(); this.step(); },
                          {class: "step"}),
              this.button("back", () => this.back(), {class: "back"}),
              this.button("power_up", () => this.powerUp(),
                          {class: "again"}), slow, this.told);
};

Page.prototype.draw = function () {
  this.story = make("div", {class: "story", "aria-live": "polite"});
  this.root.append(this.drawBar(), this.story, this.drawPicture(),
                   make("div", {class: "stations"}, ...this.drawStations()),
                   this.drawOutputs(),
                   this.drawMore());
};

/* Where the machine stands: one row of places for each of its variables. */
Page.prototype.drawPicture = function () {
  const box = make("section", {class: "picture"},
                   make("h3", {}, W.positions));
  for (const position of this.m.positions) {
    const row = make("div", {class: "track", role: "img"});
    if (Array.isArray(position.type))
      position.type.forEach((item, i) => {
        const place = make("span", {}, make("bdi", {}, item));
        row.append(place);
        this.parts.push(() => place.classList.toggle(
          "here", this.m.scans() > 0 && this.m.value(position.value) == i));
      });
    const value = make("b", {});
    this.parts.push(() => {
      const now = this.m.scans() > 0
        ? this.reasons.say(position.type, this.m.value(position.value))
        : W.not_yet;
      value.textContent = now;
      row.setAttribute("aria-label", `${position.text}: ${now}`);
    });
    box.append(make("div", {class: "position"},
                    make("bdi", {class: "name"}, position.text), value, row,
                    this.drawStart(position)));
  }
  if (this.m.positions.length === 0)
    box.append(make("p", {}, W.no_machine));
  return box;
};

/* Before power comes for the first time it may stand anywhere. */
Page.prototype.drawStart = function (position) {
  if (position.start < 0)
    return "";
  const values = this.m.logic.choices[position.start].values;
  const list = make("select", {"aria-label":
                               words("start_of", position.text)});
  position.from = this.m.restValues[position.start];
  values.forEach((value, i) => list.append(make(
    "option", {value: String(i)}, this.reasons.say(position.type, value))));
  list.value = String(values.findIndex(value => value == position.from));
  list.addEventListener("change", () => {
    position.from = values[list.value];
  });
  const label = make("label", {class: "start"}, W.start + " ", list);
  this.parts.push(() => { label.hidden = this.m.scans() > 0 ||
                                         this.play !== null; });
  return label;
};

Page.prototype.drawStations = function () {
  const places = new Map();
  for (const thing of [...this.m.controls,
                       ...this.m.actuators.filter(a => a.kind === "lamp")]) {
    const place = thing.place || W.no_place;
    if (!places.has(place))
      places.set(place, []);
    places.get(place).push(thing);
  }
  return [...places].map(([place, things]) =>
    make("section", {class: things.length > 2 ? "station wide" : "station"},
         make("h3", {}, make("bdi", {}, place)),
         ...this.seen(things),
         make("div", {class: "controls"},
              ...things.map(thing => thing.kind === "lamp"
                ? this.drawLamp(thing) : this.hands.draw(thing)))));
};

Page.prototype.seen = function (things) {
  const sees = [...new Set(things.map(t => t.sees).filter(s => s))];
  return sees.map(what => make("p", {class: "sees"}, words("sees", what)));
};

Page.prototype.drawLamp = function (lamp) {
  const state = make("b", {class: "state"});
  const drawn = make("div", {class: "control lamp " + (lamp.colour || "")},
                     make("span", {class: "cap"}),
                     make("bdi", {}, lamp.title), state);
  this.parts.push(() => {
    const lit = this.isOn(lamp);
    drawn.classList.toggle("lit", lit);
    state.textContent = W[lit ? "lit" : "dark"];
  });
  return drawn;
};

Page.prototype.isOn = function (actuator) {
  return this.m.scans() > 0 && this.m.value(actuator.value) != 0;
};

Page.prototype.drawOutputs = function () {
  const box = make("section", {class: "outputs"},
                   make("h3", {}, W.outputs));
  this.m.actuators.forEach((actuator, i) => {
    const state = make("b", {class: "state"});
    const ask = make("button", {type: "button", class: "why",
                                "aria-expanded": "false"}, W.why);
    const answer = make("div", {class: "answer"});
    const row = make("div", {class: "output", "data-name": actuator.name},
                     make("bdi", {class: "name"}, actuator.title), state,
                     ask, answer);
    ask.setAttribute("aria-label", `${W.why}: ${actuator.title}`);
    ask.addEventListener("click", () => {
      if (!this.open.delete(i))
        this.open.add(i);
      this.refreshReasons(true);
    });
    this.parts.push(() => {
      const on = this.isOn(actuator);
      row.classList.toggle("on", on);
      state.textContent = this.m.scans() === 0 ? W.not_yet
        : actuator.type === null ? W[on ? "on" : "off"]
        : this.reasons.say(actuator.type, this.m.value(actuator.value));
    });
    actuator.ask = ask;
    actuator.answer = answer;
    box.append(row);
  });
  return box;
};

Page.prototype.drawMore = function () {
  const box = make("section", {class: "more"});
  if (this.m.power_row >= 0) {
    const power = this.button("power_off", () => {
      this.power = !this.power;
      this.play = null;
      this.refresh();
    }, {class: "power", "aria-pressed": "false"});
    this.parts.push(() => {
      power.setAttribute("aria-pressed", String(!!this.power));
      power.textContent = W[this.power ? "power_on" : "power_off"];
    });
    box.append(make("h3", {}, W.supply), power);
  }
  this.drawMoves(box);
  if (this.m.inputs.length > 0)
    box.append(make("h3", {}, W.inputs), make("div", {class: "controls"},
      ...this.m.inputs.map(input => this.hands.drawPositions(input))));
  this.drawFaults(box);
  return box;
};

Page.prototype.drawMoves = function (box) {
  if (this.m.moves.length === 0)
    return;
  box.append(make("h3", {}, W.moves));
  for (const move of this.m.moves) {
    const set = this.button("moves_itself", () => {
      this.m.byItself.set(move.row, !this.m.byItself.get(move.row));
      this.refresh();
    });
    this.parts.push(() => {
      const yes = this.m.byItself.get(move.row);
      set.setAttribute("aria-pressed", String(yes));
      set.textContent = `${move.text}: ` +
                        W[yes ? "moves_itself" : "stands_still"];
    });
    box.append(set);
  }
};

Page.prototype.drawFaults = function (box) {
  if (this.m.faults.length === 0)
    return;
  box.append(make("h3", {}, W.faults), make("p", {}, W.faults_note));
  for (const fault of this.m.faults) {
    const state = make("b", {class: "state"});
    const set = make("button", {type: "button", class: "fault",
                                "aria-pressed": "false"},
                     make("bdi", {}, `${fault.name}: ${fault.title}`),
                     " ", state);
    set.addEventListener("click", () => {
      this.play = null;
      if (this.m.isPresent(fault) && !fault.goes)
        this.say(W.fault_stays);
      else if (!this.m.appear(fault))
        this.say(W.fault_from_start);
      this.refresh();
    });
    this.parts.push(() => {
      const there = this.m.isPresent(fault);
      const soon = this.m.appearing.has(fault.row);
      set.setAttribute("aria-pressed", String(there));
      state.textContent = soon ? W.next_scan : there ? W.there : "";
    });
    box.append(set);
  }
};

/* ---- after each scan ---- */

Page.prototype.refreshClock = function () {
  this.clock.textContent = this.m.scans() === 0
    ? W.before_power
    : words("clock", seconds(this.m.time), this.m.scans());
  this.go.textContent = W[this.timer === null ? "run" : "pause"];
};

Page.prototype.refreshHands = function () {
  this.hands.refresh();
  if (this.play === null || this.m.scans() === 0)
    return;
  const choice = this.m.last().choice;
  for (const press of this.root.querySelectorAll(".press[data-row]")) {
    const held = choice[press.dataset.row] != 0;
    if (press.classList.contains("switch") ||
        press.classList.contains("latching"))
      continue;
    press.setAttribute("aria-pressed", String(held));
    press.querySelector(".state").textContent =
      W[held ? "held" : "released"];
  }
};

Page.prototype.refresh = function () {
  for (const part of this.parts)
    part();
  this.refreshHands();
  this.refreshClock();
  this.refreshReasons(false);
};

/* While the clock runs reasons are given twice a second: trying all hands
 * takes its time. */
Page.prototype.refreshReasons = function (now) {
  if (!now && this.timer !== null && Date.now() - this.drawnFor < 500)
    return;
  this.drawnFor = Date.now();
  const asked = this.m.actuators.filter((_, i) => this.open.has(i));
  this.m.actuators.forEach((actuator, i) => {
    actuator.ask.setAttribute("aria-expanded", String(this.open.has(i)));
    if (!this.open.has(i))
      actuator.answer.replaceChildren();
  });
  if (this.m.scans() === 0) {
    for (const actuator of asked)
      actuator.answer.replaceChildren(make("p", {}, W.step_first));
    return;
  }
  for (const actuator of asked)
    this.explain(actuator, actuator.answer);
  for (const actuator of asked)
    if (this.timer === null)
      this.tellTries(actuator);
};

Page.prototype.explain = function (actuator, into) {
  into.replaceChildren(...this.reason({value: actuator.value},
                                      actuator.title, 0));
};

/* What is behind a value, as elements. */
Page.prototype.reason = function (ask, title, depth) {
  const why = this.reasons.why(ask), made = [];
  if (why === null)
    return [make("p", {}, W.no_reason)];
  if (why.apart)
    return [make("p", {}, why.type === null
      ? words(why.on ? "on_apart" : "off_apart", title)
      : words("value_apart", title, why.now))];
  if (why.from)
    return this.depends(why, title, depth);
  if (why.tree === true || why.tree === false)
    return [make("p", {}, why.now !== undefined
      ? words("value_always", title, why.now)
      : ask.expr !== undefined ? words(why.tree ? "always_so" : "never_so",
                                       title)
      : words(why.tree ? "always" : "never", title))];
  made.push(make("p", {}, this.reasonHead(why, ask, title)));
  if (why.large !== null)
    made.push(make("p", {}, W.too_much),
              this.startingFrom(why.large, depth));
  else
    made.push(this.list(why.tree, depth));
  if (why.missing.length > 0)
    made.push(make("p", {class: "missing"},
                   this.missingHead(why, ask, title) + " " +
                   why.missing.map(leaf => leaf.wanted || leaf.text)
                     .join(" " + W.and + " ") + "."));
  return made;
};

Page.prototype.reasonHead = function (why, ask, title) {
  if (why.now !== undefined)
    return words("value_because", title, why.now, why.place);
  if (ask.expr !== undefined)
    return words(why.on ? "so_because" : "not_so_because", title, why.place);
  return words(why.on ? "on_because" : "off_because", title, why.place);
};

Page.prototype.missingHead = function (why, ask, title) {
  if (ask.expr !== undefined)
    return words(why.on ? "to_be_not_so" : "to_be_so", title);
  return words(why.on ? "to_go_off" : "to_come_on", title);
};

/* Where the way is not followed: what it starts from. */
Page.prototype.depends = function (why, title, depth) {
  const made = [make("p", {}, words("depends_on", title, why.now, why.place))];
  if (why.from.length > 0)
    made.push(this.startingFrom(why.from, depth));
  if (why.more || why.from.length === 0)
    made.push(make("p", {}, why.more ? W.and_more : W.not_followed));
  return made;
};

/* Of several ways that would do, one that does is shown before the others; of
 * several things needed, what is missing stands first. */
Page.prototype.list = function (tree, depth) {
  const kind = tree.all ? "all" : tree.any ? "any" : null;
  const box = make("div", {class: "condition"});
  const item = part => part.all || part.any
    ? make("li", {}, this.truth(holds(part)), " ", this.list(part, depth))
    : this.leaf(part, depth);
  if (kind === null) {
    box.append(make("ul", {}, this.leaf(tree, depth)));
    return box;
  }
  const first = tree[kind].filter(part => holds(part) === (kind === "any"));
  const others = tree[kind].filter(part => !first.includes(part));
  box.append(make("p", {}, W[kind === "all" ? "all_of" : "one_of"]));
  if (kind === "any" && first.length > 0 && others.length > 0) {
    box.append(make("ul", {}, ...first.map(item)));
    box.append(make("details", {},
                    make("summary", {}, words("other_ways", others.length)),
                    make("ul", {}, ...others.map(item))));
  } else {
    box.append(make("ul", {}, ...[...first, ...others].map(item)));
  }
  return box;
};

Page.prototype.truth = function (yes) {
  return make("b", {class: yes ? "so" : "not-so"},
              W[yes === null ? "not_known" : yes ? "is_so" : "is_not_so"]);
};

Page.prototype.leaf = function (leaf, depth) {
  return make("li", {}, this.truth(leaf.holds), " ",
              make("bdi", {}, leaf.text), ...this.partsOf(leaf, depth),
              ...this.deeper(leaf, leaf.text, depth));
};

/* What is added to a sum. */
Page.prototype.partsOf = function (leaf, depth) {
  if (!leaf.parts)
    return [];
  return [make("ul", {}, ...leaf.parts.map(part =>
    make("li", {}, part.text, " ",
         ...(part.tree === null || part.tree === true || part.tree === false
             ? [] : part.tree.text
             ? [this.truth(part.tree.holds), " ",
                make("bdi", {}, part.tree.text),
                ...this.deeper(part.tree, part.tree.text, depth)]
             : [this.truth(holds(part.tree)),
                this.list(part.tree, depth)]))))];
};

/* Names and what they are now. */
Page.prototype.startingFrom = function (list, depth) {
  return make("ul", {}, ...list.map(leaf =>
    make("li", {}, make("bdi", {}, leaf.text),
         ...this.deeper(leaf, leaf.text, depth))));
};

/* A button for the reason of a reason. */
Page.prototype.deeper = function (leaf, text, depth) {
  if (leaf.ask === undefined || depth >= 6)
    return [];
  const ask = make("button", {type: "button", class: "deeper"}, W.why);
  ask.setAttribute("aria-label", `${W.why}: ${text}`);
  ask.addEventListener("click", () => {
    this.stop();
    const name = this.reasons.names.get(leaf.ask.value);
    const title = leaf.ask.expr !== undefined || !name ? text : name.text;
    const made = make("div", {class: "deep", tabindex: "-1"},
                      ...this.reason(leaf.ask, title, depth + 1));
    ask.replaceWith(made);
    made.focus({preventScroll: true}); /* whoever uses keys goes on here */
  });
  return [" ", ask];
};

/* What the hands could do about it, tried out on the model. */
Page.prototype.tellTries = function (actuator) {
  const hands = this.play !== null
    ? new Map(this.m.controls.map(c => [c.row,
                                        this.m.last().choice[c.row]]))
    : this.hands.values();
  const tried = this.m.tries(hands, actuator.value, 6);
  const box = make("div", {class: "tries"}, make("p", {}, W.tried));
  if (tried.alone)
    box.append(make("p", {}, W.by_itself));
  else if (tried.changes.length === 0)
    box.append(make("p", {}, W.no_hand));
  else
    box.append(make("ul", {}, ...tried.changes.map(change => make("li", {},
      change.map(([row, value]) => this.sayHand(row, value))
        .join(" " + W.and + " ")))));
  actuator.answer.append(box);
};

Page.prototype.sayHand = function (row, value) {
  const control = this.m.controls.find(c => c.row === row);
  if (control.type !== null)
    return words("set_to", control.title,
                 this.reasons.say(control.type, value));
  const kind = control.kind === "switch" ? "switch_"
             : control.kind === "stop" ? "press_" : "hold_";
  return words(kind + (value != 0 ? "on" : "off"), control.title);
};

/* ---- the whole page ---- */

let page = null;

function showMachine(at) {
  if (page !== null)
    page.close();
  page = new Page(at);
  document.getElementById("live").append(page.root);
  for (const choice of document.querySelectorAll("#machines button"))
    choice.setAttribute("aria-pressed", String(choice.dataset.at == at));
}

function begin() {
  const live = document.getElementById("live");
  const choose = make("div", {id: "machines", class: "machines"});
  live.replaceChildren();
  if (DATA.machines.length > 1)
    live.append(choose);
  DATA.machines.forEach((machine, i) => {
    const made = make("button", {type: "button", "data-at": i},
                      machine.title);
    made.addEventListener("click", () => showMachine(i));
    choose.append(made);
  });
  for (const story of DATA.stories) {
    const walk = make("button", {type: "button", class: "walk"}, W.walk);
    walk.setAttribute("aria-label", `${W.walk}: ${story.title}`);
    walk.addEventListener("click", () => {
      if (page.number !== story.machine)
        showMachine(story.machine);
      page.load(story);
    });
    document.querySelector(`#${story.id} h3`).after(walk);
  }
  showMachine(0);
}

begin();
