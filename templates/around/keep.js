/**
 * Keeps a course that came from a server on the device, so that it opens without a signal, and says how that went:
 * kept, no room, a new version. A new version is offered and never forced: while a check is open it waits.
 */
"use strict";
/* global TANKSIDE_AROUND, aroundLine */

(() => {
  const root = document.documentElement.dataset.root || "";
  const words = TANKSIDE_AROUND;

  /** A button on a line. @param {Element} $line @param {string} text @param {() => void} chore */
  function offer($line, text, chore) {
    const $button = document.createElement("button");
    $button.type = "button";
    $button.className = "tk-button";
    $button.textContent = text;
    $button.addEventListener("click", chore);
    $line.append($button);
  }

  /** Whether a check or a round is open here: begun, and not yet scored. */
  const isChecking = () => [...document.querySelectorAll('[data-role="stage"]:not([hidden])')].some(($stage) => $stage.childElementCount > 0 && !$stage.querySelector('[data-role="total"]'));

  /** Whether anything was typed here that a reload would lose. */
  let typed = false;

  const way = navigator.serviceWorker;
  for (const [kind, file] of [["manifest", "course.webmanifest"], ["apple-touch-icon", "assets/icon-192.png"]]) {
    const $link = document.createElement("link");
    $link.rel = kind;
    $link.href = root + file;
    document.head.append($link);
  }
  if (!way) return;
  const PUT_OFF = `tankside-${document.documentElement.dataset.course}-not-now`;
  /** The first worker takes over a page that came without one; only a later one brings a new version. */
  let had = way.controller !== null;
  let asked = false;
  /** Put off, until this tab is closed: then the new version comes automatically. */
  const put = () => { try { return sessionStorage.getItem(PUT_OFF) === "yes"; } catch { return false; } };
  const putOff = () => { try { sessionStorage.setItem(PUT_OFF, "yes"); } catch { /* It is offered once more then. */ } };

  /** @param {ServiceWorker} worker a version that waits */
  function ready(worker) {
    if (put()) return;
    const checking = isChecking();
    const $line = aroundLine("update", checking ? words.wait : words.ready);
    if (checking) return;
    offer($line, words.use, () => { asked = true; aroundLine("update", words.ready); worker.postMessage("use"); });
    offer($line, words["not-now"], () => { putOff(); $line.remove(); });
  }

  /** @param {ServiceWorkerRegistration} course */
  function watch(course) {
    let checking = isChecking();
    const look = () => { if (course.waiting && way.controller) ready(course.waiting); };
    const coming = () => {
      const worker = course.installing;
      if (worker) worker.addEventListener("statechange", () => {
        if (worker.state === "installed") look();
        if (worker.state === "activated") kept();
      });
    };
    course.addEventListener("updatefound", coming);
    coming();
    look();
    const $main = document.querySelector("main");
    // The offer waits while a check is open, and appears when it is scored.
    if ($main) new MutationObserver(() => { if (isChecking() !== checking) { checking = !checking; look(); } }).observe($main, { childList: true, subtree: true, attributes: true, attributeFilter: ["hidden"] });
    if (course.active && way.controller) kept();
  }

  function kept() {
    const $foot = document.querySelector(".tk-foot__row");
    if (!$foot || $foot.querySelector("[data-kept]")) return;
    const $kept = document.createElement("p");
    $kept.dataset.kept = "yes";
    $kept.textContent = words.done;
    $foot.append($kept);
  }

  way.addEventListener("message", ({ data, ports }) => {
    if (!data) return;
    if (data.ask === "busy" && ports[0]) ports[0].postMessage(typed || isChecking() ? "busy" : "free");
    if (data.kept === "later") { asked = false; aroundLine("update", words.later); }
    if (data.kept === "full") {
      const $line = aroundLine("full", words.full);
      offer($line, words.close, () => $line.remove());
    }
  });
  way.startMessages();
  way.addEventListener("controllerchange", () => {
    if (had && (asked || !(typed || isChecking()))) location.reload();
    had = true;
  });
  document.addEventListener("input", (event) => { if (event.target instanceof Element && event.target.closest("main")) typed = true; });
  // Without a signal, the existing worker carries on.
  way.register(`${root}offline.js`, { scope: root || "./", updateViaCache: "none" }).then(watch, () => {});
})();
