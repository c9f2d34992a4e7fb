/* The page with script: posts without leaving the page, keeps what waits, notices changes made
   elsewhere. Everything here also works as plain forms and links. */
(function () {
  "use strict";
  document.documentElement.classList.add("js");
  var queue = window.ringlandQueue, forms = window.ringlandForms, dirty = forms.dirty, POLL = 4000, KEEP_AGAIN = 120000, away = false, lastKey = "", lastAt = 0, timer = null, sending = 0, shown = 0;
  var $ = function (id) { return document.getElementById(id); };
  var body = document.body;

  function say(text) { $("status").textContent = ""; setTimeout(function () { $("status").textContent = text; }, 50); }

  /* ---- a page put in place of the one that stands ---- */
  function show(text, keepPlace, sent) {
    var typed = forms.typed(sent), made = new DOMParser().parseFromString(text, "text/html"), main = made.getElementById("main");
    if (!main) { location.reload(); return; }
    var open = [], top = window.scrollY, held = document.activeElement && document.activeElement.id;
    shown += 1;
    document.querySelectorAll("main details[open] > summary").forEach(function (s) { open.push(s.textContent); });
    document.querySelector("main").replaceWith(document.importNode(main, true));
    if (keepPlace) {
      document.querySelectorAll("main details > summary").forEach(function (s) { if (open.indexOf(s.textContent) >= 0) { s.parentNode.open = true; } });
    }
    ["last", "now", "job"].forEach(function (key) { if (made.body.dataset[key] !== undefined) { body.dataset[key] = made.body.dataset[key]; } });
    document.title = made.title;
    var id = made.querySelector(".top .id"), foot = made.querySelector(".block");
    if (id) { document.querySelector(".top .id").replaceWith(document.importNode(id, true)); }
    if (foot && document.querySelector(".block")) { document.querySelector(".block").replaceWith(document.importNode(foot, true)); }
    $("stale").hidden = true;
    var carried = forms.carry(typed);
    document.dispatchEvent(new Event("ringland:shown"));
    if (keepPlace) {
      window.scrollTo(0, top);
      var again = carried || (held && $(held));
      if (again && (document.activeElement === body || $("stale").contains(document.activeElement))) { again.focus({ preventScroll: true }); }
    } else { focusAnswer(); }
    overlay();
  }
  function focusAnswer() {
    var answer = document.querySelector("main [data-focus]"), gauge = document.querySelector("main [data-gauge]");
    if (!answer) { return; }
    if (answer.getAttribute("role") !== "alert") { say(answer.textContent.replace(/\s+/g, " ").trim().slice(0, 300)); }
    if (gauge && answer.getAttribute("role") !== "alert") { gauge.focus(); gauge.scrollIntoView({ block: "center" }); return; }
    answer.focus({ preventScroll: true });
    answer.scrollIntoView({ block: answer.id === "asked" ? "center" : "start" });
  }

  /* ---- posting ---- */
  function itemOf(form, button) {
    var data = new FormData(form, button), fields = [], files = [], named = {};
    data.forEach(function (value, key) {
      if (value instanceof File) { if (value.size) { files.push({ field: key, blob: value, name: value.name || "photo" }); } return; }
      if (key === "id" || key === "at") { return; }
      fields.push([key, value]);
      named[key] = value;
    });
    var value = named.instead || named.value, unit = named.unit || named.shown;
    if (value && unit && /^[-+−\d.,\s]+$/.test(value)) { value += " " + unit; }
    var what = [form.dataset.label, named.verb, named.name, named.place, value, named.other, named.word, named.positions, named.count, named.verb === "gauge" ? named.gauge : "", named.hours && named.hours + " h"].filter(Boolean).join(" ");
    return { job: body.dataset.job, url: form.getAttribute("action") || location.pathname + location.search, id: queue.id(), at: queue.at(), fields: fields, files: files, label: what, name: named.name || "", state: "waiting" };
  }
  document.addEventListener("submit", function (event) {
    var form = event.target;
    if (!form.matches("form[data-act]")) { return; }
    event.preventDefault();
    var item = itemOf(form, event.submitter), key = JSON.stringify([item.url, item.fields]);
    // a gauge that bounces sends the same Enter twice
    if (form.dataset.busy || (key === lastKey && Date.now() - lastAt < 300)) { return; }
    lastKey = key; lastAt = Date.now();
    form.dataset.busy = "1";
    sending += 1;
    var done = function () { delete form.dataset.busy; sending -= 1; };
    queue.add(item).then(function (seq) {
      item.seq = seq;
      return queue.flush(seq).then(function (said) {
        done();
        if (said.go) { location.assign(said.go); return; }
        if (said.page) { away = false; show(said.page, false, form); return; }
        if (!said.waits) { return overlay().then(refresh); } // sent from another page of this device, or set aside
        kept(form, event.submitter, item, said.code);
      });
    }, function () {
      done();
      form.removeAttribute("data-act"); // this browser keeps nothing: leave it to the plain form
      form.requestSubmit(event.submitter);
    });
  });
  /* the bench did not answer: what was typed is on this device; clear the field for the next one */
  function kept(form, button, item, code) {
    away = true;
    if (navigator.storage && navigator.storage.persist) { navigator.storage.persist(); }
    say("Kept on this device: " + item.label + ". It goes to the bench when it answers.");
    if (button && button.name === "positions") {
      button.disabled = true; button.textContent = "Number " + button.value + ": waits on this device";
      var next = form.querySelector("button[name=positions]:not([disabled]):not([data-enter])");
      form.querySelectorAll("button[name=positions]:not([data-enter])").forEach(function (b) { b.classList.toggle("main", b === next); });
      if (next) { next.focus(); }
    }
    form.querySelectorAll("[data-pad], input[type=file], input[name=remark], input[name=reason], input[name=hours], textarea").forEach(function (field) { field.value = ""; });
    document.dispatchEvent(new CustomEvent("ringland:queued", { detail: { form: form, item: item } }));
    overlay();
    if (code === 401) { location.assign("/pair"); }
  }

  /* ---- what waits, over every page ---- */
  function element(tag, text, cls) { var e = document.createElement(tag); if (text) { e.textContent = text; } if (cls) { e.className = cls; } return e; }
  function overlay() {
    return queue.all().then(function (items) {
      var box = $("queue"), waiting = items.filter(function (i) { return i.state === "waiting"; }), needs = items.filter(function (i) { return i.state === "needs"; });
      box.replaceChildren();
      box.hidden = !items.length && !away;
      box.classList.toggle("hot", needs.length > 0);
      document.querySelectorAll("[data-waits]").forEach(function (n) { n.remove(); });
      if (waiting.length) {
        var last = waiting[waiting.length - 1].at.slice(11, 16);
        box.append(element("p", "Kept on this device: " + waiting.length + (waiting.length === 1 ? " entry" : " entries") + ", last " + last + (waiting.length === 1 ? ". It goes" : ". They go") + " to the bench when it answers."));
        var list = element("ul");
        waiting.slice(-5).forEach(function (i) { list.append(element("li", i.label)); });
        box.append(list);
        if (!window.isSecureContext) { box.append(element("p", "Keep this page open: this connection cannot keep pages. See “Working without Wi-Fi” on the wall.")); }
        waiting.forEach(mark);
      } else if (away) {
        var acts = document.querySelector("main form[data-act]"), plain = document.querySelector("main form[data-held]");
        box.append(element("p", "The bench does not answer. Shown as of " + (body.dataset.now || "").slice(11, 16) + "." + (acts ? " What you keep waits on this device." : "") + (plain ? (acts ? " Other forms are" : " What is typed here is") + " sent when it answers: nothing typed is lost." : "")));
      }
      if (needs.length) { box.append(element("p", needs.length + (needs.length === 1 ? " entry needs you" : " entries need you"))); needs.forEach(function (i) { box.append(question(i)); }); }
    });
  }
  function mark(item) {
    if (item.job !== body.dataset.job || !item.name) { return; }
    document.querySelectorAll("[data-act-name]").forEach(function (row) {
      if (row.dataset.actName.replace(/, as (found|fitted)$/, "") !== item.name || row.querySelector("[data-waits]")) { return; }
      var note = element("small", "waits on this device");
      note.dataset.waits = "";
      (row.querySelector("span > strong, p, th, h3") || row).parentNode.append(note);
    });
  }
  function question(item) {
    var box = element("div", "", "gap-top"), row = element("div", "", "btns gap-top");
    box.append(element("p", item.label + " (" + item.at.slice(11, 16) + "): " + item.problems.join(" ")));
    function button(text, what) { var b = element("button", text, "btn"); b.type = "button"; b.addEventListener("click", what); row.append(b); }
    function again(name, value) {
      item.fields = item.fields.filter(function (f) { return f[0] !== name; }).concat([[name, value]]);
      item.id = queue.id(); item.state = "waiting";
      queue.put(item).then(function () { return queue.flush(); }).then(overlay).then(refresh);
    }
    (item.offers || []).forEach(function (offer) { button("Use " + offer.label, function () { again("instead", offer.text); }); });
    if (item.asked) { button("Keep as typed: I have checked it", function () { again("insist", "1"); }); }
    button("Try again", function () { again("retry", ""); });
    button("Drop it: " + item.label, function () { queue.drop(item.seq).then(overlay); });
    box.append(row);
    return box;
  }

  /* ---- changes made elsewhere ---- */
  /* force: what is typed goes over into the new page, which stays at the place that is typed at */
  function refresh(force) {
    var before = shown, address = new URL(location.href), place = document.querySelector("main form.take input[name=place]");
    if (place && dirty()) { address.searchParams.set("place", place.value); }
    return fetch(address, { headers: { Accept: "text/html", "X-Ringland": "again" } }).then(function (r) { return r.ok ? r.text() : ""; })
      .then(function (text) {
        // what the person did meanwhile is newer than this
        if (text && before === shown && !sending && (force === true || !dirty())) { show(text, true); }
      }).catch(function () { });
  }
  function look() {
    clearTimeout(timer);
    if (document.hidden) { timer = setTimeout(look, POLL); return; }
    var stop = new AbortController(), patience = setTimeout(function () { stop.abort(); }, 5000), job = body.dataset.job;
    var address = job ? "/api/jobs/" + encodeURIComponent(job) + "/changes" : "/sw.js"; // past the worker, which answers for a bench that is away
    fetch(address, { method: job ? "GET" : "HEAD", signal: stop.signal, headers: { Accept: "application/json" } }).then(function (r) {
      if (r.status === 401) { location.assign("/pair"); }
      if (!r.ok) { throw new Error(String(r.status)); }
      return job ? r.json() : { now: r.headers.get("Date"), last: 0 };
    }).then(function (said) {
      var was = away;
      away = false;
      if (sending) { return null; } // the answer that comes shows it anyway
      if (said.now) { localStorage.setItem("ringland-skew", String(Date.parse(said.now) - Date.now())); }
      return queue.all().then(function (items) {
        var waits = items.some(function (i) { return i.state === "waiting"; });
        if (!waits || sending) { return was ? overlay() : null; }
        return queue.flush().then(overlay).then(refresh);
      }).then(function () {
        if (said.last > Number(body.dataset.last || 0) && !sending) {
          if (dirty()) { stale(); } else { return refresh().then(function () { say("This job was changed elsewhere; the page shows it."); }); }
        }
      });
    }).catch(function () { if (!away) { away = true; overlay(); } })
      .finally(function () { clearTimeout(patience); timer = setTimeout(look, POLL); });
  }
  function stale() {
    var bar = $("stale");
    if (!bar.hidden) { return; }
    bar.replaceChildren(element("span", "This job was changed elsewhere. "));
    var b = element("button", "Show the change", "btn");
    b.type = "button";
    b.addEventListener("click", function () { refresh(true); });
    bar.append(b);
    bar.hidden = false;
  }

  /* ---- pages for when the bench is away ---- */
  function keepPages() {
    if (!("serviceWorker" in navigator)) { return; }
    navigator.serviceWorker.register("/sw.js").then(function () { return navigator.serviceWorker.ready; }).then(function (reg) {
      var key = "ringland-kept-" + body.dataset.build + body.dataset.job, here = location.pathname + location.search;
      if (!body.dataset.job) { reg.active.postMessage({ keep: [here] }); return; }
      // the whole set again only now and then, so that the bench stays quick; the page at hand always
      if (Date.now() - Number(sessionStorage.getItem(key) || 0) < KEEP_AGAIN) { reg.active.postMessage({ keep: [here] }); return; }
      return fetch("/api/jobs/" + encodeURIComponent(body.dataset.job) + "/changes?pages=true").then(function (r) { return r.json(); }).then(function (said) {
        sessionStorage.setItem(key, String(Date.now()));
        reg.active.postMessage({ keep: [here].concat(said.pages, ["/"]) });
      });
    }).catch(function () { });
  }
  window.addEventListener("beforeunload", function (event) {
    if (!window.isSecureContext && !$("queue").hidden && $("queue").textContent.indexOf("Kept on this device") >= 0) { event.preventDefault(); }
  });
  document.addEventListener("visibilitychange", function () { if (!document.hidden) { look(); } });
  window.addEventListener("online", look);

  var tier = $("tier");
  if (tier) { tier.textContent = !window.isSecureContext ? "keeps entries while it stays open" : "serviceWorker" in navigator ? "all of it" : "keeps entries, not pages"; }
  focusAnswer();
  queue.all().then(function (items) { if (items.length) { return queue.flush().then(function (d) { away = !!d.waits; return overlay(); }); } }).catch(function () { });
  document.addEventListener("ringland:page", function (event) { away = false; show(event.detail.text, false, event.detail.form); });
  document.addEventListener("ringland:away", function () { away = true; overlay(); });
  if (body.dataset.job || document.querySelector("main form[data-act], main form[data-held]")) { timer = setTimeout(look, 1500); }
  keepPages();
})();
