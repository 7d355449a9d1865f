/* browser.js - a headless Chromium driven over the pipe of its remote
 * debugging, with nothing but node itself.
 *
 * Every page that is opened is watched: what its console says, a dialog, and
 * every request that is no reading of the page's own file, is a complaint.
 */
"use strict";

const {spawn} = require("child_process");
const fs = require("fs");
const os = require("os");
const path = require("path");

class Browser {
  /* program: chromium; where it keeps its files is a new folder. */
  constructor(program) {
    this.folder = fs.mkdtempSync(path.join(os.tmpdir(),
                                           "keepclear-browser-"));
    this.child = spawn(program, [
      "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
      "--no-first-run", "--disable-dev-shm-usage", "--disable-extensions",
      "--disable-background-networking", "--touch-events=enabled",
      "--user-data-dir=" + this.folder, "--remote-debugging-pipe",
      "about:blank"],
      {stdio: ["ignore", "ignore", "ignore", "pipe", "pipe"]});
    this.number = 0;
    this.waiting = new Map();
    this.heard = [];
    this.rest = "";
    this.child.stdio[4].on("data", bytes => this.read(bytes));
  }

  read(bytes) {
    const parts = (this.rest + bytes.toString("utf8")).split("\0");
    this.rest = parts.pop();
    for (const part of parts) {
      const said = JSON.parse(part);
      if (said.id === undefined) {
        this.hear(said);
        continue;
      }
      const {done, failed} = this.waiting.get(said.id);
      this.waiting.delete(said.id);
      if (said.error)
        failed(new Error(JSON.stringify(said.error)));
      else
        done(said.result);
    }
  }

  hear(said) {
    if (said.method === "Runtime.consoleAPICalled" ||
        said.method === "Runtime.exceptionThrown" ||
        said.method === "Log.entryAdded")
      this.complaints.push(said.method + " " + JSON.stringify(said.params));
    if (said.method === "Page.javascriptDialogOpening") {
      this.complaints.push("dialog " + said.params.message);
      this.ask("Page.handleJavaScriptDialog", {accept: false});
    }
    if (said.method === "Network.requestWillBeSent" &&
        said.params.request.url !== this.url &&
        !said.params.request.url.startsWith("data:"))
      this.complaints.push("request of " + said.params.request.url);
    if (said.method === "Page.loadEventFired" && this.loaded)
      this.loaded();
  }

  ask(method, params) {
    const id = ++this.number;
    const message = {id, method, params: params || {}};
    if (this.session)
      message.sessionId = this.session;
    return new Promise((done, failed) => {
      this.waiting.set(id, {done, failed});
      this.child.stdio[3].write(JSON.stringify(message) + "\0");
    });
  }

  /* Opens a file at that width, in CSS pixels. */
  async open(file, width, height, scripts) {
    this.complaints = [];
    this.url = "file://" + path.resolve(file);
    this.session = undefined;
    const {targetId} = await this.ask("Target.createTarget",
                                      {url: "about:blank"});
    const {sessionId} = await this.ask("Target.attachToTarget",
                                       {targetId, flatten: true});
    this.session = sessionId;
    for (const part of ["Page", "Runtime", "Log", "Network"])
      await this.ask(part + ".enable");
    await this.ask("Emulation.setDeviceMetricsOverride",
                   {width, height, deviceScaleFactor: 1, mobile: false});
    await this.ask("Emulation.setScriptExecutionDisabled",
                   {value: scripts === false});
    const loaded = new Promise(done => { this.loaded = done; });
    await this.ask("Page.navigate", {url: this.url});
    await loaded;
    await this.ask("Page.bringToFront");
  }

  /* The value of an expression in the page; wait: of what it promises. */
  async value(expression, wait) {
    const said = await this.ask("Runtime.evaluate",
                                {expression, returnByValue: true,
                                 awaitPromise: !!wait});
    if (said.exceptionDetails)
      throw new Error(JSON.stringify(said.exceptionDetails));
    return said.result.value;
  }

  /* The middle of the element, brought into view. */
  async middle(selector) {
    return this.value(`(() => {
      const e = document.querySelector(${JSON.stringify(selector)});
      e.scrollIntoView({block: "center"});
      const r = e.getBoundingClientRect();
      return {x: r.x + r.width / 2, y: r.y + r.height / 2}; })()`);
  }

  async click(selector) {
    const at = await this.middle(selector);
    for (const type of ["mousePressed", "mouseReleased"])
      await this.ask("Input.dispatchMouseEvent",
                     {type, x: at.x, y: at.y, button: "left",
                      clickCount: 1});
  }

  async mouse(type, selector) {
    const at = await this.middle(selector);
    await this.ask("Input.dispatchMouseEvent",
                   {type, x: at.x, y: at.y, button: "left", clickCount: 1});
  }

  async key(key, down) {
    await this.ask("Input.dispatchKeyEvent",
                   {type: down ? "keyDown" : "keyUp", key,
                    text: down ? key : undefined});
  }

  /* Fingers, all that touch now, each {x, y}. */
  async touch(type, fingers) {
    await this.ask("Input.dispatchTouchEvent",
                   {type, touchPoints: fingers.map((f, id) =>
                     ({x: f.x, y: f.y, id}))});
  }

  async picture(file, whole) {
    const {data} = await this.ask("Page.captureScreenshot", {
      format: "png", captureBeyondViewport: !!whole});
    fs.writeFileSync(file, Buffer.from(data, "base64"));
  }

  async paper(file) {
    const {data} = await this.ask("Page.printToPDF", {
      preferCSSPageSize: true, printBackground: true});
    fs.writeFileSync(file, Buffer.from(data, "base64"));
  }

  async close() {
    this.session = undefined;
    const gone = new Promise(done => this.child.on("exit", done));
    await this.ask("Browser.close").catch(() => {});
    await gone;
    fs.rmSync(this.folder, {recursive: true, force: true, maxRetries: 5});
  }
}

module.exports = {Browser};
