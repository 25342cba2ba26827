// Order of work, and the files.

let ticksOf = null; // the text whose kept ticks are shown

function showWork(a) {
  const ticks = ticked();
  if (fresh("work", [a.take, a.work, a.notes])) buildWork(a);
  if (ticksOf !== job.text) ticks.push(...keptWork().ticks || []);
  ticksOf = job.text;
  tick(ticks);
}

// Steps are told apart by their words, and those of their set-up.
const boxes = () => [...byId("setups").querySelectorAll("input")];
const stepOf = (box) => box.closest("details").dataset.title + ": " + box.parentElement.textContent;
const ticked = () => boxes().filter((x) => x.checked).map(stepOf);

function tick(steps) {
  for (const x of boxes()) x.checked = steps.includes(stepOf(x));
}

function keepTicks() {
  const ticks = ticked();
  keepWork("ticks", ticks.length ? ticks : null);
}

function startWork() {
  byId("setups").addEventListener("change", keepTicks);
  byId("kept-ticks").querySelector("button").addEventListener("click", () => { tick([]); keepTicks(); });
}

function buildWork(a) {
  byId("take").replaceChildren(make("strong", {}, "Have ready (mm): "), (a.take || []).join("; ") + ".");
  const open = new Set([...byId("setups").querySelectorAll("details[open]")].map((d) => d.dataset.title));
  byId("setups").replaceChildren(...(a.work || []).map((s, i) => make("li", {},
    make("details", { "data-title": s.title, open: open.has(s.title) },
      make("summary", {}, i + 1 + ". " + s.title + " ", make("small", {}, s.place)),
      make("div", { class: "in" }, ...setup(s))))));
  byId("notes").hidden = !(a.notes || []).length;
  byId("notes").querySelector("ul").replaceChildren(...(a.notes || []).map((n) => make("li", {}, n)));
}

function setup(s) {
  const tick = (t) => make("li", {}, make("label", {}, make("input", { type: "checkbox" }), " " + t));
  const line = (name, says) => says ? make("p", {}, make("strong", {}, name + ": "), says) : "";
  const checks = s.checks || [];
  return [line("Files", (s.files || []).join(", ")), line("Tool", s.tool), line("Lies", s.lies), line("Zero", s.zero),
    make("ul", {}, ...(s.steps || []).map(tick)),
    checks.length ? make("p", {}, make("strong", {}, "Check before you go on")) : "",
    make("ul", {}, ...checks.map(tick)),
    ...(s.cautions || []).map((c) => make("p", { class: "caution" }, c))];
}

let filesOf = null; // the text that the list is of

function kindOfFiles() {
  const form = byId("kind");
  return { name: job.name, text: job.text, dxf: form.dxf.value, three_mf: form.three.checked };
}

// forgetFiles takes away a list that is of another job.
function forgetFiles() {
  if (filesOf === null || filesOf === job.text) return;
  filesOf = null;
  byId("list").replaceChildren();
  byId("files-says").textContent = "The job has changed: list the files again.";
  byId("drawing").open = false;
}

async function listFiles() {
  byId("files-says").textContent = "Working ...";
  const kind = kindOfFiles();
  const r = await ask({ ask: "files", ...kind });
  if (r.fault) { byId("files-says").textContent = r.fault; return; }
  filesOf = kind.text;
  const fetchFile = async (name) => {
    const got = await ask({ ask: "file", file: name, ...kind });
    if (got.fault) byId("files-says").textContent = got.fault;
    else download(name || job.name.replace(/\.ya?ml$/, "") + ".zip", bytesOf(got.data));
  };
  const holds = !job.answer || job.answer.holds;
  byId("files-says").textContent = holds ? "" : "The design does not hold: mend what fails before you cut.";
  const get = (name, label, ...told) => make("li", {}, make("span", {}, ...told),
    make("button", { type: "button", "aria-label": "Download " + label, onclick: () => fetchFile(name) }, "Download"));
  byId("list").replaceChildren(
    ...r.files.map((f) => get(f.name, f.name, f.name, make("small", {}, f.for + ", " + sized(f.bytes)))),
    get("", "all files", make("strong", {}, "All files, zipped")));
}

const sized = (n) => n < 1000 ? n + " bytes" : n < 1e6 ? Math.round(n / 1e3) + " kB" : (n / 1e6).toFixed(1) + " MB";

function startFiles() {
  byId("kind").addEventListener("submit", (e) => { e.preventDefault(); listFiles(); });
  byId("drawing").addEventListener("toggle", showDrawing);
}

// showDrawing shows the sheets of the drawing, the same bytes as the files'.
async function showDrawing() {
  if (!byId("drawing").open) return;
  const kind = kindOfFiles();
  const listed = await ask({ ask: "files", ...kind });
  const sheets = (listed.files || []).filter((f) => /^drawing.*\.svg$/.test(f.name));
  const shown = [];
  for (const f of sheets) {
    const got = await ask({ ask: "file", file: f.name, ...kind });
    const src = URL.createObjectURL(new Blob([bytesOf(got.data)], { type: "image/svg+xml" }));
    const alt = f.name + ": a sheet of the dimensioned drawing, at 1:1 on its paper; opens by itself";
    shown.push(make("a", { href: src, target: "_blank" }, make("img", { src, alt })));
  }
  byId("drawing").querySelector("div").replaceChildren(listed.fault || "", ...shown);
}
