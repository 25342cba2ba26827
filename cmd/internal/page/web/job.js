// The job: its text, what the engine answers to it, undo and save.

const job = { name: "job.yaml", text: "", disk: "", stamp: "", saved: false, past: [], answer: null };

function showTrouble(says) {
  byId("word").textContent = "No answer.";
  byId("error").textContent = says;
  byId("top").className = "bad";
}

// change takes a new text of the job; keep: it can be undone.
function change(text, keep = true) {
  if (text === job.text) return;
  if (keep) job.past.push(job.text);
  job.text = text;
  if (byId("text").value !== text) byId("text").value = text;
  showState();
  look();
}

// look asks what the job comes to: at once for picture and verdict, and when no key was hit for a while for what
// would help as well. What was asked before is overtaken.
const restMS = 600;
let resting = 0;
let looking = new AbortController();

async function look(quick = true) {
  clearTimeout(resting);
  looking.abort();
  looking = new AbortController();
  const { signal } = looking;
  if (quick) byId("plate").classList.add("old");
  try {
    const answer = await ask({ ask: "look", name: job.name, text: job.text, quick }, signal);
    if (signal.aborted) return;
    show(answer, quick);
    if (quick && !(answer.faults || []).length) resting = setTimeout(() => look(false), restMS);
  } catch (e) {
    if (!signal.aborted) showTrouble(e.message);
  }
}

// tell writes text where it is another, so that a screen reader says it once.
function tell(id, says) {
  if (byId(id).textContent !== says) byId(id).textContent = says;
}

function show(a, quick) {
  job.answer = a;
  const faults = a.faults || [];
  const bad = faults.length > 0;
  byId("top").className = bad || !a.holds ? "bad" : "good";
  tell("word", bad ? "CANNOT BE READ" : a.word);
  const many = faults.length === 1 ? "one fault, at its field and line"
    : faults.length + " faults, at their fields and lines";
  tell("error", bad ? many : a.says);
  showFaults(faults);
  showFields(a.sizes || [], faults);
  if (bad) {
    byId("says").textContent = "Mend what is named below; picture and order of work are " +
      "of the job as it was before.";
    if (fresh("findings", faults)) byId("findings").replaceChildren(...faults.map(faultItem));
    return;
  }
  document.title = a.title + " - reseat";
  byId("title").textContent = a.title;
  showPlate(a);
  showNext(a, quick);
  showWork(a);
  forgetFiles();
  showMachine(a);
  byId("safety").textContent = a.safety;
}

function showPlate(a) {
  const box = byId("plate");
  const svg = new DOMParser().parseFromString(a.plate, "image/svg+xml").documentElement;
  svg.removeAttribute("width");
  svg.removeAttribute("height");
  svg.setAttribute("aria-hidden", "true");
  svg.querySelector("title")?.remove();
  box.replaceChildren(document.importNode(svg, true));
  box.setAttribute("aria-label", a.plate_alt);
  box.classList.remove("old");
  byId("walls").hidden = !a.walls;
}

function showNext(a, quick) {
  const findings = a.findings || [];
  const fails = findings.filter((f) => f.level === "fail").length;
  const then = quick ? "what would do is being tried ..." : "choose a change, or change a size below.";
  const worth = findings.length ? " What is named here is worth a thought first." : "";
  byId("says").replaceChildren(...fails ? ["Mend what fails: " + then] : [make("a", { href: "#files" }, "Get the files"),
    ", then follow the ", make("a", { href: "#work" }, "order of work"), "." + worth]);
  if (fresh("findings", findings)) byId("findings").replaceChildren(...findings.map(finding));
}

function finding(f) {
  const to = (c) => c.key + " to " + (c.value || "its default");
  const way = (r) => make("button", { type: "button", onclick: () => setKeys(r.set) },
    "Set " + r.set.map(to).join(" and "));
  return make("li", { class: f.level }, make("strong", {}, f.level === "fail" ? "Fails: " : "Note: "),
    capital(f.says) + " ", make("small", {}, "(rule " + f.id + ")"),
    make("div", { class: "acts" }, ...(f.remedies || []).map(way)));
}

// setKeys changes keys of the text, comments and layout kept, and returns what keeps it from that. A text
// that changed meanwhile is edited anew.
async function setKeys(set) {
  for (;;) {
    const from = job.text;
    const r = await ask({ ask: "edit", text: from, set });
    if (r.fault) return r.fault;
    if (job.text !== from) continue;
    change(r.text);
    return "";
  }
}

function faultItem(f) {
  const where = f.file ? f.file + ", line " + f.line : f.line ? "line " + f.line : "";
  return make("li", { class: "fail" }, f.key ? make("strong", {}, f.key + ": ") : "", f.says,
    f.remedy ? " (" + f.remedy + ") " : " ",
    f.line && !f.file ? make("button", { type: "button", onclick: () => goTo(f.line) }, "Go to " + where) : where);
}

function showFaults(faults) {
  byId("faults").replaceChildren(...faults.map(faultItem));
  const marked = new Set(faults.filter((f) => !f.file).map((f) => f.line));
  const lines = job.text.split("\n").length;
  const numbers = [];
  for (let i = 1; i <= lines; i++) numbers.push(marked.has(i) ? make("b", {}, String(i)) : String(i), "\n");
  byId("numbers").replaceChildren(...numbers);
  byId("numbers").scrollTop = byId("text").scrollTop;
  byId("text").setAttribute("aria-invalid", String(marked.size > 0));
}

// goTo puts the caret into a line of the text.
function goTo(line) {
  const area = byId("text");
  const at = job.text.split("\n").slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
  area.focus();
  area.setSelectionRange(at, at + (job.text.slice(at).split("\n")[0] || "").length);
  area.scrollTop = (line - 6) * parseFloat(getComputedStyle(area).lineHeight);
}

// keepJob keeps the job of the single file, which has no other place.
function keepJob() {
  if (host === served) return;
  const { name, text, disk, stamp, saved } = job;
  const left = { job: { name, text, disk, stamp, saved }, beside: alone.beside };
  writeKept("job", text === alone.starter.text ? null : left);
}

function showState() {
  keepJob();
  const changed = job.text !== job.disk || !job.saved;
  byId("state").textContent = changed ? "not saved" : "saved";
  byId("save").disabled = !changed;
  byId("undo").disabled = job.past.length === 0;
  byId("name").readOnly = job.saved && host === served;
  if (document.activeElement !== byId("name")) byId("name").value = job.name;
  byId("inch").hidden = job.saved || job.past.length > 0;
}

async function save() {
  const r = await host.save({ name: job.name, text: job.text, stamp: job.stamp });
  if (!r.ok) return showConflict(r.says, r.text === undefined ? null : r);
  job.saved = true;
  job.disk = job.text;
  job.stamp = r.stamp;
  job.name = r.name;
  byId("conflict").hidden = true;
  showState();
}

// showConflict tells what keeps the job from being saved; theirs is the file as it is now.
function showConflict(says, theirs) {
  byId("conflict").replaceChildren(says + " ");
  if (theirs) {
    byId("conflict").append(
      make("button", { type: "button", onclick: () => { take(theirs); } }, "Take the file's"), " ",
      make("button", { type: "button", onclick: () => { job.stamp = theirs.stamp; save(); } }, "Save mine over it"));
  }
  byId("conflict").hidden = false;
}

// take takes the file as it is on disk; what stood here can be got back by undo.
function take(file) {
  job.stamp = file.stamp;
  job.disk = file.text;
  job.saved = true;
  byId("conflict").hidden = true;
  change(file.text);
  showState();
}

function onDisk(file) {
  if (file.named !== job.named) {
    job.named = file.named;
    look();
  }
  if (file.stamp === job.stamp || file.text === job.text) {
    job.stamp = file.stamp;
    job.disk = file.text;
    return showState();
  }
  if (job.text === job.disk) return take(file);
  showConflict("The file was changed elsewhere, and so was the job here.", file);
}

// openFiles takes a job and the files that it names; a process file is none of the jobs.
async function openFiles(files) {
  const beside = {};
  let chosen = null;
  for (const f of files) {
    const mine = /\.ya?ml$/.test(f.name) && !f.name.includes(".process.");
    if (!chosen && mine) chosen = { name: f.name, text: await f.text() };
    else beside[f.name] = base64(new Uint8Array(await f.arrayBuffer()));
  }
  alone.beside = { ...alone.beside, ...beside };
  byId("kept-job").hidden = true;
  keepJob();
  if (!chosen) return look();
  Object.assign(job, { name: chosen.name, saved: true, disk: chosen.text });
  change(chosen.text);
  showState();
}

function beginAnew() {
  const { text, ...file } = alone.starter;
  alone.beside = {};
  Object.assign(job, file);
  change(text);
  showState();
  byId("kept-job").hidden = true;
}

function startJob() {
  byId("open-l").hidden = host === served;
  byId("open").addEventListener("change", (e) => openFiles(e.target.files));
  byId("name").addEventListener("input", () => { job.name = byId("name").value.trim() || "job.yaml"; keepJob(); });
  byId("kept-job").querySelector("button").addEventListener("click", beginAnew);
  byId("inch").addEventListener("click", async () => { change((await ask({ ask: "starter", inch: true })).text); });
  let waits = 0;
  byId("text").addEventListener("input", () => {
    clearTimeout(waits);
    waits = setTimeout(() => change(byId("text").value), 100);
  });
  byId("text").addEventListener("scroll", () => { byId("numbers").scrollTop = byId("text").scrollTop; });
  byId("save").addEventListener("click", save);
  byId("undo").addEventListener("click", () => { if (job.past.length) change(job.past.pop(), false); });
  addEventListener("keydown", (e) => {
    if ((e.ctrlKey || e.metaKey) && e.key === "s") { e.preventDefault(); if (!byId("save").disabled) save(); }
  });
  addEventListener("beforeunload", (e) => {
    if (job.saved && job.text !== job.disk && !readKept("job")) e.preventDefault();
  });
}
