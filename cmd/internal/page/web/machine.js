// Readings typed in at the machine, judged as the commands judge them.

const heads = { datum: "on,x_mm,y_mm", locate: "name,x_mm,y_mm", zero: "kind,x_mm,y_mm,z_mm,feeler_mm" };
let plan = null; // what to touch, with its inputs
let judgedText = null; // the job whose readings the answer is on

const verb = () => byId("measuring").verb.value;

function showMachine(a) {
  byId("side-l").hidden = !a.flips;
  byId("own-head").textContent = heads[verb()];
  if (plan && plan.text !== job.text) forgetPlan("The job has changed: list what to touch again.");
  if (judgedText !== job.text) forgetAnswer();
  restoreReadings();
}

// forgetAnswer takes a verdict away that is on other readings than those that stand there.
function forgetAnswer() {
  judgedText = null;
  byId("answer").replaceChildren();
}

function forgetPlan(says) {
  plan = null;
  forgetAnswer();
  byId("touch-table").hidden = true;
  byId("touch-says").textContent = says;
  byId("own-head").textContent = heads[verb()];
}

let readingsOf = null; // the text whose kept readings are shown

// restoreReadings shows the readings that are kept with the job as it is.
function restoreReadings() {
  if (readingsOf === job.text) return;
  readingsOf = job.text;
  showKept();
  const r = keptWork().readings;
  if (!r) return;
  Object.entries(r.form).forEach(([name, value]) => { byId("measuring")[name].value = value; });
  byId("own").open = r.form.csv !== "";
  if (Object.keys(r.typed).length) listTouches();
}

const around = ["verb", "side", "probe", "error", "csv"]; // the fields of the form but for the touches

// keepReadings keeps what is typed in; at the touches with their plan, which tells whether it belongs to another.
function keepReadings() {
  const [form, was] = [byId("measuring"), keptWork().readings];
  const mine = plan && plan.text === job.text && typedIn().some((row) => row.join(""));
  if (!mine && !form.csv.value.trim() && !was) return;
  const typed = { ...was?.typed };
  if (mine) typed[plan.csv] = plan.inputs.map((row) => row.map((x) => x.value));
  keepWork("readings", { typed, form: Object.fromEntries(around.map((name) => [name, form[name].value])),
    typed_at: Date.now() });
}

function fillIn(typed) {
  plan.inputs.forEach((row, i) => row.forEach((x, k) => { x.value = typed[i][k]; }));
}

function clearReadings() {
  if (plan) fillIn(plan.rows.map((r) => r.expect.map((about, k) => r.driven[k] ? about : "")));
  byId("measuring").csv.value = "";
  forgetAnswer();
  keepWork("readings", null);
}

async function listTouches() {
  const form = byId("measuring");
  const [text, probe_mm] = [job.text, Number(form.probe.value) || 0];
  const t = await ask({ ask: "touches", name: job.name, text, verb: verb(), side: form.side.value, probe_mm });
  if (t.fault) return forgetPlan(t.fault);
  plan = { ...t, text, verb: verb(), inputs: [] };
  const more = (t.told || []).join(" ");
  byId("touch-says").textContent = "Touch these, and type what the machine shows there, in mm. " + more;
  const names = t.typed.map((c) => c.replace("_mm", "").replace(/^[xyz]$/, (x) => x.toUpperCase()));
  byId("touch-table").replaceChildren(make("caption", { class: "skip" }, "Touches"),
    make("thead", {}, make("tr", {}, ...["Touch", ...names].map((n) => make("th", { scope: "col" }, n)))),
    make("tbody", {}, ...t.rows.map((r) => touchRow(r, names))));
  byId("touch-table").hidden = false;
  const typed = keptWork().readings?.typed[plan.csv];
  if (typed) fillIn(typed);
}

function touchRow(r, names) {
  const inputs = r.expect.map((about, k) => make("input", {
    inputmode: "decimal", autocomplete: "off", "aria-label": names[k] + " of line " + r.line + ", " + r.what,
    value: r.driven[k] ? about : null, placeholder: about ? "about " + about : "",
  }));
  plan.inputs.push(inputs);
  const where = make("small", {}, "line " + r.line + "; " + r.place);
  return make("tr", {}, make("th", { scope: "row" }, capital(r.what), where),
    ...inputs.map((x, k) => make("td", { "data-of": names[k] }, x)));
}

// typedIn are the values of the touches; a row of which nothing was found stays empty.
function typedIn() {
  return plan.inputs.map((row, i) => {
    const values = row.map((x) => x.value.trim().replace(",", "."));
    const found = values.some((v, k) => v && !plan.rows[i].driven[k]);
    return found ? values : values.map(() => "");
  });
}

// question is what is asked of the readings; null, and told, where there are none.
function question() {
  const form = byId("measuring");
  const flags = [];
  if (!byId("side-l").hidden) flags.push("--side", form.side.value);
  if (form.error.value.trim()) flags.push("--error-mm", form.error.value.trim().replace(",", "."));
  const q = { name: job.name, text: job.text, verb: verb(), flags };
  const own = form.csv.value.trim();
  if (own) {
    if (form.probe.value.trim()) flags.push("--probe-mm", form.probe.value.trim().replace(",", "."));
    return { ...q, readings: own + "\n" };
  }
  if (plan) return { ...q, readings: plan.csv, columns: plan.typed, typed: typedIn() };
  byId("touch-says").textContent = "List what to touch first, or paste readings.";
  return null;
}

async function judge() {
  const q = question();
  if (!q) return;
  const r = await ask({ ask: "measure", ...q });
  if (JSON.stringify(question()) !== JSON.stringify(q)) return; // overtaken
  judgedText = q.text;
  const box = byId("answer");
  if (r.fault) {
    box.replaceChildren(make("div", { class: "answer" }, make("p", {}, "The readings cannot be judged"),
      ...r.fault.split("\n").map((x) => make("p", {}, x))));
    return;
  }
  const d = r.document;
  const good = d.verdict === "good";
  const pose = () => download("pose.json", new TextEncoder().encode(JSON.stringify(d, null, 2) + "\n"));
  box.replaceChildren(make("div", { class: good ? "answer good" : "answer" },
    make("p", {}, good ? "Good: go on" : capital(d.verdict) + ": do not cut yet"),
    ...d.verdicts.flatMap(judged),
    make("details", { open: good }, make("summary", {}, "All figures, and what to type"),
      make("pre", {}, r.text)),
    good && q.verb === "locate" ? make("button", { type: "button", onclick: pose },
      "Download pose.json for reseat pocket") : ""));
}

// judged is one verdict with what to do.
function judged(v) {
  const mm = (name, x) => x === undefined ? [] : [name + x.toFixed(3) + " mm"];
  const figures = [...mm("found ", v.value_mm), ...mm("+- ", v.interval_half_mm), ...mm("limit ", v.limit_mm)];
  return [make("p", {}, make("strong", {}, capital(v.of) + ": " + v.verdict + ". "), capital(figures.join(", "))),
    v.reasons.length ? make("p", {}, v.reasons.join(" ")) : "",
    v.what_to_do.length ? make("ul", {}, ...v.what_to_do.map((x) => make("li", {}, x))) : ""];
}

// table is a question's readings as a file that the command takes.
function table(q) {
  if (!q.typed) return q.readings;
  const rows = plan.rows.map((r, i) => q.typed[i].join("") ? [r.on, ...q.typed[i]] : []);
  const wide = heads[q.verb].split(",").length;
  const filled = rows.filter((r) => r.length).map((r) => [...r, "", ""].slice(0, wide).join());
  return [heads[q.verb], ...filled].join("\n") + "\n";
}

function startMachine() {
  byId("touches").addEventListener("click", listTouches);
  byId("measuring").addEventListener("submit", (e) => { e.preventDefault(); judge(); });
  for (const x of byId("measuring").querySelectorAll("[name=verb], [name=side], [name=probe]"))
    x.addEventListener("change", () => forgetPlan(""));
  byId("measuring").addEventListener("input", () => { forgetAnswer(); keepReadings(); });
  byId("kept-readings").querySelector("button").addEventListener("click", clearReadings);
  byId("keep").addEventListener("click", () => {
    const q = question();
    if (q) download("readings-" + q.verb + ".csv", new TextEncoder().encode(table(q)));
  });
}

async function start() {
  startJob();
  startWork();
  startFiles();
  startMachine();
  try {
    const { text, ...file } = await host.load();
    Object.assign(job, { disk: file.saved ? text : "" }, file);
    change(text, false);
    const ended = "reseat view has ended, or cannot be reached. What stands here is kept.";
    host.watch(onDisk, (lost) => lost ? showTrouble(ended) : look());
  } catch (e) {
    showTrouble(e.message);
  }
}
start();
