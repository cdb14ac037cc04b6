// How a page looks where that is hardest to get right: on a phone, on a narrow strip beside enlarged letters, at a desk.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { CALCULATORS, LESSONS, at } from "./looking.mjs";
import { pagesWith } from "./site.mjs";

/** Words, within what the selector finds, that are broken in two; a no-break space is part of a word, a hyphen is not. */
function broken(selector) {
  const found = [];
  for (const $one of document.querySelectorAll(selector)) {
    const walker = document.createTreeWalker($one, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      for (const word of walker.currentNode.data.matchAll(/[^ \n-]+/g)) {
        const range = document.createRange();
        range.setStart(walker.currentNode, word.index);
        range.setEnd(walker.currentNode, word.index + word[0].length);
        const lines = new Set([...range.getClientRects()].map((box) => Math.round(box.top)));
        if (lines.size > 1) found.push(word[0]);
      }
    }
  }
  return found;
}

/** What is cut off at its side. */
function cut(selector) {
  return [...document.querySelectorAll(selector)].filter(($one) => $one.scrollWidth > $one.clientWidth + 1).map(($one) => $one.className);
}

/** Fields of rows whose name is not beside them, and how many there are. */
function apart() {
  const fields = [...document.querySelectorAll(".tk-rows__row--long .tk-field")].map(($field) => {
    const [name, entry] = [$field.querySelector("label"), $field.querySelector(".tk-field__entry")].map(($one) => $one.getBoundingClientRect());
    return { name: $field.dataset.name, apart: name.width > 0 && (name.top > entry.bottom || name.bottom < entry.top), over: name.right > entry.left };
  });
  return { all: fields.length, wrong: fields.filter((one) => one.apart || one.over) };
}

/** Formulas in words that share a line with the one in numbers. */
function joined() {
  return [...document.querySelectorAll(".tk-step__words + .tk-step__numbers")].filter(($numbers) => $numbers.getClientRects().length && $numbers.getClientRects()[0].top < $numbers.previousElementSibling.getBoundingClientRect().bottom - 1).map(($one) => $one.textContent);
}

/** Results of steps that are torn from their sign of equality, names of limits that are not beside them, and tools that do not fit on one row. */
function torn() {
  const found = [...document.querySelectorAll(".tk-step__result")].filter(($one) => {
    const range = document.createRange();
    range.selectNodeContents($one);
    return new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size > 1;
  });
  const away = [...document.querySelectorAll(".tk-ask__fact")].filter(($one) => {
    const [name, text] = [$one.querySelector("dt"), $one.querySelector("dd")].map(($part) => $part.getClientRects()[0]);
    return Math.abs(name.top - text.top) > 1 || text.left - name.right < 2;
  });
  const rows = [...document.querySelectorAll(".tk-worked .tk-tools")].filter(($row) => {
    return new Set([...$row.querySelectorAll(".tk-quiet")].filter(($one) => $one.checkVisibility()).map(($one) => $one.offsetTop)).size > 1;
  });
  return [...found, ...away, ...rows].map(($one) => $one.textContent);
}

/** Results of steps that reach beyond the screen. */
function beyond() {
  const width = document.documentElement.clientWidth;
  return [...document.querySelectorAll(".tk-step__result")].filter(($one) => $one.getBoundingClientRect().right > width + 0.5).map(($one) => $one.textContent);
}

/** Further results that begin a line although they are no row of their own. */
function lone() {
  return [...document.querySelectorAll(".tk-fold--results > .tk-results:not(.tk-results--row)")].filter(($one) => getComputedStyle($one).display !== "contents").map(($one) => $one.textContent);
}

/** Tables that are pressed into a part of the sheet. */
function pressed() {
  const whole = document.querySelector(".tk-answer").clientWidth;
  return [...document.querySelectorAll(".tk-compare")].filter(($one) => $one.clientWidth && $one.clientWidth < whole * 0.9).map(($one) => $one.textContent);
}

describe("at every width no number is broken, nothing is cut off, names are beside their fields, formulas on lines of their own", () => {
  let fields = 0;
  for (const page of [...CALCULATORS, "card.html"]) {
    test(page, async () => {
      await at(360, page, async (opened) => {
        const look = async (what, ...how) => assert.deepEqual(await opened.evaluate(what, ...how), [], `${page}, ${what.name}`);
        for (const width of [1280, 768, 360]) {
          await opened.setViewportSize({ width, height: 740 });
          await look(broken, ".tk-ask__fact dd");
          if (width === 768) continue;
          const { all, wrong } = await opened.evaluate(apart);
          fields += all;
          assert.deepEqual(wrong, [], `${page}, ${width} px`);
        }
        await look(joined);
        await look(torn);
        await look(lone);
        await opened.setViewportSize({ width: 180, height: 740 });
        await look(broken, ".tk-result__number, .tk-card__number");
        await look(beyond);
        await look(cut, ".tk-card__rate, .tk-card__half, .tk-result");
        await opened.setViewportSize({ width: 720, height: 740 });
        await opened.emulateMedia({ media: "print" });
        await look(broken, ".tk-ask__fact dd");
        await look(pressed);
        assert.equal(await opened.locator('[data-part="tools"]:visible').count(), 0, "no tool of the screen is printed");
      });
    });
  }
  test("there are such fields", () => assert.ok(fields > 40, `${fields} fields`));
});

test("at a desk an example right after a heading has its room, and text beside a heading of two lines goes on without a hole", async () => {
  let headed = 0;
  let beside = 0;
  for (const page of LESSONS) {
    await at(1280, page, async (opened) => {
      const { tight, rooms, holes, texts } = await opened.evaluate(() => {
        const padding = ($one) => parseFloat(getComputedStyle($one).paddingBlockStart);
        const examples = [...document.querySelectorAll(".tk-prose > h2 + .tk-worked")];
        const lists = [...document.querySelectorAll(".tk-prose > h2 + p + :is(ul, ol, p, .tk-table)")];
        const gap = ($one) => $one.getBoundingClientRect().top - $one.previousElementSibling.getBoundingClientRect().bottom;
        return { rooms: examples.length, tight: examples.filter(($one) => padding($one) < 10).map(($one) => $one.textContent), texts: lists.length, holes: lists.filter(($one) => gap($one) > 24).map(($one) => $one.textContent) };
      });
      headed += rooms;
      beside += texts;
      assert.deepEqual([tight, holes], [[], []], page);
    });
  }
  assert.ok(headed >= 3 && beside >= 8, `${headed} examples, ${beside} texts`);
});

test("on a phone a link of the formulas and of the glossary is high enough for a finger", async () => {
  for (const page of ["formulas.html", "glossary.html"]) {
    await at(360, page, async (opened) => {
      const low = await opened.evaluate(() => [...document.querySelectorAll("main a")].filter(($one) => $one.checkVisibility() && $one.getBoundingClientRect().height < 24).map(($one) => $one.textContent));
      assert.deepEqual(low, [], page);
    });
  }
});

test("on a phone two columns fit next to each other, and nothing of a comparison is out of sight", async () => {
  for (const page of ["work/carrier-volume.html", "lessons/carrier-volume.html"]) {
    await at(360, page, async (opened) => {
      const cut = await opened.evaluate(() => [...document.querySelectorAll(".tk-table")].filter(($one) => $one.scrollWidth > $one.clientWidth).map(($one) => $one.innerText.slice(0, 60)));
      assert.deepEqual(cut, [], page);
    });
  }
});

test("a bed's sides are written clear of its block, and the lines across a row of nozzles are named", async () => {
  await at(360, "lessons/swath-timing.html", async (opened) => {
    const [sides, block] = await opened.evaluate(() => {
      const $draw = [...document.querySelectorAll(".tk-draw")].find(($one) => /− 12/.test($one.textContent));
      const $sides = [...$draw.querySelectorAll("text")].find(($one) => $one.textContent.startsWith("−"));
      return [$sides.getBoundingClientRect().top, $draw.querySelector(".tk-draw-ground").getBoundingClientRect().bottom];
    });
    assert.ok(sides > block, `${sides} ${block}`);
  });
  await at(360, "lessons/catch-test.html", async (opened) => {
    const texts = await opened.locator(".tk-draw text").allTextContents();
    for (const name of [/^mean 26\sfl\soz$/, /^± 10\s%$/]) assert.ok(texts.some((text) => name.test(text)), `${texts}`);
  });
});

/** Of calculators' drawings: numbers that push a label out of its drawing or onto another, or make a part too thin to be seen. */
const DRAWN = [
  ["unit-conversion", { amount: "123456 gal/acre", to: "gal/1000 ft2" }],
  ["active-ingredient", { "label-rate": "2 pt/acre", strength: "4 lb/gal" }],
  ["dilution", { mix: "100 gal", wanted: "0.01 %" }],
  ["dilution", { "area-rate": "1 pt/acre", carrier: "2 gal/1000 ft2", "other-carrier": "0.46 gal/1000 ft2" }],
  ["lawn-area", { "strip.1.length": "2000 ft", "strip.1.width": "6 ft", "strip.2.length": "300 ft", "strip.2.width": "6 ft" }],
  ["lawn-area", {
    "known.1.area": "10000 ft2", "known.2.area": "1500 ft2", "known.2.effect": "cut-out", "known.3.area": "200 ft2", "known.3.effect": "cut-out",
    "circle.1.radius": "3 ft", "circle.1.effect": "cut-out", "rectangle.1.length": "20 ft", "rectangle.1.width": "30 ft",
  }],
];

/** Labels of the calculator's own drawing that leave it or lie on one another. */
const crossing = ($figure) => {
  const [, , wide, high] = $figure.querySelector("svg").getAttribute("viewBox").split(" ").map(Number);
  const texts = [...$figure.querySelectorAll("text")].map(($text) => ({ said: $text.textContent, box: $text.getBBox() }));
  const out = texts.filter(({ box }) => box.x < 0 || box.y < -0.5 || box.x + box.width > wide || box.y + box.height > high);
  const on = (one, other) => one.x < other.x + other.width && other.x < one.x + one.width && one.y + 3 < other.y + other.height - 3 && other.y + 3 < one.y + one.height - 3;
  const both = texts.flatMap((one, index) => texts.slice(index + 1).filter((other) => on(one.box, other.box)).map((other) => `${one.said} on ${other.said}`));
  return { count: texts.length, crossing: [...out.map(({ said }) => `${said} leaves`), ...both] };
};

const drawing = (opened) => opened.locator('.tk-drawing:not([data-fold="sure"] .tk-drawing)').first();

test("no label leaves its drawing or lies on another, with a calculator's own numbers and with unkind ones", async () => {
  const own = CALCULATORS.map((page) => [page.replace(/^work\/|\.html$/g, ""), {}]);
  for (const [calculator, given] of [...own, ...DRAWN]) {
    const query = Object.keys(given).length > 0 ? `#worked-${calculator}?${new URLSearchParams(given)}` : "";
    await at(360, `work/${calculator}.html${query}`, async (opened) => {
      if (query) await opened.locator("[data-part=worked][data-started]").waitFor();
      await opened.waitForFunction(() => !document.querySelector("[aria-busy]"));
      const seen = await drawing(opened).evaluate(crossing);
      assert.ok(seen.count > 0, calculator);
      assert.deepEqual(seen.crossing, [], `${calculator} ${query}`);
    });
  }
});

test("a product too thin to be seen in its mix is drawn magnified too, and a bed inside the lawn it is cut out of", async () => {
  await at(360, "work/dilution.html", async (opened) => {
    const [thin, seen] = await drawing(opened).locator("rect.tk-draw-mark").evaluateAll(($all) => $all.map(($one) => Number($one.getAttribute("height"))));
    assert.ok(thin < 1 && seen > 6, `${thin} and ${seen} of 68`);
    assert.match(await drawing(opened).locator("svg").textContent(), /bottom × 100/);
  });
  await at(360, "work/lawn-area.html", async (opened) => {
    const [lawn, ...beds] = await drawing(opened).locator(".tk-draw-ground, .tk-draw-band-2").evaluateAll(($all) => $all.map(($one) => $one.getBBox()).map(({ x, y, width, height }) => [x, y, x + width, y + height]));
    assert.ok(beds.length > 0);
    for (const bed of beds) assert.ok(bed[0] > lawn[0] && bed[1] > lawn[1] && bed[2] < lawn[2] && bed[3] < lawn[3], `${bed} in ${lawn}`);
    assert.match(await drawing(opened).locator("svg").textContent(), /positions are not known/);
  });
});

test("in light and dark a question that is answered looks unlike one that is not, and a day of the plan is one line", async () => {
  for (const colorScheme of ["light", "dark"]) {
    await at(360, "drill.html", async (opened) => {
      await opened.emulateMedia({ colorScheme });
      const bright = await opened.evaluate(() => {
        const $place = document.createElement("ol");
        $place.innerHTML = '<button class="tk-paper__go">1</button><button class="tk-paper__go" data-answered="yes">2</button>';
        document.querySelector("main").append($place);
        return [...$place.children].map(($one) => getComputedStyle($one).backgroundColor.match(/\d+/g).slice(0, 3).reduce((sum, part) => sum + Number(part), 0));
      });
      assert.ok(Math.abs(bright[0] - bright[1]) > 450, `${colorScheme}: ${bright}`);
      await opened.locator("#drill-exam").fill(new Date(Date.now() + 35 * 86_400_000).toISOString().slice(0, 10));
      await opened.locator('[data-role="plan"] tr').nth(3).waitFor();
      const high = await opened.locator('[data-role="plan"] tr').evaluateAll((all) => Math.max(...all.map(($one) => $one.getBoundingClientRect().height)));
      assert.ok(high < 40, `${high}`);
    });
  }
});

test("a step has the same number among the steps and among the units that cancel", async () => {
  let seen = 0;
  for (const page of pagesWith('class="tk-chains"')) {
    await at(1280, page, async (opened) => {
      const wrong = await opened.evaluate(() => [...document.querySelectorAll(".tk-answer")].flatMap(($answer) => {
        const titles = new Map();
        for (const $list of $answer.querySelectorAll(".tk-steps")) {
          [...$list.children].forEach(($step, index) => titles.set($list.start + index, $step.querySelector(".tk-step__title").textContent));
        }
        return [...$answer.querySelectorAll(".tk-chain")].map(($chain) => [titles.get($chain.value), $chain.querySelector(".tk-chain__words").textContent]);
      }));
      seen += wrong.length;
      assert.deepEqual(wrong.filter(([title, words]) => !title || !words.startsWith(`${title} = `)), [], page);
    });
  }
  assert.ok(seen > 50, `${seen} steps`);
});
