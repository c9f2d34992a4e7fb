/* Keeps what was opened, for when the server is away. Nothing that is posted passes here, and
   nothing under /api is kept. Its name is the build, so that old pages and scripts go together. */
"use strict";
var KEPT = "ringland-BUILD", PATIENCE = 2500;
var PARTS = ["sheet.css", "queue.js", "forms.js", "bench.js", "pad.js", "engine.js", "aloud.js", "timer.js", "icon.svg",
  "fonts/atkinson-hyperlegible-next-latin-wght-normal.woff2"].map(function (name) { return "/static/BUILD/" + name; });
var NEVER = /^\/(api|sw\.js|pair|devices|who|trust|take-in)|\.jsonl$|\.pdf$/;

self.addEventListener("install", function (event) {
  event.waitUntil(caches.open(KEPT).then(function (c) { return c.addAll(PARTS.concat(["/offline"])); }).then(function () { return self.skipWaiting(); }));
});
self.addEventListener("activate", function (event) {
  event.waitUntil(caches.keys().then(function (names) {
    return Promise.all(names.filter(function (n) { return n.indexOf("ringland-") === 0 && n !== KEPT; }).map(function (n) { return caches.delete(n); }));
  }).then(function () { return self.clients.claim(); }));
});
function kept(request) {
  return caches.open(KEPT).then(function (c) {
    return c.match(request, { ignoreVary: true }).then(function (found) { return found || c.match(request, { ignoreVary: true, ignoreSearch: true }); });
  });
}
function keep(request, answer) {
  if (answer.ok && answer.type === "basic" && !answer.redirected) {
    var copy = answer.clone();
    return caches.open(KEPT).then(function (c) { return c.put(request, copy); });
  }
  return Promise.resolve();
}
function fresh(event) {
  var request = event.request, network = fetch(request).then(function (answer) { event.waitUntil(keep(request, answer)); return answer; });
  var late = new Promise(function (done) { setTimeout(done, PATIENCE); });
  return Promise.race([network, late]).then(function (answer) {
    return answer || kept(request).then(function (found) { return found || network; });
  }).catch(function () {
    return kept(request).then(function (found) { return found || caches.match("/offline", { ignoreVary: true }); });
  });
}
self.addEventListener("fetch", function (event) {
  var url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin || NEVER.test(url.pathname)) { return; }
  if (/^\/(static|photo)\//.test(url.pathname)) {
    event.respondWith(kept(event.request).then(function (found) {
      return found || fetch(event.request).then(function (answer) { event.waitUntil(keep(event.request, answer)); return answer; });
    }));
    return;
  }
  event.respondWith(fresh(event));
});
/* one page after the other, so that the bench stays quick for the person */
self.addEventListener("message", function (event) {
  if (!event.data || !event.data.keep) { return; }
  event.waitUntil(event.data.keep.filter(function (address) { return !NEVER.test(address); }).reduce(function (before, address) {
    return before.then(function () { return fetch(address, { headers: { Accept: "text/html", "X-Ringland": "keep" } }); }).then(function (answer) { return keep(address, answer); }).catch(function () { });
  }, Promise.resolve()));
});
