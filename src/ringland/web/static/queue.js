/* What was typed and not yet kept on the bench: it is written to this device first, then sent in
   order, once. An entry that the bench refuses is set aside for the person; the rest goes on. */
(function () {
  "use strict";
  var STORE = "waiting", PATIENCE = 10000, PATIENCE_FILE = 90000, TRIES = 3, opening = null, running = Promise.resolve();

  function open() {
    opening = opening || new Promise(function (done, fail) {
      var ask = indexedDB.open("ringland", 1);
      ask.onupgradeneeded = function () { ask.result.createObjectStore(STORE, { keyPath: "seq", autoIncrement: true }); };
      ask.onsuccess = function () { done(ask.result); };
      ask.onerror = function () { opening = null; fail(ask.error); };
    });
    return opening;
  }
  function work(mode, what) {
    return open().then(function (db) {
      return new Promise(function (done, fail) {
        var tx = db.transaction(STORE, mode, mode === "readwrite" ? { durability: "strict" } : undefined);
        var ask = what(tx.objectStore(STORE));
        tx.oncomplete = function () { done(ask.result); };
        tx.onerror = tx.onabort = function () { fail(tx.error); };
      });
    });
  }
  function add(item) { return work("readwrite", function (s) { return s.add(item); }); }
  function put(item) { return work("readwrite", function (s) { return s.put(item); }); }
  function drop(seq) { return work("readwrite", function (s) { return s.delete(seq); }); }
  function all() { return work("readonly", function (s) { return s.getAll(); }); }

  function id() {
    var bytes = crypto.getRandomValues(new Uint8Array(16)), text = "";
    bytes.forEach(function (b) { text += (b + 256).toString(16).slice(1); });
    return text;
  }
  /* this device's time with its offset, set right by what the bench's clock said last */
  function at() {
    var skew = Number(localStorage.getItem("ringland-skew") || 0), now = new Date(Date.now() + skew);
    var away = -now.getTimezoneOffset(), pad = function (n) { return String(Math.abs(n)).padStart(2, "0"); };
    var local = new Date(now.getTime() + away * 60000).toISOString().slice(0, 19);
    return local + (away < 0 ? "-" : "+") + pad(Math.trunc(away / 60)) + ":" + pad(away % 60);
  }
  function body(item) {
    var form = new FormData();
    item.fields.forEach(function (pair) { form.append(pair[0], pair[1]); });
    (item.files || []).forEach(function (file) { form.append(file.field, file.blob, file.name); });
    form.set("id", item.id);
    form.set("at", item.at);
    if (item.files && item.files.length) { return form; }
    return new URLSearchParams(Array.from(form.entries()));
  }
  /* a body with a file in it may take longer */
  function post(url, body, accept) {
    var stop = new AbortController(), patience = body instanceof FormData ? PATIENCE_FILE : PATIENCE;
    var timer = setTimeout(function () { stop.abort(); }, patience);
    return fetch(url, { method: "POST", body: body, headers: { Accept: accept }, signal: stop.signal })
      .finally(function () { clearTimeout(timer); });
  }
  /* one device sends from one page at a time; without locks the bench itself keeps out doubles */
  function alone(what) {
    if (navigator.locks) { return navigator.locks.request("ringland-send", what); }
    running = running.then(what, what);
    return running;
  }

  function isPage(text) { return text.indexOf('<main id="main"') >= 0; }
  /* What an answer says of an entry. Only what the bench itself kept leaves this device: an answer
     that is not the bench's own counts as none.
     returns: "waits", "page" (for the one in front of the person), "kept", or problems */
  function heard(item, own, answer) {
    if ([401, 408, 429, 502, 503, 504].indexOf(answer.status) >= 0) { return Promise.resolve({ is: "waits" }); }
    if (answer.status >= 500) {
      item.tries = (item.tries || 0) + 1;
      return Promise.resolve(item.tries < TRIES ? { is: "waits" } : { is: "needs", problems: ["The bench failed at this entry " + TRIES + " times."] });
    }
    return answer.text().then(function (text) {
      var said = {};
      if (own && isPage(text) && (answer.ok || answer.status === 409 || answer.status === 422)) {
        return answer.redirected ? { is: "page", go: answer.url } : { is: "page", page: text };
      }
      try { said = JSON.parse(text); } catch (error) { said = {}; }
      if (answer.ok) { return { is: said.status === "kept" || said.status === "kept before" ? "kept" : "waits" }; }
      var plain = text && text.length < 300 && text.indexOf("<") < 0 && !said.problems ? text : "refused (" + answer.status + ")";
      return { is: "needs", problems: said.problems || [plain], offers: said.offers, asked: said.status === "asked" };
    });
  }

  /* Send what waits, in order. `mine` is the one in front of the person: its page comes back.
     returns: {page} or {go} for mine, {waits: true} when the bench does not answer, {} otherwise */
  function flush(mine) {
    return alone(function () {
      return all().then(function (items) {
        var waiting = items.filter(function (each) { return each.state === "waiting"; }), shown = {};
        function next(i) {
          if (i >= waiting.length) { return Promise.resolve(shown); }
          var item = waiting[i], own = item.seq === mine;
          return post(item.url, body(item), own ? "text/html" : "application/json").then(function (answer) {
            return heard(item, own, answer).then(function (said) {
              if (said.is === "waits") { return put(item).then(function () { return { waits: true, code: answer.status }; }); }
              if (said.is === "page") { shown = { page: said.page, go: said.go }; }
              if (said.is !== "needs") { return drop(item.seq).then(function () { return next(i + 1); }); }
              item.state = "needs"; item.problems = said.problems; item.offers = said.offers || []; item.asked = said.asked;
              return put(item).then(function () { return next(i + 1); });
            });
          }, function () { return { waits: true }; });
        }
        return next(0).then(function (done) { return shown.page || shown.go ? shown : done; });
      });
    });
  }
  window.ringlandQueue = { add: add, put: put, drop: drop, all: all, id: id, at: at, flush: flush, post: post, isPage: isPage };
})();
