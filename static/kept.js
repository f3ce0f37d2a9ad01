// What is kept in the phone and not sent, shown on the page of a running melt
// as if it was: in the ledger, the power and the fill.
"use strict";
(() => {
	if (!Melt?.may) return;
	const {page, code, template, sentence} = Melt, {el} = Outbox;
	const clock = new Intl.DateTimeFormat("en-GB", {hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: page.dataset.zone});

	// What a charge weighs as typed, in milligrams; NaN where that cannot be read.
	const kilo = {kg: 1e6, g: 1e3, mg: 1, lb: 453592.37, oz: 28349.523125};
	const milligrams = (text, unit) => {
		const own = text.trim().toLowerCase().match(/(kg|mg|g|lb|oz)$/)?.[1] || unit || ""; // the unit comes with the forms
		const n = Shop.read(text, own);
		return n === null ? NaN : Number(n) * kilo[own];
	};
	const mass = (entry) => {
		const unit = template('data-form="charge"')?.content.querySelector("[data-weighings]")?.dataset.weighings;
		const typed = entry.fields.filter(([n, v]) => n === "mass" && v.trim()).map(([, v]) => milligrams(v, unit));
		const tare = entry.fields.find(([n, v]) => n === "tare" && v.trim());
		return typed.reduce((sum, n) => sum + n, 0) - (tare ? milligrams(tare[1], unit) * typed.length : 0);
	};

	// What is kept here stands on top of the ledger, the newest first.
	const row = (entry, struck) => {
		const {verb, text = "", value = ""} = entry.told || {verb: "Line"};
		const what = el(struck ? "del" : "span", {}, el("b", {textContent: verb}), " " + text);
		const says = entry.refused ? "Not taken. " + entry.refused.said : struck ? "Struck. Kept here, not sent." : "Kept here, not sent.";
		const taps = el("div", {className: "buttons"});
		const tap = (label, onclick) => taps.append(el("button", {className: "btn quiet", type: "button", textContent: label, onclick}));
		if (entry.refused) {
			if (template(`data-form="${entry.kind}"`) && entry.kind !== "strike") tap("Mend it", () => Melt.mend(entry));
			tap("Throw it away", () => discard(entry));
		} else if (!struck && !["strike", "lift", "photo"].includes(entry.kind)) {
			const form = Melt.tapForm(Melt.line(entry.key) + "/strike", "Strike");
			form.dataset.words = sentence(entry.told);
			form.lastChild.className = "btn quiet";
			taps.append(form, el("a", {className: "btn quiet", href: Melt.line(entry.key) + "/photos", textContent: "Photo"}));
		}
		return el("li", {className: "row unsent" + (struck ? " struck" : "")},
			el("span", {className: "when", textContent: clock.format(entry.tapped + Shop.skew)}),
			el("div", {className: "what"}, what, el("span", {className: "sub", textContent: says})),
			el("span", {className: "value"}, struck ? el("del", {textContent: value}) : value),
			taps);
	};
	const discard = async (entry) => {
		const all = await Outbox.all();
		await Outbox.drop(...all.filter((e) => e.id === entry.id || e.of === entry.key).map((e) => e.id));
		Melt.say(sentence(entry.told) + ": thrown away.");
	};
	let shown = "";
	const render = (mine) => {
		const unsent = Outbox.down || Outbox.signin || Outbox.said;
		const here = mine.filter((e) => e.melt === code && (unsent || e.refused || Date.now() - e.tapped > Melt.slow));
		const list = page.querySelector("ol[data-kept]");
		if (!list) return;
		const struck = new Map(here.filter((e) => e.of && e.kind !== "photo" && !e.refused).map((e) => [e.of, e.kind === "strike"]));
		const rows = here.filter((e) => !(e.of && e.kind !== "photo" && here.some((o) => o.key === e.of))); // a strike of what is kept is shown on its line
		const now = JSON.stringify([rows, [...struck]]);
		if (now !== shown) list.replaceChildren(...rows.reverse().map((e) => row(e, struck.get(e.key))));
		shown = now;
		list.hidden = !here.length;
		const standing = here.filter((e) => !struck.get(e.key) && !e.refused);
		power(standing.filter((e) => ["power_on", "isolated"].includes(e.kind)).pop());
		fill(standing.filter(adds));
		glance(standing.filter((e) => rows.includes(e) && e.kind !== "photo"), here.filter((e) => e.refused).length);
		const strip = document.querySelector(".strip .flash:not(.unsent)"), {told} = Melt;
		if (!told || !strip?.textContent.includes("Kept here")) return;
		const key = Outbox.sent.get(told.id), entry = mine.find((e) => e.id === told.id);
		if (key) Melt.refresh(key);
		else if (!entry || entry.refused) Melt.say(sentence(told.told) + (entry ? ": not taken." : "."));
	};

	// power and fill show what is kept here as if it was sent.
	const power = (entry) => {
		const now = page.querySelector(".power"), t = entry && template(`data-power="${entry.kind}"`);
		if (!now || String(now.dataset.entry || "") === String(t ? entry.id : "")) return;
		const next = t ? document.importNode(t.content.querySelector(".power"), true) : Melt.served.cloneNode(true);
		if (t) {
			next.dataset.entry = entry.id;
			next.querySelector("time").dataset.since = Math.round(entry.tapped + Shop.skew);
		}
		Shop.freshKeys(next);
		now.replaceWith(next);
		Shop.tick();
	};
	// glance says in its figures what is kept here and not in them, in the place of
	// what comes next that they are behind, and above that what was not taken.
	const glance = (ahead, refused) => {
		const next = page.querySelector(".next:not([data-kept])"), dl = page.querySelector(".glance"), note = el("p", {className: "next"}), fresh = [];
		if (refused) note.append(el("a", {className: "btn quiet", href: "#kept", textContent: Outbox.count(refused) + " not taken."}), " ");
		if (ahead.length) {
			note.append("What comes next is told once all is sent.");
			const copy = dl.cloneNode(true), [read, by, , more, , range] = copy.querySelectorAll("dd");
			const last = ahead.findLast((e) => e.kind === "temperature");
			if (last) [read.textContent, by.textContent] = [last.told?.value, "kept here"];
			if (ahead.some(adds)) more.textContent = range.textContent = "without what is kept here";
			copy.hidden = false;
			fresh.push(copy);
		}
		if (note.textContent) fresh.push(note);
		dl.hidden = next.hidden = ahead.length > 0;
		const text = (all) => all.map((e) => e.textContent).join(), was = Shop.all(":is(.next, .glance)[data-kept]", page);
		if (text(was) === text(fresh)) return; // a tap on it must not miss
		was.forEach((e) => e.remove());
		fresh.forEach((e) => { e.dataset.kept = ""; });
		next.before(...fresh);
	};
	const adds = (e) => ["charge", "heel_in"].includes(e.kind);
	const fill = (charges) => {
		const bar = page.querySelector(".fillbar");
		bar?.querySelector("[data-kept]")?.remove();
		if (!bar || !charges.length) return;
		const sum = charges.reduce((s, e) => s + mass(e), 0);
		const over = bar.dataset.room && sum > Number(bar.dataset.room);
		const text = charges.map((e) => e.told?.value || "1 line").join(" + ") + " kept here, not in this bar yet." +
			(over ? " With that the crucible is over its safe fill. Charge nothing more before some of it is poured." : "");
		const note = el("p", {className: over ? "beyond" : "hint", textContent: text});
		note.dataset.kept = "";
		bar.querySelector(".ends").after(note);
	};
	Outbox.watch(render);
})();
