"use strict";
// Where the page comes from: a server on this computer, or a file with the engine inside. Both answer ask().

const byId = (id) => document.getElementById(id);

const served = {
  send(method, path, body) {
    return fetch(path, { method, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
  },
  async ask(request) {
    const r = await this.send("POST", "/ask", request);
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

// What runs in the worker beside wasm_exec.js: the engine is unpacked and started, then each request answered.
const workerSource = `
let ready;
async function begin(packed) {
  const wasm = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  const go = new Go();
  const typed = { headers: { "Content-Type": "application/wasm" } };
  const r = await WebAssembly.instantiateStreaming(new Response(wasm, typed), go.importObject);
  go.run(r.instance);
}
onmessage = async (e) => {
  try {
    if (e.data.packed) ready = begin(e.data.packed);
    await ready;
    if (e.data.request) postMessage({ id: e.data.id, answer: reseatAsk(e.data.request) });
  } catch (trouble) {
    postMessage({ id: e.data.id, answer: JSON.stringify({ trouble: String(trouble) }) });
  }
};`;

const alone = {
  waiting: new Map(),
  beside: {},
  start() {
    const worker = new Worker(URL.createObjectURL(new Blob([byId("go").textContent, workerSource])));
    worker.onmessage = (e) => { this.waiting.get(e.data.id)?.(e.data.answer); this.waiting.delete(e.data.id); };
    worker.onerror = (e) => showTrouble("This browser cannot run the engine: " + e.message);
    const text = atob(byId("engine").textContent);
    const packed = new Uint8Array(text.length);
    for (let i = 0; i < text.length; i++) packed[i] = text.charCodeAt(i);
    worker.postMessage({ packed }, [packed.buffer]);
    this.worker = worker;
    this.ids = 0;
  },
  async ask(request) {
    if (!this.worker) this.start();
    const id = ++this.ids;
    const answered = new Promise((resolve) => this.waiting.set(id, resolve));
    this.worker.postMessage({ id, request: JSON.stringify({ ...request, beside: this.beside }) });
    const answer = JSON.parse(await answered);
    if (answer.trouble) throw new Error(answer.trouble);
    return answer;
  },
  async load() {
    const { text } = await this.ask({ ask: "starter" });
    return { name: "job.yaml", text, stamp: "", saved: false };
  },
  async save(job) {
    download(/\.ya?ml$/.test(job.name) ? job.name : job.name + ".yaml", new TextEncoder().encode(job.text));
    return { ok: true, name: job.name, stamp: "", said: "downloaded" };
  },
  watch() {},
};

const host = document.documentElement.dataset.host === "file" ? alone : served;
const ask = (request) => host.ask(request);

function download(name, bytes) {
  const a = document.createElement("a");
  a.href = URL.createObjectURL(new Blob([bytes]));
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 60000);
}

function bytesOf(base64) {
  const text = atob(base64 || "");
  return Uint8Array.from(text, (c) => c.charCodeAt(0));
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
