// What this device keeps, so that a page that is loaded anew goes on where it was: ticks and readings, each with the
// job's text that they belong to, and in the single file the job. Where a browser keeps nothing, or no more, it is
// lost with the page.

const mostKept = 8; // jobs with ticks or readings, the last

function readKept(key) {
  try { return JSON.parse(localStorage.getItem("reseat-" + key)); } catch { return null; }
}

function writeKept(key, value) {
  try {
    if (value) localStorage.setItem("reseat-" + key, JSON.stringify(value));
    else localStorage.removeItem("reseat-" + key);
  } catch {
    try { localStorage.removeItem("reseat-" + key); } catch { } // nothing, rather than what is no longer true
  }
}

// keptWork is what is kept of the work on the job as it is.
const keptWork = () => (readKept("work") || []).find((w) => w.text === job.text) || {};

// keepWork keeps a part of it, "ticks" or "readings"; null: no longer.
function keepWork(part, value) {
  const work = { ...keptWork(), text: job.text, [part]: value };
  const others = (readKept("work") || []).filter((w) => w.text !== job.text);
  writeKept("work", (work.ticks || work.readings ? [work, ...others] : others).slice(0, mostKept));
  showKept();
}

// showKept says what is kept, where it can be cleared.
function showKept() {
  const { ticks, readings } = keptWork();
  byId("kept-ticks").hidden = !ticks;
  byId("kept-readings").hidden = !readings;
  if (readings) byId("kept-since").textContent = new Date(readings.typed_at).toLocaleString([],
    { dateStyle: "medium", timeStyle: "short" });
}
