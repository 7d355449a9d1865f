/* pages.js - looks at a trainer's page with a real browser:
 *
 *     node pages.js CHECK FILE [OTHER]
 *
 * Exit code 0 and a line when all is as it must be, else 1 and what is not.
 * CHROMIUM in the environment names the browser.
 */
"use strict";

const assert = require("assert");
const {execFileSync} = require("child_process");
const fs = require("fs");
const path = require("path");
const {Browser} = require(path.join(__dirname, "browser.js"));

/* The rules for accessibility, where they were fetched. */
const RULES = path.join(__dirname,
                        "../../build/npm/node_modules/axe-core/axe.min.js");

/* CSS pixels of 15 mm. */
const TARGET = 15 / 25.4 * 96;

const state = name =>
  `document.querySelector('[data-name=${name}] .state').textContent`;
const titled = title =>
  `[...document.querySelectorAll('.press')].find(p => p.innerText` +
  `.includes(${JSON.stringify(title)}))`;
const row = (b, title) => b.value(titled(title) + ".dataset.row");
const press = number => `.press[data-row="${number}"]`;

async function quiet(b) {
  assert.deepStrictEqual(b.complaints, []);
}

async function steps(b, n) {
  for (let i = 0; i < n; i++)
    await b.click(".bar .step");
}

/* The gate at Narrow, reset pressed and let go. */
async function readyGate(b, file) {
  await b.open(file, 900, 900);
  await b.value(`(() => {
    const list = document.querySelector('.start select');
    list.value = [...list.options].findIndex(o => o.text === 'Narrow');
    list.dispatchEvent(new Event('change')); })()`);
  const reset = press(await row(b, "reset button"));
  await steps(b, 1);
  await b.mouse("mousePressed", reset);
  await b.value("page.step()");
  await b.mouse("mouseReleased", reset);
  await b.value("page.step()");
}

const checks = {
  /* Loads silently, fits a telephone and a sheet, targets are large. */
  async loads(b, file) {
    for (const width of [360, 800, 1280]) {
      await b.open(file, width, 800);
      await steps(b, 3);
      await b.value("document.querySelectorAll('.why').forEach(" +
                    "b => b.click())");
      await b.value("document.querySelectorAll('details').forEach(" +
                    "d => { d.open = true; })");
      assert.strictEqual(
        await b.value("document.documentElement.scrollWidth"), width);
      const small = await b.value(`[...document.querySelectorAll(
        'button, select, summary')].map(e => ({t: e.outerHTML.slice(0, 80),
          r: e.getBoundingClientRect()})).filter(({r}) => r.width > 0 &&
          (r.width < ${TARGET} - 0.5 || r.height < ${TARGET} - 0.5))
        .map(({t}) => t)`);
      assert.deepStrictEqual(small, []);
      const unnamed = await b.value(`[...document.querySelectorAll(
        'button, select')].filter(e => !e.getAttribute('aria-label') &&
          e.innerText.trim() === '' && !e.labels.length)
        .map(e => e.outerHTML)`);
      assert.deepStrictEqual(unnamed, []);
      /* Clock and notice stay in sight wherever one reads. */
      await b.value("document.querySelector('.outputs').scrollIntoView()");
      assert.strictEqual(await b.value(
        "document.querySelector('.bar').getBoundingClientRect().top"), 0);
      assert.ok((await b.value(
        "document.querySelector('.notice').getBoundingClientRect().bottom"))
        <= 801);
      await quiet(b);
    }
    await b.ask("Emulation.setEmulatedMedia", {media: "print"});
    await b.ask("Emulation.setDeviceMetricsOverride",
                {width: 680, height: 1000, deviceScaleFactor: 1,
                 mobile: false});
    assert.strictEqual(
      await b.value("document.documentElement.scrollWidth"), 680);
    await quiet(b);
  },

  /* Two hands by keys, step by step: within the lag the gate is lowered, and
   * one let go stops it; outside nothing moves. */
  async keys(b, file) {
    await readyGate(b, file);
    const key = async title => b.value(
      `${titled(title)}.querySelector('kbd').textContent`);
    const left = await key("left closing button");
    const right = await key("right closing button");
    await b.key(left, true);
    await b.value("page.step()");
    assert.strictEqual(await b.value(state("lower_valve")), "off");
    await b.key(right, true);
    await b.value("page.step()");
    assert.strictEqual(await b.value(state("lower_valve")), "on");
    for (let i = 0; i < 5; i++)
      await b.value("page.step()");
    assert.strictEqual(await b.value(
      "document.querySelector('.track .here').innerText"), "Shut");
    await b.key(left, false);
    await b.value("page.step()");
    assert.strictEqual(await b.value(state("lower_valve")), "off");
    await b.key(right, false);

    await readyGate(b, file);
    await b.key(left, true);
    for (let i = 0; i < 6; i++)
      await b.value("page.step()");
    await b.key(right, true);
    for (let i = 0; i < 5; i++)
      await b.value("page.step()");
    assert.strictEqual(await b.value(state("lower_valve")), "off");
    assert.strictEqual(await b.value(
      "document.querySelector('.track .here').innerText"), "Narrow");
    await quiet(b);
  },

  /* Two fingers with the clock running; the first one lifted ends it, and so
   * does whatever takes the page away. */
  async fingers(b, file) {
    await readyGate(b, file);
    const left = press(await row(b, "left closing button"));
    const right = press(await row(b, "right closing button"));
    const pressed = selector => b.value(
      `document.querySelector('${selector}').getAttribute('aria-pressed')`);
    await b.value(`document.querySelector('${left}').scrollIntoView()`);
    await b.value("scrollBy(0, -250)");
    const at = selector => b.value(`(() => { const r = document.querySelector(
      '${selector}').getBoundingClientRect();
      return {x: r.x + r.width / 2, y: r.y + r.height / 2}; })()`);
    const fingers = [await at(left), await at(right)];
    await b.value("page.start()");
    await b.touch("touchStart", fingers);
    const lowered = await b.value(`new Promise(done => {
      const end = Date.now() + 5000, look = () => {
        if (${state("lower_valve")} === 'on' || Date.now() > end)
          done(${state("lower_valve")});
        else setTimeout(look, 20); };
      look(); })`, true);
    assert.strictEqual(lowered, "on");
    await b.touch("touchEnd", [fingers[0]]);
    await b.value("page.stop(); page.step()");
    assert.deepStrictEqual([await pressed(left), await pressed(right)].sort(),
                           ["false", "true"]);
    assert.strictEqual(await b.value(state("lower_valve")), "off");
    await b.touch("touchCancel", []);
    assert.strictEqual(await pressed(left), "false");
    for (const lost of ["window.dispatchEvent(new Event('blur'))",
                        "document.dispatchEvent(" +
                          "new Event('visibilitychange'))",
                        "window.dispatchEvent(" +
                          "new Event('orientationchange'))"]) {
      await b.touch("touchStart", fingers);
      assert.strictEqual(await pressed(right), "true");
      await b.value(lost);
      assert.strictEqual(await pressed(right), "false");
      await b.touch("touchCancel", []);
    }
    await b.click(left + " + .tie");
    assert.ok((await b.value(`document.querySelector('${left}').innerText`))
      .includes("tied down (misuse)"));
    await b.value("window.dispatchEvent(new Event('blur'))");
    assert.strictEqual(await pressed(left), "true");
    await quiet(b);
  },

  /* Back and forth, faults, power: what was is there again. */
  async back(b, file) {
    await readyGate(b, file);
    const all = "JSON.stringify(page.m.allValues())";
    const before = await b.value(all);
    await b.value("page.hands.hold(page.m.controls[0], 'test')");
    for (let i = 0; i < 4; i++)
      await b.value("page.step()");
    assert.notStrictEqual(await b.value(all), before);
    for (let i = 0; i < 4; i++)
      await b.click(".bar .back");
    assert.strictEqual(await b.value(all), before);
    await b.click(".more .fault");
    await b.value("page.step()");
    assert.strictEqual(await b.value(
      "document.querySelector('.more .fault').getAttribute('aria-pressed')"),
      "true");
    await b.click(".more .power");
    await b.value("page.step()");
    assert.strictEqual(await b.value("page.m.value(page.m.names.find(" +
      "n => n.kind === 'power').value)"), 1);
    await quiet(b);
  },

  /* Reasons are those of the machine: over random walks without faults what
   * is written always leads to what is there. */
  async reasons(b, file) {
    await b.open(file, 900, 900);
    const apart = await b.value(`(() => {
      let seed = 7, found = [], looked = 0;
      const any = n => {
        seed = (seed * 1103515245 + 12345) % 2147483648;
        return Math.floor(seed / 65536) % n; };
      for (let i = 0; i < 400; i++) {
        const hands = new Map(page.m.controls.map(c => {
          const values = page.m.logic.choices[c.row].values;
          return [c.row, any(3) === 0 ? values[any(values.length)]
                                      : page.m.restValues[c.row]]; }));
        const choice = page.m.choose(hands);
        page.m.chooseMoves(choice);
        if (page.m.run(choice).broken === undefined)
          continue;
        for (const value of page.reasons.written.keys()) {
          looked++;
          if (page.reasons.why({value}).apart)
            found.push(i + ' ' + (page.reasons.names.get(value) ||
                                  {text: value}).text);
        }
      }
      return {looked, found: found.slice(0, 10)}; })()`);
    assert.deepStrictEqual(apart.found, []);
    assert.ok(apart.looked > 1000);
    await quiet(b);
  },

  /* The lesson of the rescue: refused, accepted, and the wrong change. */
  async rescue(b, file) {
    const walk = async (story, scans) => {
      await b.click(`#${story} .walk`);
      await steps(b, scans);
    };
    await b.open(file, 900, 900);
    await walk("story-1", 9);
    assert.strictEqual(await b.value(state("plate_open")), "off");
    await b.click("[data-name=plate_open] .why");
    const why = await b.value(
      "document.querySelector('[data-name=plate_open] .answer').innerText");
    assert.ok(why.includes("rescue_runs is TRUE"), why);
    await walk("story-2", 13);
    assert.strictEqual(await b.value(state("plate_open")), "on");
    assert.strictEqual(await b.value(state("stop_lamp")), "on");
    const tried = await b.value(
      "document.querySelector('[data-name=plate_open] .tries').innerText");
    assert.ok(tried.includes("release left rescue button"), tried);
    assert.ok((await b.value("document.querySelector('.story').innerText"))
      .includes("hold left rescue button"));
    await walk("story-3", 3);
    assert.strictEqual(await b.value(state("plate_close")), "on");
    assert.ok((await b.value("document.querySelector('.told').innerText"))
      .startsWith("R40 is broken"));
    await walk("story-5", 3);
    assert.strictEqual(await b.value(state("plate_close")), "off");
    /* A hand takes over from the story. */
    const stop = press(await row(b, "emergency stop in the cab"));
    await b.click(stop);
    assert.strictEqual(await b.value("page.play === null"), true);
    await quiet(b);
  },

  /* Every story, walked to its end, shows the outputs its strip tells. */
  async stories(b, file) {
    await b.open(file, 900, 900);
    const wrong = await b.value(`(() => {
      const wrong = [];
      for (const story of DATA.stories) {
        if (page.number !== story.machine)
          showMachine(story.machine);
        page.load(story);
        const on = new Set(), strip = document.getElementById(story.id);
        for (let i = 0; i < story.scans.length; i++) {
          page.step();
          const row = strip.querySelector(
            'tr[data-scan="' + i + '"]:not(.expected)');
          for (const line of row === null ? []
                             : row.cells[3].innerText.split('\\n')) {
            if (line.startsWith('on: ')) on.add(line.slice(4));
            if (line.startsWith('off: ')) on.delete(line.slice(5));
          }
          const is = page.m.actuators.filter(a => page.isOn(a))
            .map(a => a.title).sort().join();
          if (is !== [...on].sort().join())
            wrong.push(story.title + ' scan ' + i + ': ' + is);
        }
        if (page.m.scans() !== story.scans.length)
          wrong.push(story.title + ' stopped at ' + page.m.scans());
      }
      return wrong; })()`);
    assert.deepStrictEqual(wrong, []);
    await quiet(b);
  },

  /* Without scripts the stories can be read. */
  async noscript(b, file) {
    await b.open(file, 900, 900, false);
    const {root} = await b.ask("DOM.getDocument", {depth: -1});
    const {outerHTML} = await b.ask("DOM.getOuterHTML",
                                    {nodeId: root.nodeId});
    const seen = outerHTML.replace(/<script[^]*?<\/script>/g, "");
    assert.ok(seen.includes("Scripts are switched off here"));
    assert.ok(seen.includes("both hands close the gate"));
    assert.ok(!seen.includes("class=\"walk\""));
    assert.ok(seen.includes("not an operating manual"));
    assert.ok(!seen.includes("class=\"press"));
    await quiet(b);
  },

  /* Rules for accessibility find nothing serious, on a telephone and on a
   * wide screen; a page that can be operated is looked at while it is. */
  async accessible(b, file) {
    const rules = fs.readFileSync(RULES, "utf8");
    for (const width of [360, 1280]) {
      await b.open(file, width, 900);
      await b.value(`(() => {
        if (typeof page === 'undefined') return;
        for (let i = 0; i < 3; i++) page.step();
        document.querySelectorAll('.why, .tie').forEach(e => e.click());
        document.querySelectorAll('.deeper').forEach(e => e.click());
      })()`);
      await b.value("document.querySelectorAll('details').forEach(" +
                    "d => { d.open = true; })");
      await quiet(b);
      await b.value(rules + "; 0");
      const found = await b.value(`axe.run(document).then(said => ({
        passes: said.passes.length,
        wrong: said.violations.map(v => [v.impact, v.id,
          v.nodes.slice(0, 3).map(n => n.html.slice(0, 160))])}))`, true);
      assert.ok(found.passes > 10, JSON.stringify(found));
      assert.deepStrictEqual(found.wrong.filter(
        ([impact]) => impact === "serious" || impact === "critical"), []);
      for (const [impact, id] of found.wrong)
        console.log(`${width} px: ${impact}: ${id}`);
      /* The rules look at all: what is put in is found. */
      assert.deepStrictEqual(await b.value(`(() => {
        document.body.append(document.createElement('button'));
        return axe.run(document).then(said => said.violations
          .filter(v => v.impact === 'critical').map(v => v.id)); })()`, true),
        ["button-name"]);
    }
  },

  /* Hands taken away for real: the tablet is turned, the window is pulled
   * from tall to wide, the system takes a finger, the mouse is let go
   * elsewhere. */
  async turned(b, file) {
    await readyGate(b, file);
    const left = press(await row(b, "left closing button"));
    const pressed = () => b.value(
      `document.querySelector('${left}').getAttribute('aria-pressed')`);
    const screen = (width, height, angle) =>
      b.ask("Emulation.setDeviceMetricsOverride", {
        width, height, deviceScaleFactor: 1, mobile: false,
        screenOrientation: {type: angle === 0 ? "portraitPrimary"
                                              : "landscapePrimary", angle}});
    const settled = () => b.value(`new Promise(done => requestAnimationFrame(
      () => requestAnimationFrame(() => setTimeout(done, 50))))`, true);
    for (const turn of [() => screen(900, 600, 90),
                        () => screen(600, 900, 90)]) {
      await screen(600, 900, 0);
      await settled();
      await b.touch("touchStart", [await b.middle(left)]);
      assert.strictEqual(await pressed(), "true");
      await turn();
      if ((await b.value("innerWidth")) === 600)
        await screen(900, 600, 90);
      await settled();
      assert.strictEqual(await pressed(), "false");
      await b.touch("touchCancel", []);
    }
    await screen(900, 900, 0);
    await b.touch("touchStart", [await b.middle(left)]);
    assert.strictEqual(await pressed(), "true");
    await b.touch("touchCancel", []);
    assert.strictEqual(await pressed(), "false");
    await b.mouse("mousePressed", left);
    assert.strictEqual(await pressed(), "true");
    await b.ask("Input.dispatchMouseEvent", {type: "mouseMoved", x: 5, y: 5,
                                             button: "left", buttons: 1});
    await b.ask("Input.dispatchMouseEvent", {type: "mouseReleased", x: 5,
                                             y: 5, button: "left"});
    assert.strictEqual(await pressed(), "false");
    await quiet(b);
  },

  /* The lesson about two hands: refused when one is tied down, on the page as
   * in the story, and taken by the changed control; the mouse is one hand. */
  async hands(b, file) {
    const walk = async (story, scans) => {
      await b.click(`#${story} .walk`);
      await steps(b, scans);
    };
    await b.open(file, 900, 900);
    await walk("story-1", 6);
    assert.strictEqual(await b.value(state("lower_valve")), "on");
    await b.click("[data-name=lower_valve] .why");
    const answer = "document.querySelector('[data-name=lower_valve] " +
                   ".answer').innerText";
    await b.value(`document.querySelector('[data-name=lower_valve] .deeper')
      .click()`);
    assert.ok((await b.value(answer)).includes("two_hand.state is Running"),
              await b.value(answer));
    /* Keys go on where the answer is. */
    assert.strictEqual(await b.value("document.activeElement.className"),
                       "deep");
    await walk("story-2", 12);
    assert.strictEqual(await b.value(state("lower_valve")), "off");
    await walk("story-3", 9);
    assert.strictEqual(await b.value(state("lower_valve")), "on");
    assert.ok((await b.value("document.querySelector('.told').innerText"))
      .includes("R3 is broken"));
    await readyGate(b, file);
    const left = press(await row(b, "left closing button"));
    const right = press(await row(b, "right closing button"));
    await b.click(left + " + .tie");
    await b.value("for (let i = 0; i < 6; i++) page.step()");
    await b.mouse("mousePressed", right);
    await b.value("for (let i = 0; i < 6; i++) page.step()");
    assert.strictEqual(await b.value(state("lower_valve")), "off");
    assert.strictEqual(await b.value(
      "document.querySelector('.track .here').innerText"), "Narrow");
    assert.ok((await b.value(`getComputedStyle(document.querySelector(
      '.misuse')).outlineStyle`)) === "dashed");
    await b.mouse("mouseReleased", right);
    await quiet(b);
  },

  /* On paper: whole words, the notice on every sheet. */
  async paper(b, file) {
    await b.open(file, 900, 900);
    await steps(b, 1);
    const pdf = file + ".pdf";
    await b.paper(pdf);
    const text = execFileSync("pdftotext", ["-layout", pdf, "-"],
                              {encoding: "utf8"});
    const sheets = text.split("\f").filter(sheet => sheet.trim() !== "");
    assert.ok(sheets.length >= 2 && sheets.length < 30,
              `${sheets.length} sheets`);
    const notice = /not an operating manual|keine Betriebsanleitung/;
    sheets.forEach((sheet, i) =>
      assert.ok(notice.test(sheet.replace(/\s+/g, " ")), `sheet ${i + 1}`));
    const all = text.replace(/\s+/g, " ");
    for (const title of await b.value(
      "[...document.querySelectorAll('h1, h2, h3')].filter(h => " +
      "h.closest('.at-work') === null).map(h => h.innerText)"))
      assert.ok(all.includes(title.replace(/\s+/g, " ").trim()), title);
    assert.ok(!all.includes(await b.value("W.power_up")));
    await quiet(b);
  },

  /* Whatever the user's words hold, nothing of them runs: on a page or a
   * picture, at rest and while a page is operated. */
  async inert(b, file) {
    await b.open(file, 900, 900);
    await b.value(`(() => {
      if (typeof page === 'undefined') return;
      for (const story of DATA.stories) {
        if (page.number !== story.machine) showMachine(story.machine);
        page.load(story);
        for (let i = 0; i < 4; i++) page.step();
        document.querySelectorAll('.why, .deeper').forEach(e => e.click());
      } })()`);
    await b.mouse("mouseMoved", "body, svg");
    assert.strictEqual(await b.value("window.harmed"), undefined);
    const found = await b.value(`[...document.querySelectorAll('*')]
      .filter(e => /^(script|iframe|object|embed|foreignobject|base|form)$/i
                     .test(e.localName) ||
        (/^(img|a|image|use)$/i.test(e.localName) &&
         !/^(data:|#)/.test(e.getAttribute('src') || e.getAttribute('href') ||
                            e.getAttribute('xlink:href') || '#')) ||
        [...e.attributes].some(a => /^on/i.test(a.name)))
      .map(e => e.outerHTML.slice(0, 60))`);
    const own = await b.value("typeof page === 'undefined' ? 0 : 2");
    assert.strictEqual(found.length, own, JSON.stringify(found));
    assert.ok((await b.value("document.documentElement.textContent.length"))
      > 100);
    const page_is = await b.value("document.documentElement.localName");
    if (page_is === "html")
      for (const width of [360, 1280]) {
        await b.ask("Emulation.setDeviceMetricsOverride",
                    {width, height: 800, deviceScaleFactor: 1,
                     mobile: false});
        assert.ok(await b.value("document.documentElement.scrollWidth")
                  <= width, `${width} px: it scrolls sideways`);
      }
    await quiet(b);
  },

  /* Words of the user do nothing, and are all there. */
  async hostile(b, file) {
    await b.open(file, 900, 900);
    await steps(b, 2);
    await b.value("document.querySelectorAll('.why, .walk').forEach(" +
                  "b => b.click())");
    assert.strictEqual(await b.value("window.harmed"), undefined);
    assert.strictEqual(await b.value(
      "document.querySelectorAll('script').length"), 2);
    assert.strictEqual(await b.value(
      "document.querySelectorAll('img, iframe, object, a').length"), 0);
    for (const words of ["</script><script>window.harmed = 1</script>",
                         "<img src=x onerror='window.harmed = 2'>",
                         "\" onclick=\"window.harmed = 3",
                         "<!--", "&lt;b&gt;"])
      assert.ok((await b.value("document.body.innerText"))
        .includes(words), words);
    await quiet(b);
  },
};

async function main() {
  const [, , check, file] = process.argv;
  const b = new Browser(process.env.CHROMIUM || "chromium");
  let code = 0;
  try {
    await checks[check](b, file);
    console.log(`${check}: as it must be`);
  } catch (wrong) {
    console.log(`${check}: ${wrong.stack}`);
    code = 1;
  }
  await b.close();
  process.exit(code);
}

main();
