/**
 * The first page for somebody who has been here: where to go on, what comes back today, and how far each lesson is.
 * It computes nothing: what follows from the answers was worked out when they were given.
 */
"use strict";
/* global LEARN, learnDay, learnBeyond, learnCount, learnExam, TANKSIDE_WORDS */

(() => {
  const $here = document.querySelector('[data-role="here"]');
  if (!($here instanceof HTMLElement)) return;
  const { lessons, topics } = JSON.parse(($here.querySelector('[data-role="outline"]') || { textContent: "{}" }).textContent || "{}");

  /** @param {string} key @param {Object<string, string|number>} [places] */
  const word = (key, places = {}) => TANKSIDE_WORDS[key].replace(/\{([a-z-]+)\}/g, (whole, name) => (name in places ? String(places[name]) : whole));

  /** @param {string} tag @param {string} name @param {string} [text] */
  function make(tag, name, text = "") {
    const $one = document.createElement(tag);
    if (name) $one.className = name;
    if (text) $one.textContent = text;
    return $one;
  }

  /** @param {ReturnType<typeof learnCount>} of */
  function how(of) {
    const said = [];
    if (of.all && of.learned === of.all) said.push(word("row-done"));
    else if (of.learned) said.push(word("row-learned", of));
    else if (of.right || of.missed) said.push(word("row-right", of));
    if (of.due) said.push(word("row-due", of));
    if (of.missed) said.push(word("row-missed", of));
    return said.join(", ");
  }

  /** @param {string} href @param {string} text @param {string} name */
  function way(href, text, name) {
    const $way = /** @type {HTMLAnchorElement} */ (make("a", name, text));
    $way.href = href;
    return $way;
  }

  /** What to say of an exam that was begun and not handed in. */
  function runningExam() {
    const held = LEARN.unfinished("exam", "exam");
    if (!held) return "";
    const { until, left } = held.sitting.plan;
    const time = until ? Math.min(Date.parse(until) - Date.now(), Number.isFinite(left) ? left : Infinity) : NaN;
    if (!Number.isFinite(time)) return word("home-exam");
    const minutes = Math.ceil(time / 60_000);
    return minutes < 1 ? word("home-exam-over") : minutes === 1 ? word("home-exam-minute") : word("home-exam-minutes", { minutes });
  }

  /** What to say of a drill of today that was begun and not ended. */
  function unfinishedDrill() {
    const held = LEARN.unfinished("drill", "drill");
    const { at = 0, day, slots } = held ? held.sitting.plan : {};
    return Array.isArray(slots) && day === learnDay() && at < slots.length ? word("home-drill-on", { at: at + 1, all: slots.length }) : "";
  }

  /**
   * What to say of what was missed, with the weak spot where there is one: a topic with more of it than any other.
   * @param {number} count @param {{id: string, missed: number}[]} topics
   */
  function missed(count, topics) {
    const [most, next] = topics.sort((one, other) => other.missed - one.missed);
    const weak = most && most.missed > 1 && !(next && next.missed === most.missed);
    return weak ? word("home-missed-most", { count, topic: word(`topic-${most.id}`) }) : word("home-missed", { count });
  }

  /**
   * How long it is to the exam, and how far a candidate has come; nothing where no day was set.
   * @param {any} set the learner's settings @param {ReturnType<typeof learnCount>} all
   */
  function beforeExam(set, all) {
    if (!learnExam(set)) return "";
    const days = learnDay(new Date(`${set.exam}T12:00:00`)) - learnDay();
    // A day that no calendar has is no day.
    if (Number.isNaN(days)) return "";
    if (days < 0) return word("home-day-past");
    const said = [days === 0 ? word("exam-today") : days === 1 ? word("home-day-one") : word("home-day", { days }), word("home-day-learned", all)];
    const mock = LEARN.sittings().filter((one) => one.kind === "exam" && one.ended && one.result).pop();
    if (mock) said.push(word("home-day-mock", mock.result));
    return said.join(" ");
  }

  let shown = false;

  function show() {
    const person = LEARN.current();
    const items = ((LEARN.note("standing") || {}).note || {}).items || {};
    const set = (LEARN.note("settings") || {}).note || {};
    const beyond = learnBeyond(set, topics.some((/** @type {any} */ topic) => topic[1].length));
    /** The kinds of a topic that the drill asks of this learner. @param {any} topic @returns {string[]} */
    const asked = ([, taught, others]) => [...new Set([...taught, ...(beyond ? others : [])])];
    const opened = LEARN.opened();
    const last = opened.find((one) => lessons.some((/** @type {any} */ lesson) => lesson.stem === one.stem));
    for (const $old of document.querySelectorAll(".tk-contents__how")) $old.remove();
    const sitting = LEARN.sittings().length > 0;
    // On a shared phone it says who learns, even before that one has done anything.
    $here.hidden = !last && !sitting && !person.name && !learnExam(set);
    // Somebody who has been here needs no welcome: where to go on belongs on the first screen.
    document.documentElement.dataset.here = $here.hidden ? "no" : "yes";
    if ($here.hidden) return;
    const $ways = document.createDocumentFragment();
    const [exam, drill] = [runningExam(), unfinishedDrill()];
    if (exam) $ways.append(way("exam.html", exam, "tk-here__way"));
    if (drill) $ways.append(way("drill.html", drill, "tk-here__way"));
    if (lessons.length && (last || !sitting)) {
      const place = Math.max(0, lessons.findIndex((/** @type {any} */ one) => last && one.stem === last.stem));
      const of = learnCount(lessons[place].digests, items, set);
      // A lesson whose questions are all answered right is behind the learner.
      const lesson = lessons[of.all && of.right === of.all ? place + 1 : place];
      if (lesson) $ways.append(way(`lessons/${lesson.stem}.html`, word("home-go-on", { lesson: lesson.title }), "tk-here__way"));
    }
    const wanted = topics.filter((/** @type {any} */ [id]) => !(Array.isArray(set.without) && set.without.includes(id)));
    const all = learnCount([...new Set(wanted.flatMap(asked))], items, set);
    if (all.due) $ways.append(way("drill.html", all.due === 1 ? word("home-due-one") : word("home-due", { count: all.due }), "tk-here__way"));
    if (all.missed) $ways.append(way("drill.html", missed(all.missed, wanted.map((/** @type {any} */ topic) => ({ id: topic[0], missed: learnCount(asked(topic), items, set).missed }))), "tk-here__way"));
    if (!drill && !all.due && !all.missed) $ways.append(way("drill.html", word("drill"), "tk-here__way"));
    if (!exam) $ways.append(way("exam.html", word("exam"), "tk-here__way"));
    $ways.append(way("progress.html", person.name ? word("home-who", { name: person.name }) : word("home-progress"), "tk-here__way"), way("progress.html#over", word("over"), "tk-here__way"));
    // One way on is large: the first.
    if ($ways.firstElementChild) $ways.firstElementChild.className = "tk-here__on";
    const $list = $here.querySelector('[data-role="ways"]');
    if ($list) $list.replaceChildren($ways);
    const $exam = $here.querySelector('[data-role="exam"]');
    if ($exam instanceof HTMLElement) {
      $exam.textContent = beforeExam(set, all);
      $exam.hidden = !$exam.textContent;
    }
    const begun = topics.map((/** @type {any} */ topic) => ({ id: topic[0], of: learnCount(asked(topic), items, set) })).filter((/** @type {any} */ one) => one.of.right || one.of.missed);
    const $topics = $here.querySelector('[data-role="topics"]');
    if ($topics instanceof HTMLElement) {
      $topics.hidden = !begun.length;
      if (!shown && matchMedia("(min-width: 48rem)").matches) /** @type {HTMLDetailsElement} */ ($topics).open = true;
      shown = true;
      const $rows = $topics.querySelector("ul");
      if ($rows) $rows.replaceChildren(...begun.map((/** @type {any} */ { id, of }) => {
        const $row = make("li", "tk-here__topic");
        $row.append(make("span", "tk-here__name", word(`topic-${id}`)), " ", make("span", "tk-here__how", how(of)));
        return $row;
      }));
    }
    for (const lesson of lessons) {
      const $link = document.querySelector(`.tk-contents__link[href="lessons/${lesson.stem}.html"]`);
      if (!$link) continue;
      const said = [lesson.stem === (last && last.stem) ? word("row-here") : "", how(learnCount(lesson.digests, items, set)) || (opened.some((one) => one.stem === lesson.stem) ? word("row-read") : "")].filter(Boolean);
      if (said.length) $link.insertAdjacentElement("afterend", make("span", "tk-contents__how", said.join(" · ")));
    }
    const $trouble = $here.querySelector('[data-role="trouble"]');
    const troubles = LEARN.troubles();
    if ($trouble instanceof HTMLElement) {
      $trouble.hidden = !troubles.length;
      $trouble.replaceChildren(...troubles.map((key) => make("p", "", word(key))));
    }
  }

  LEARN.onChange(show);
  addEventListener("pageshow", show);
  show();
})();
