/* The number pad, and the grid that goes on to its next cell while the bench is away. */
(function () {
  "use strict";
  var field = null;
  function fieldNow() {
    if (field && document.contains(field)) { return field; }
    return document.querySelector("main [data-focus-field]");
  }
  document.addEventListener("focusin", function (event) { if (event.target.matches("[data-pad]")) { field = event.target; } });
  document.addEventListener("click", function (event) {
    var key = event.target.closest("[data-key]"), into = fieldNow();
    if (!key || !into) { return; }
    var text = into.value, what = key.dataset.key;
    if (what === "back") { text = text.slice(0, -1); }
    else if (what === "clear") { text = ""; }
    else if (what === "sign") { text = text[0] === "-" ? "+" + text.slice(1) : text[0] === "+" ? "-" + text.slice(1) : "+" + text; }
    else { text += what; }
    into.value = text;
    into.dispatchEvent(new Event("input", { bubbles: true }));
  });
  /* the cell that was typed shows its value as waiting; the next one without a reading is next */
  document.addEventListener("ringland:queued", function (event) {
    var form = event.detail.form, here = form.querySelector("input[name=place]"), typed = event.detail.item.fields.find(function (f) { return f[0] === "value"; });
    if (!here || !form.querySelector(".grid")) { return; }
    var cells = Array.from(form.querySelectorAll(".cell")), place = function (c) { return new URL(c.href).searchParams.get("place"); };
    cells.forEach(function (cell) {
      if (place(cell) !== here.value) { return; }
      cell.classList.remove("next");
      cell.replaceChildren(Object.assign(document.createElement("span"), { className: "cv", textContent: typed ? typed[1] : "" }), Object.assign(document.createElement("span"), { className: "cs", textContent: here.value + ", waits" }));
      cell.dataset.read = "1";
    });
    var next = cells.find(function (c) { return !c.dataset.read && !c.querySelector(".cv") && !c.classList.contains("port"); });
    if (!next) { return; }
    next.classList.add("next");
    here.value = place(next);
    document.querySelectorAll("main [data-place-word]").forEach(function (word) { word.textContent = here.value; });
    if (form.querySelector("#value")) { form.querySelector("#value").focus(); }
  });
  /* the unit that a bare number takes stands beside the field, and what will be kept below it */
  function inWords(unit) { return unit === "in" ? "inches" : unit; }
  function unitNow() { var chosen = document.querySelector("main input[name=unit]:checked"); return chosen ? chosen.value : ""; }
  function readAs() {
    var said = document.getElementById("read-as"), input = document.getElementById("value"), unit = unitNow();
    if (!said || !input) { return; }
    var text = input.value.trim(), bare = /^[-+−]?[\d.,]+(\s+[-+−]?[\d.,]+)*$/.test(text), strong = document.createElement("strong");
    if (!text || !unit || (!bare && !/[a-zµ%]/i.test(text))) {
      if (unit) { strong.textContent = inWords(unit); said.replaceChildren("A number without a unit is kept in ", strong, "."); }
      return;
    }
    strong.textContent = bare ? text.split(/\s+/).map(function (each) { return each + " " + unit; }).join(", ") : text;
    said.replaceChildren("Will be kept as ", strong, /^[-+−]/.test(text) ? " from the set size." : ".");
  }
  document.addEventListener("change", function (event) {
    var what = event.target;
    if (what.name === "gauge" && what.dataset.shows) {
      document.querySelectorAll("main input[name=unit]").forEach(function (each) { if (each.value === what.dataset.shows) { each.checked = true; } });
    }
    if (what.name !== "gauge" && what.name !== "unit") { return; }
    var unit = unitNow();
    if (!unit) { return; }
    document.querySelectorAll("main [data-unit]").forEach(function (word) { word.textContent = unit; });
    document.querySelectorAll("main [data-unit-word]").forEach(function (word) { word.textContent = "in " + inWords(unit); });
    readAs();
  });
  document.addEventListener("input", readAs);
  document.addEventListener("ringland:shown", readAs);
  document.addEventListener("ringland:queued", readAs);
  var first = document.querySelector("main [data-gauge]");
  readAs();
  if (first && !document.querySelector("main [data-focus]")) { first.focus(); }
})();
