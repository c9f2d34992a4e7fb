/* Reads the next setting by the browser's own voice, where it has one. */
(function () {
  "use strict";
  function start() {
    var button = document.getElementById("aloud");
    if (!button || !window.speechSynthesis || button.dataset.on) { return; }
    button.dataset.on = "1";
    button.hidden = false;
    button.addEventListener("click", function () {
      window.speechSynthesis.cancel();
      var said = new SpeechSynthesisUtterance(button.dataset.say);
      said.lang = "en";
      window.speechSynthesis.speak(said);
    });
  }
  document.addEventListener("ringland:shown", start);
  start();
})();
