"use strict";
// Shows what comes next by the telephone's clock. The page says everything without it.
(() => {
  const MINUTE = 60, DAY = 86400;
  const HOME_AGAIN = 3 * 3600; // so long after the time due home an outing still stands on top
  const OLD = 14 * DAY;        // from then on the page asks whether it still holds
  const seconds = () => Math.floor(Date.now() / 1000);
  const at = (element, name) => Number(element.dataset[name]);
  const make = (tag, words, look) => {
    const element = document.createElement(tag);
    if (words) element.textContent = words;
    if (look) element.className = look;
    return element;
  };
  const outings = [...document.querySelectorAll("article[data-leave]")];
  const next = document.getElementById("next");
  const zone = document.body.dataset.zone;

  const clock = (moment, timeZone) => {
    try {
      return new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", timeZone }).format(moment * 1000);
    } catch {
      return "";
    }
  };

  const until = (moment, now) => {
    const minutes = Math.ceil((moment - now) / MINUTE);
    if (minutes <= 0) return "now";
    if (minutes < 120) return `in ${minutes} min`;
    if (minutes < 2880) return `in ${Math.floor(minutes / 60)} h ${minutes % 60} min`;
    return `in ${Math.floor(minutes / 1440)} days`;
  };

  const isReserve = (outing) => "reserve" in outing.dataset;
  const titleOf = (outing) => {
    const heading = outing.querySelector("h2");
    return `${heading.firstChild.textContent}, ${heading.querySelector(".tag").textContent}`;
  };

  // The outings to show: the one that is on or comes next; where that is a reserve date, the next sure one too.
  const shown = (now) => {
    const ahead = outings.filter((outing) => at(outing, "due") + HOME_AGAIN > now);
    const first = ahead.slice(0, 1);
    if (first.length && isReserve(first[0])) first.push(...ahead.filter((outing) => !isReserve(outing)).slice(0, 1));
    return first;
  };

  const stepOf = (sky, now) => {
    const rows = [...sky.querySelectorAll(".stops > li")];
    return rows.find((row) => at(row, "to") > now) || rows[rows.length - 1];
  };

  const stepCard = (sky, now) => {
    const row = stepOf(sky, now);
    const card = make("div");
    if (sky.dataset.sky) card.append(make("p", sky.dataset.sky, "loud"));
    const begun = at(row, "from") <= now;
    const over = at(row, "to") <= now;
    const wait = make("p", over ? "Time due home is past. Say that you are back." : begun ? "Now" : "", "loud");
    if (!over && !begun) wait.dataset.until = row.dataset.from;
    card.append(wait);
    const stop = make("div", "", "stop");
    for (const part of row.children) if (!part.classList.contains("state")) stop.append(part.cloneNode(true));
    card.append(stop);
    const closes = sky.querySelector("[data-time='Window closes'] dd");
    if (closes && !over) card.append(make("p", `Window closes ${closes.textContent}`));
    return card;
  };

  const outingCard = (outing, now) => {
    const card = make("div", "", "card");
    const title = make("p", "", "loud");
    const link = make("a", titleOf(outing), "key");
    link.href = `#${outing.id}`;
    title.append(link);
    card.append(title);
    if (isReserve(outing)) card.append(make("p", "Only if the coordinator moved the visit to this date.", "loud"));
    const cards = make("div", "", "cards");
    for (const sky of outing.querySelectorAll(".sky")) cards.append(stepCard(sky, now));
    card.append(cards);
    return card;
  };

  const doubts = (now) => {
    const made = Date.parse(`${document.body.dataset.made}T00:00:00Z`) / 1000;
    const said = [];
    if (now < made - DAY) said.push("This telephone's clock stands before the day on which this page was made. Check it.");
    if (now > made + OLD) said.push(`This page was made ${Math.floor((now - made) / DAY)} days ago. Ask whether it still holds.`);
    if (clock(now, zone) && clock(now, zone) !== clock(now)) {
      said.push(`This telephone's clock is set to another zone. All times here are those of ${zone}.`);
    }
    return said;
  };

  const mark = (now) => {
    for (const row of document.querySelectorAll(".stops > li")) {
      const over = at(row, "to") <= now;
      row.classList.toggle("over", over);
      if (over && !row.querySelector(".state")) row.append(make("span", "over", "state"));
      if (!over) row.querySelector(".state")?.remove();
      row.removeAttribute("aria-current");
    }
    for (const outing of outings) {
      if (at(outing, "leave") - DAY / 2 > now || at(outing, "due") <= now) continue;
      for (const sky of outing.querySelectorAll(".sky")) stepOf(sky, now).setAttribute("aria-current", "step");
    }
  };

  // Puts the cards there only where they say something new, so that nobody's finger or focus is on what goes.
  let standing = "";
  const show = (cards, now) => {
    const place = document.getElementById("next-cards");
    const wanted = cards.map((card) => card.outerHTML).join("");
    if (wanted !== standing) place.replaceChildren(...cards);
    standing = wanted;
    for (const wait of place.querySelectorAll("[data-until]")) wait.textContent = until(at(wait, "until"), now);
  };

  const tell = () => {
    const now = seconds();
    const cards = shown(now).map((outing) => outingCard(outing, now));
    if (!cards.length) cards.push(make("p", outings.length ? "All outings of this page are over." : "No outing is planned for you.", "loud"));
    const time = clock(now, zone);
    document.getElementById("next-now").textContent = time ? `It is ${time}` : "";
    show(cards, now);
    document.getElementById("next-doubts").replaceChildren(...doubts(now).map((words) => make("li", words)));
    const strong = document.querySelector("#next-cards strong");
    const said = document.getElementById("next-said");
    const words = strong ? `Next: ${strong.textContent}, ${document.querySelector("#next-cards time").textContent}` : cards[0].textContent;
    if (said.textContent !== words) said.textContent = words;
    mark(now);
    next.hidden = false;
  };

  tell();
  setInterval(tell, 10000);
  document.addEventListener("visibilitychange", tell);
})();
