"use strict";
// Where the page comes from: a server on this computer, or a file with the engine inside. Both answer ask().

const byId = (id) => document.getElementById(id);

const served = {
  send(method, path, body, signal) {
    const headers = { "Content-Type": "application/json" };
    return fetch(path, { method, headers, body: JSON.stringify(body), signal });
  },
  async ask(request, signal) {
    const r = await this.send("POST", "/ask", request, signal);
    if (!r.ok) throw new Error(await r.text());
    return r.json();
  },
  async load() { return (await fetch("/job")).json(); },
  async save(job) {
    const r = await this.send("PUT", "/job", job);
    return { ok: r.ok, ...(await r.json()) };
  },
  watch(changed, gone) {
    const events = new EventSource("/events");
    events.onmessage = (e) => changed(JSON.parse(e.data));
    let lost = false;
    events.onerror = () => { lost = true; gone(true); };
    events.onopen = () => { if (lost) gone(false); lost = false; };
  },
};

// What runs in a worker beside wasm_exec.js: the engine is unpacked and compiled, or comes compiled, and is started;
// then each request is answered. The compiled engine is told, unless the browser keeps it to one worker.
const workerSource = `
let ready;
async function begin({ packed, compiled }) {
  const go = new Go();
  if (packed) {
    const wasm = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    const typed = { headers: { "Content-Type": "application/wasm" } };
    compiled = await WebAssembly.compileStreaming(new Response(wasm, typed));
    try { postMessage({ compiled }); } catch { }
  }
  go.run(await WebAssembly.instantiate(compiled, go.importObject));
}
onmessage = async ({ data }) => {
  if (!data.request) ready = begin(data);
  try {
    await ready;
    if (!data.request) return;
    const answer = reseatAsk(data.request);
    postMessage(answer ? { answer } : { trouble: "it ended while it worked" });
  } catch (trouble) {
    postMessage({ trouble: String(trouble) });
  }
};
onmessageerror = () => postMessage({ trouble: "the compiled engine did not arrive" });`;

// Engine is a worker with an engine in it, which answers one request after the other. It begins from the packed or
// the compiled engine; why it cannot answer is told to failed.
class Engine {
  constructor(from, failed) {
    this.queue = []; // of {request, resolve, reject}; the first is being answered
    this.worker = new Worker(URL.createObjectURL(new Blob([byId("go").textContent, workerSource])));
    this.worker.onmessage = ({ data }) => {
      if (data.compiled) this.compiled = data.compiled;
      if (data.trouble) failed(data.trouble);
      if (!data.answer) return;
      this.queue.shift().resolve(data.answer);
      this.next();
    };
    this.worker.onerror = (e) => failed(e.message);
    this.worker.postMessage(from, from.packed ? [from.packed.buffer] : []);
  }
  next() {
    if (this.queue.length > 0) this.worker.postMessage({ request: this.queue[0].request });
  }
  take(one) {
    if (this.queue.push(one) === 1) this.next();
  }
  // end ends the engine, and returns what it has not answered.
  end() {
    this.worker.onmessage = this.worker.onerror = null;
    this.worker.terminate();
    return this.queue.splice(0);
  }
}

// The first engine answers what must be answered at once. What takes seconds, the search for what helps and the
// files, is done by a second one, begun when first needed and ended when its answer was overtaken. Where a browser
// gives no second engine, the first does it all.
const alone = {
  beside: {},
  first: null,
  second: null,
  single: false,
  begin() {
    this.first = new Engine({ packed: bytesOf(byId("engine").textContent) }, (trouble) => {
      for (const one of this.first.end()) one.reject(new Error("The engine does not run here: " + trouble));
      this.first = null;
    });
  },
  beginSecond() {
    const failed = () => {
      this.single = true;
      this.endSecond();
    };
    try {
      this.second = new Engine({ compiled: this.first.compiled }, failed);
    } catch {
      this.single = true;
    }
  },
  endSecond() {
    const left = this.second.end();
    this.second = null;
    for (const one of left) this.engineOf(true).take(one);
  },
  engineOf(slow) {
    if (!this.first) this.begin();
    if (!slow || this.single || !this.first.compiled) return this.first;
    if (!this.second) this.beginSecond();
    return this.second || this.first;
  },
  // drop forgets what nobody waits for any more.
  drop(one, engine) {
    const at = engine.queue.indexOf(one);
    if (at < 0 || at === 0 && engine === this.first) return;
    engine.queue.splice(at, 1);
    if (at === 0) this.endSecond();
  },
  async ask(request, signal) {
    const slow = request.ask === "look" && !request.quick || request.ask.startsWith("file");
    const engine = this.engineOf(slow);
    const answer = JSON.parse(await new Promise((resolve, reject) => {
      const one = { request: JSON.stringify({ ...request, beside: this.beside }), resolve, reject };
      engine.take(one);
      signal?.addEventListener("abort", () => this.drop(one, engine));
    }));
    if (answer.trouble) throw new Error(answer.trouble);
    return answer;
  },
  async load() {
    const { text } = await this.ask({ ask: "starter" });
    const starter = { name: "job.yaml", text, disk: "", stamp: "", saved: false };
    this.starter = starter;
    const left = readKept("job");
    byId("kept-job").hidden = !left;
    this.beside = left?.beside || {};
    return left?.job || starter;
  },
  async save(job) {
    download(/\.ya?ml$/.test(job.name) ? job.name : job.name + ".yaml", new TextEncoder().encode(job.text));
    return { ok: true, name: job.name, stamp: "", said: "downloaded" };
  },
  watch() {},
};

const host = document.documentElement.dataset.host === "file" ? alone : served;
const ask = (request, signal) => host.ask(request, signal);

function download(name, bytes) {
  const a = document.createElement("a");
  a.href = URL.createObjectURL(new Blob([bytes]));
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 60000);
}

function bytesOf(base64) {
  const text = atob(base64 || "");
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes;
}

function base64(bytes) {
  let text = "";
  for (let i = 0; i < bytes.length; i += 4096) text += String.fromCharCode(...bytes.subarray(i, i + 4096));
  return btoa(text);
}

// make builds an element: make("li", {class: "x"}, "text", child).
function make(tag, attributes, ...children) {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(attributes || {})) {
    if (k.startsWith("on")) e.addEventListener(k.slice(2), v);
    else if (v !== false && v !== null && v !== undefined) e.setAttribute(k, v === true ? "" : v);
  }
  e.append(...children.filter((c) => c !== null && c !== undefined && c !== ""));
  return e;
}

// capital begins a sentence with a capital letter, unless with the name of a file or a key.
const capital = (s) => /^[a-z]+([ ,;:]|$)/.test(s) ? s.charAt(0).toUpperCase() + s.slice(1) : s;

const drawn = new Map(); // what a place shows, as it was told

// fresh reports whether a place is to be drawn again; what stands stays, so that neither focus nor ticks are lost.
function fresh(place, value) {
  const told = JSON.stringify(value);
  if (drawn.get(place) === told) return false;
  drawn.set(place, told);
  return true;
}
