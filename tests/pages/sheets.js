/* sheets.js - looks at the page of a test sheet with a real browser:
 *
 *     node sheets.js FILE
 *
 * Exit code 0 and a line when all is as it must be, else 1 and what is not.
 * CHROMIUM in the environment names the browser.
 */
"use strict";

const assert = require("assert");
const fs = require("fs");
const os = require("os");
const path = require("path");
const {Browser} = require(path.join(__dirname, "browser.js"));

/* CSS pixels of a millimetre, and of a point of print. */
const MM = 96 / 25.4, PT = 96 / 72;

/* A4 without the margins of the style sheet. */
const PAPER = {width: Math.floor(184 * MM), height: Math.floor(267 * MM)};

async function quiet(b) {
  assert.deepStrictEqual(b.complaints, []);
}

/* No scrolling to the side, on telephone, tablet and desk. */
async function fits(b, file) {
  for (const width of [360, 800, 1280]) {
    await b.open(file, width, 800);
    assert.strictEqual(
      await b.value("document.documentElement.scrollWidth"), width);
    await quiet(b);
  }
}

/* Whoever does not see the page hears of what a cell or box is: on the
 * telephone the heads of columns are gone, and boxes say it themselves. */
async function speaks(b, file) {
  await b.open(file, 800, 800);
  const {lang, heads, boxes, rows} = await b.value(`(() => {
    const all = s => [...document.querySelectorAll(s)];
    return {
      lang: document.documentElement.lang,
      heads: all('th').filter(e => !e.scope || e.innerText.trim() === '')
        .map(e => e.outerHTML),
      boxes: all('td.box > span').map(e => e.getAttribute('aria-label')),
      rows: all('th[scope=row]').length}; })()`);
  const columns = await b.value(
    "[...document.querySelectorAll('thead')].map(t =>" +
    "[...t.querySelectorAll('th.box')].map(e => e.innerText))");
  assert.match(lang, /^[a-z]{2}$/);
  assert.deepStrictEqual(heads, []);
  assert.strictEqual(boxes.length, 3 * rows);
  for (const labels of columns)
    boxes.forEach((label, i) => assert.strictEqual(
      label, labels[i % 3].replace(/\s+/g, " ")));
  await b.open(file, 360, 800);
  assert.ok(await b.value(`[...document.querySelectorAll('td.box span')]
    .every(e => getComputedStyle(e, '::after').content ===
                JSON.stringify(e.getAttribute('aria-label')))`));
}

/* On paper: rows to write in, letters to read, none cut by a page, heads on
 * each of them, and 20 steps on it. */
async function prints(b, file) {
  await b.open(file, PAPER.width, PAPER.height);
  await b.ask("Emulation.setEmulatedMedia", {media: "print"});
  const {rows, heads, letters, steps, cut, over} = await b.value(`(() => {
    const all = s => [...document.querySelectorAll(s)];
    const style = e => getComputedStyle(e);
    return {
      rows: all('tbody tr').map(e => e.getBoundingClientRect().height),
      heads: all('thead').map(e => style(e).display),
      letters: Math.min(...all('main *').map(e =>
        parseFloat(style(e).fontSize))),
      steps: all('th[scope=row]').map(e =>
        e.parentNode.getBoundingClientRect().height),
      cut: all('tbody tr').filter(e => style(e).breakInside !== 'avoid')
        .length,
      over: all('th, td, th span').filter(e =>
        e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0)
        .map(e => e.outerHTML)}; })()`);
  const sum = list => list.reduce((a, x) => a + x, 0);
  const page = PAPER.height - 22 * MM;
  assert.ok(steps.length > 20);
  assert.ok(Math.min(...steps) >= 7 * MM - 0.1, `row of ${Math.min(...steps)}`);
  assert.ok(letters >= 9 * PT - 0.01, `letters of ${letters}`);
  assert.ok(heads.every(d => d === "table-header-group"));
  assert.strictEqual(cut, 0);
  assert.deepStrictEqual(over, []);
  const each = steps.length / (sum(rows) / page);
  assert.ok(each >= 20, `${each} steps on a page`);
  await quiet(b);
}

/* As a file for the printer: not more pages than the rows need, with two for
 * the beginning and one for each part behind. */
async function pages(b, file) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "keepclear-sheet-"));
  const paper = path.join(folder, "sheet.pdf");
  await b.open(file, 800, 800);
  const steps = await b.value(
    "document.querySelectorAll('th[scope=row]').length");
  await b.paper(paper);
  const n = (fs.readFileSync(paper, "latin1")
    .match(/\/Type\s*\/Page\b(?!s)/g) || []).length;
  fs.rmSync(folder, {recursive: true});
  assert.ok(n > steps / 40 && n <= steps / 20 + 5, `${n} pages`);
}

async function main() {
  const file = process.argv[2];
  const b = new Browser(process.env.CHROMIUM || "chromium");
  let code = 0;
  try {
    for (const look of [fits, speaks, prints, pages])
      await look(b, file);
    console.log("as it must be");
  } catch (wrong) {
    console.log(wrong.stack);
    code = 1;
  }
  await b.close();
  process.exit(code);
}

main();
