// The main sizes as fields. A field writes into the text; the text is the truth.

const fields = new Map(); // key -> {input, fault}

function showFields(sizes, faults) {
  if (sizes.length === 0 && faults.length > 0) return; // text that is no YAML: the fields wait
  const keys = sizes.map((s) => s.key).join();
  if (byId("fields").dataset.keys !== keys) {
    buildFields(sizes);
    byId("fields").dataset.keys = keys;
  }
  for (const s of sizes) {
    const f = fields.get(s.key);
    const below = [s.key + ".", s.key + "["];
    const own = faults.filter((x) => !x.file && (x.key === s.key || below.some((b) => x.key.startsWith(b))));
    if (document.activeElement !== f.input && f.input.value !== s.value) f.input.value = s.value;
    showFieldFault(f, own.map((x) => x.says + (x.remedy ? " (" + x.remedy + ")" : "")).join("; "));
    f.unit.textContent = /^[-+.\d\s/eE]*$/.test(s.value) ? s.unit : "";
  }
}

function showFieldFault(f, says) {
  if (says) f.input.closest("details").open = true;
  f.fault.textContent = says;
  f.fault.hidden = !says;
  f.input.setAttribute("aria-invalid", String(Boolean(says)));
}

// opened are the groups that are open at first: what differs from board to board.
const opened = ["Job", "Board", "Plate"];

function buildFields(sizes) {
  const groups = new Map();
  fields.clear();
  for (const s of sizes) {
    const [group, name] = s.label.includes(": ") ? s.label.split(": ") : ["Job", s.label];
    if (!groups.has(group)) groups.set(group, []);
    groups.get(group).push(field(s, name));
  }
  const shut = new Set([...byId("fields").querySelectorAll("details:not([open])")].map((d) => d.id));
  const first = byId("fields").childElementCount === 0;
  byId("fields").replaceChildren(...[...groups].map(([group, all]) => {
    const id = "g-" + group.toLowerCase();
    return make("details", { class: "group", id, open: first ? opened.includes(group) : !shut.has(id) },
      make("summary", {}, group), make("div", { class: "grid", role: "group", "aria-label": group }, ...all));
  }));
}

function field(s, name) {
  const id = "f-" + s.key.replaceAll(".", "-");
  const usual = s.default ? "default: " + s.default : "";
  const input = s.words
    ? make("select", { id }, ...["", ...s.words].map((w) => make("option", { value: w }, w || usual)))
    : make("input", { id, autocomplete: "off", placeholder: s.default });
  input.setAttribute("aria-describedby", id + "-m");
  const unit = make("span", {}, s.unit);
  const fault = make("p", { class: "fault", id: id + "-x", role: "alert", hidden: true });
  input.setAttribute("aria-errormessage", id + "-x");
  const f = { input, unit, fault };
  fields.set(s.key, f);
  let waits = 0;
  input.addEventListener("input", () => {
    clearTimeout(waits);
    waits = setTimeout(async () => {
      const says = await setKeys([{ key: s.key, value: input.value.trim() }]);
      if (says) showFieldFault(f, says);
    }, 60);
  });
  const words = [capital(s.meaning) + ".", s.measure].filter(Boolean);
  if (s.default && !s.words) words.push("Empty: " + s.default + ".");
  return make("div", { class: "size" },
    make("label", { for: id }, capital(name)), make("div", { class: "in" }, input, unit), fault,
    make("p", { id: id + "-m" }, words.join(" ")));
}
