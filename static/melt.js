// The page of a running melt. It stays while the melt runs, with the network or
// without: its forms open in it, what is logged goes through the outbox, and
// what anybody logs appears in it.
"use strict";
(() => {
	const page = document.querySelector("[data-melt]");
	if (!page || !Outbox.me) return;
	const code = page.dataset.melt, home = "/melts/" + code;
	const may = "may" in page.dataset;
	const {el} = Outbox;
	const main = document.getElementById("main");
	const clock = new Intl.DateTimeFormat("en-GB", {hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: page.dataset.zone});

	// get asks the shop for a page of text, null when there is no answer or none
	// for the person whose page this is.
	const get = async (path) => {
		const began = Date.now();
		const response = await fetch(path, {cache: "no-store", redirect: "manual", headers: {"Drosswise-Person": Outbox.me}, signal: AbortSignal.timeout(8000)}).catch(() => null);
		if (response?.type === "opaqueredirect") Outbox.signin = true;
		if (!response?.ok || response.headers.get("Drosswise-Person") !== Outbox.me) return null;
		Outbox.clock(response, began);
		return new DOMParser().parseFromString(await response.text(), "text/html");
	};

	// The forms of every kind of line, fetched beside the page.
	let forms = null;
	const template = (what) => forms?.querySelector(`template[${what}]`);
	const fetchForms = async () => {
		forms = await get(home + "/forms") || forms;
		page.toggleAttribute("data-forms", Boolean(forms));
	};

	// morph makes one piece of the page like another and leaves alone what is
	// the same, so that nothing jumps, closes or loses the cursor.
	const morph = (old, now) => {
		if (old.isEqualNode(now) || old.dataset?.kept !== undefined) return;
		if (old.nodeName !== now.nodeName || old.nodeType !== 1 || old.id !== now.id) {
			old.replaceWith(document.importNode(now, true));
			return;
		}
		for (const {name, value} of now.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
		for (const {name} of [...old.attributes]) if (!now.hasAttribute(name) && !["open", "data-forms"].includes(name)) old.removeAttribute(name);
		const was = [...old.childNodes], is = [...now.childNodes];
		if (old.matches("ol") && is.length > was.length) { // new rows come on top
			for (const row of is.splice(0, is.length - was.length)) old.insertBefore(document.importNode(row, true), was[0] || null);
		}
		is.forEach((node, i) => { if (was[i]) morph(was[i], node); else old.append(document.importNode(node, true)); });
		was.slice(is.length).forEach((node) => node.remove());
	};

	// refresh brings the page to what the shop has. With done it also brings the
	// strip that undoes that line. A page of another version of the program, or
	// of a melt that runs no longer, is loaded as a whole when no form is open.
	let version = page.dataset.version, served = page.querySelector(".power")?.cloneNode(true);
	let stale = false;
	const files = (doc) => Shop.all("script[src], link[rel=stylesheet]", doc).map((f) => f.getAttribute("src") || f.getAttribute("href")).join();
	const refresh = async (done = "") => {
		const doc = await get(home + (done && "?done=" + done));
		if (!doc) return false;
		const now = doc.querySelector("[data-melt]");
		if (!now || files(doc) !== files(document)) {
			stale = true;
			if (!written()) location.reload();
			return true;
		}
		version = now.dataset.version;
		page.querySelector(".power")?.replaceWith(served);
		page.querySelector(".fillbar [data-kept]")?.remove();
		morph(page, now);
		const dock = document.querySelector(".dock");
		if (dock && doc.querySelector(".dock")) morph(dock, doc.querySelector(".dock"));
		page.hidden = Boolean(written());
		served = page.querySelector(".power")?.cloneNode(true);
		if (done) flash(doc.querySelector(".strip .flash"));
		await Outbox.changed();
		Shop.tick();
		fetchForms();
		return true;
	};

	// The strip says what was just done and takes it back in one tap.
	let told = null; // the entry that the strip speaks of
	const flash = (what) => {
		const strip = document.querySelector(".strip");
		strip.querySelector(".flash:not(.unsent)")?.remove();
		if (what) strip.querySelector(".dock").before(document.importNode(what, true));
	};
	const say = (text, undo) => flash(el("div", {className: "flash"}, el("p", {role: "status", textContent: text}), ...(undo ? [undo] : [])));
	const tapForm = (action, label) => {
		const form = el("form", {className: "form", method: "post", action});
		form.append(el("input", {type: "hidden", name: "key", value: Shop.key()}), el("button", {className: "btn", type: "submit", textContent: label}));
		return form;
	};
	const line = (key) => home + "/lines/key-" + key;

	// words of an entry: of a form, what was chosen and the number typed.
	const words = (entry, form) => {
		const chosen = form.querySelector("select[name=source]")?.selectedOptions[0]?.text.replace(/ \(.*/, "");
		const ticked = form.querySelector("input[name=which]:checked")?.closest("label").textContent.trim().toLowerCase();
		const total = form.querySelector("output.sum")?.textContent.split(": ")[1];
		const number = Shop.all(".number .input", form).find((input) => input.value.trim());
		const unit = number?.parentElement.querySelector(".unit")?.textContent || "";
		const typed = number ? number.value.trim() + (/[a-z%°]$/i.test(number.value.trim()) ? "" : " " + unit) : form.querySelector("[name=note]")?.value || "";
		const verb = template(`data-form="${entry.kind}"`)?.dataset.done || {strike: "Strike", lift: "Put back"}[entry.kind] || "Line";
		return {verb, text: chosen || ticked || form.dataset.words || "", value: total || typed};
	};
	const sentence = ({verb, text, value}) => [verb, text, value].filter(Boolean).join(" ");

	// save keeps what a form says, then sends it. Where the shop answers at once
	// the person sees what it says; else the line waits.
	const slow = 1000; // an answer that takes longer is waited for in sight
	// A tap that follows so soon on a button that takes turns, such as the power,
	// is the same tap: a thumb that bounced.
	const bounce = {kinds: [], until: 0};
	const bounced = (kind) => {
		const same = kind && bounce.kinds.includes(kind) && Date.now() < bounce.until;
		bounce.kinds = [["power_on", "isolated"], ["strike", "lift"]].find((pair) => pair.includes(kind)) || [kind];
		bounce.until = Date.now() + 700;
		return same;
	};
	const save = async (form) => {
		main.ariaBusy = "true";
		await write(form).catch(() => {});
		main.ariaBusy = "false";
	};
	const write = async (form) => {
		const inPlace = written() === form.parentElement;
		const entry = Outbox.entry(form);
		if (bounced(inPlace ? "" : entry.kind)) return;
		entry.told = words(entry, form);
		const old = form.dataset.entry && await Outbox.get(Number(form.dataset.entry));
		if (old) Object.assign(entry, {id: old.id, key: old.key, tapped: old.tapped, mended: true, fields: entry.fields.map(([n, v]) => [n, n === "key" ? old.key : v])});
		try {
			await Outbox.put(entry);
		} catch {
			form.submit(); // the phone cannot keep it: as without script
			return;
		}
		navigator.vibrate?.(40);
		if (inPlace) Shop.setSent(form, true);
		else Shop.freshKeys(form);
		told = entry;
		remember(entry);
		setTimeout(Outbox.changed, slow + 100);
		const end = Outbox.down || Outbox.signin ? (Outbox.flush(), "waiting") : await Outbox.settled(entry.id, 2500);
		if (end === "refused" && inPlace) {
			form.dataset.entry = entry.id;
			refuse(form, (await Outbox.get(entry.id)).refused);
			return;
		}
		const key = Outbox.sent.get(entry.id) || entry.of || entry.key;
		if (inPlace) await leave();
		history.replaceState(null, "", home + "?done=" + key);
		if (end === "sent") await shown(entry, key);
		else if (end === "waiting") kept(entry);
		else say(sentence(entry.told) + ": not taken.");
	};
	const shown = async (entry, key) => {
		if (["close", "void"].includes(entry.kind)) location.reload();
		else if (!await refresh(key)) say(sentence(entry.told) + ". Saved.", tapForm(line(key) + "/strike", "Undo"));
	};
	const kept = (entry) => {
		const lifts = entry.kind === "strike";
		const undo = entry.kind === "lift" ? null : tapForm(lifts ? entry.path.replace(/strike$/, "lift") : line(entry.key) + "/strike", lifts ? "Put back" : "Undo");
		say(sentence(entry.told) + ". Kept here, not sent.", undo);
	};
	// remember chooses in the next form what was chosen in this one.
	const remember = (entry) => {
		for (const [name, value] of entry.fields) {
			const list = ["source", "scale"].includes(name) && template(`data-form="${entry.kind}"`)?.content.querySelector(`select[name=${name}]`);
			if (list) for (const option of list.options) option.toggleAttribute("selected", option.value === value);
		}
	};

	// A form opens in the place of the page.
	const written = () => main.querySelector(":scope > .writing");
	const show = (kind, fill) => {
		const t = template(`data-form="${kind}"`);
		if (!t) return false;
		written()?.remove();
		const box = el("div", {className: "writing"}, document.importNode(t.content, true));
		Shop.freshKeys(box);
		page.hidden = true;
		document.body.classList.add("written");
		document.querySelector(".dock details")?.removeAttribute("open");
		main.append(box);
		fill?.(box.querySelector("form"), box);
		Shop.all("[data-weighings]", box).forEach(Shop.sum);
		scrollTo(0, 0);
		(box.querySelector("#faults") || box.querySelector("[autofocus]") || main).focus();
		return true;
	};
	const open = (kind, path, fill) => {
		if (!show(kind, fill)) return false;
		history.pushState({form: true}, "", path);
		return true;
	};
	// leave goes back to the page, so that the ways back stay short.
	const leave = async () => {
		if (history.state?.form) {
			const gone = new Promise((done) => { addEventListener("popstate", done, {once: true}); });
			history.back();
			await gone;
		}
		close();
	};
	const close = () => {
		written()?.remove();
		page.hidden = false;
		document.body.classList.remove("written");
		if (stale) location.reload();
	};
	// fields puts typed values back into a form.
	const retype = (form, fields) => {
		for (const input of form.elements) {
			const values = fields.filter(([name]) => name === input.name).map(([, value]) => value);
			if (!input.name || input.name === "key" || input.type === "hidden") continue;
			if (["checkbox", "radio"].includes(input.type)) input.checked = values.includes(input.value);
			else input.value = (input.name === "mass" ? values[Shop.all("[name=mass]", form).indexOf(input)] : values[0]) ?? "";
			if (input.type !== "checkbox" && values.some(Boolean)) input.closest("details")?.setAttribute("open", "");
		}
	};
	// refuse puts what the shop said beside the fields.
	const refuse = (form, {said, faults, doubts}) => {
		Shop.all(".faults, .error", form).forEach((e) => e.remove());
		const list = Object.entries({...doubts, ...faults});
		const items = list.length ? list : [["kind", said]];
		const found = (name) => form.querySelector(`[name="${name}"], [name="${name}_clock"]`);
		const row = ([name, text]) => {
			const input = found(name), label = input?.closest(".field")?.querySelector(".label");
			if (!input || input.type === "hidden") return el("li", {textContent: text});
			input.closest("details")?.setAttribute("open", "");
			label?.after(el("p", {className: "error", textContent: text}));
			return el("li", {}, el("a", {href: "#" + input.id, textContent: text}));
		};
		const box = el("div", {className: "faults", id: "faults", role: "alert", tabIndex: -1}, el("h2", {textContent: "This was not written. It is kept here."}), el("ul", {}, ...items.map(row)));
		form.prepend(box);
		const doubt = form.querySelector("[data-doubt]");
		if (doubt) doubt.hidden = !Object.keys(doubts).length || Object.keys(faults).length > 0;
		Shop.setSent(form, false);
		box.focus();
	};
	const mend = (entry) => {
		open(entry.kind, home + "/add/" + entry.kind, (form) => {
			form.dataset.entry = entry.id;
			retype(form, entry.fields);
			refuse(form, entry.refused);
		});
	};

	// What is kept here stands on top of the ledger, the newest first.
	const kilo = {kg: 1e6, g: 1e3, mg: 1, lb: 453592.37, oz: 28349.523125};
	const milligrams = (text, unit) => {
		const own = text.trim().toLowerCase().match(/(kg|mg|g|lb|oz)$/)?.[1] || unit;
		const n = Shop.read(text, own);
		return n === null ? NaN : Number(n) * kilo[own];
	};
	const mass = (entry) => {
		const unit = template('data-form="charge"')?.content.querySelector("[data-weighings]")?.dataset.weighings;
		const typed = entry.fields.filter(([n, v]) => n === "mass" && v.trim()).map(([, v]) => milligrams(v, unit));
		const tare = entry.fields.find(([n, v]) => n === "tare" && v.trim());
		return typed.reduce((sum, n) => sum + n, 0) - (tare ? milligrams(tare[1], unit) * typed.length : 0);
	};
	const row = (entry, struck) => {
		const {verb, text, value} = entry.told || {verb: "Line", text: "", value: ""};
		const what = el(struck ? "del" : "span", {}, el("b", {textContent: verb}), " " + text);
		const says = entry.refused ? "Not taken. " + entry.refused.said : struck ? "Struck. Kept here, not sent." : "Kept here, not sent.";
		const taps = el("div", {className: "buttons"});
		const tap = (label, onclick) => taps.append(el("button", {className: "btn quiet", type: "button", textContent: label, onclick}));
		if (entry.refused) {
			if (template(`data-form="${entry.kind}"`) && entry.kind !== "strike") tap("Mend it", () => mend(entry));
			tap("Throw it away", () => discard(entry));
		} else if (!struck && !["strike", "lift"].includes(entry.kind)) {
			const form = tapForm(line(entry.key) + "/strike", "Strike");
			form.dataset.words = sentence(entry.told);
			form.lastChild.className = "btn quiet";
			taps.append(form);
		}
		return el("li", {className: "row unsent" + (struck ? " struck" : "")},
			el("span", {className: "when", textContent: clock.format(entry.tapped + Shop.skew)}),
			el("div", {className: "what"}, what, el("span", {className: "sub", textContent: says}), taps),
			el("span", {className: "value", textContent: value}));
	};
	const discard = async (entry) => {
		const all = await Outbox.all();
		await Outbox.drop(...all.filter((e) => e.id === entry.id || e.of === entry.key).map((e) => e.id));
		say(sentence(entry.told) + ": thrown away.");
	};
	let shownKept = "";
	const render = (mine) => {
		const unsent = Outbox.down || Outbox.signin || Outbox.said;
		const here = mine.filter((e) => e.melt === code && (unsent || e.refused || Date.now() - e.tapped > slow));
		const list = page.querySelector("ol[data-kept]");
		if (!list) return;
		const struck = new Map(here.filter((e) => e.of && !e.refused).map((e) => [e.of, e.kind === "strike"]));
		const rows = here.filter((e) => !(e.of && here.some((o) => o.key === e.of))); // a strike of what is kept is shown on its line
		const now = JSON.stringify([rows, [...struck]]);
		if (now !== shownKept) list.replaceChildren(...rows.reverse().map((e) => row(e, struck.get(e.key))));
		shownKept = now;
		list.hidden = !here.length;
		const standing = here.filter((e) => !struck.get(e.key) && !e.refused);
		power(standing.filter((e) => ["power_on", "isolated"].includes(e.kind)).pop());
		fill(standing.filter((e) => ["charge", "heel_in"].includes(e.kind)));
		if (told && Outbox.sent.has(told.id) && document.querySelector(".strip .flash:not(.unsent)")?.textContent.includes("Kept here")) {
			const key = Outbox.sent.get(told.id);
			told = null;
			refresh(key);
		}
	};
	// power and fill show what is kept here as if it was sent.
	const power = (entry) => {
		const now = page.querySelector(".power"), t = entry && template(`data-power="${entry.kind}"`);
		if (!now || String(now.dataset.entry || "") === String(t ? entry.id : "")) return;
		const next = t ? document.importNode(t.content.querySelector(".power"), true) : served.cloneNode(true);
		if (t) {
			next.dataset.entry = entry.id;
			next.querySelector("time").dataset.since = Math.round(entry.tapped + Shop.skew);
		}
		Shop.freshKeys(next);
		now.replaceWith(next);
		Shop.tick();
	};
	const fill = (charges) => {
		const bar = page.querySelector(".fillbar");
		bar?.querySelector("[data-kept]")?.remove();
		if (!bar || !charges.length) return;
		const sum = charges.reduce((s, e) => s + mass(e), 0);
		const over = bar.dataset.room && sum > Number(bar.dataset.room);
		const text = Outbox.count(charges.length) + " kept here " + (charges.length > 1 ? "are" : "is") + " not in this bar yet." +
			(over ? " With that the crucible is over its safe fill. Charge nothing more before some of it is poured." : "");
		const note = el("p", {className: over ? "beyond" : "hint", textContent: text});
		note.dataset.kept = "";
		bar.querySelector(".ends").after(note);
	};

	document.addEventListener("submit", (event) => {
		const form = event.target;
		if (!may || !Outbox.ready || event.defaultPrevented || !Outbox.forms.test(new URL(form.action).pathname)) return;
		event.preventDefault();
		save(form);
	});
	const plain = (event) => !event.defaultPrevented && event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey;
	document.addEventListener("click", async (event) => {
		const link = event.target.closest("a[href]");
		if (!link || !plain(event) || link.origin !== location.origin) return;
		const path = link.pathname, kind = path.startsWith(home + "/add/") && !link.search ? path.slice(home.length + 5) : "";
		if (link.hash && path === location.pathname) return;
		if (may && Outbox.ready && kind && open(kind, path)) {
			event.preventDefault();
		} else if (written() && path === home) {
			event.preventDefault();
			leave();
		} else if (may && (path.startsWith(home + "/lines/") || !navigator.serviceWorker?.controller)) {
			// Without an answer the page would be gone, and with it all that works.
			event.preventDefault();
			Outbox.unsure = true;
			if (await Outbox.reach()) { location.href = link.href; return; }
			if (path.startsWith(home + "/lines/")) strike(link);
		}
	});
	const strike = (link) => {
		const text = link.innerText.trim();
		open("strike", home, (form, box) => {
			box.querySelector("h1").textContent = text;
			form.action = link.pathname + "/strike";
			form.dataset.words = text;
		});
	};
	addEventListener("popstate", () => {
		const kind = location.pathname.startsWith(home + "/add/") ? location.pathname.slice(home.length + 5) : "";
		if (!kind || !show(kind)) close();
	});

	// Watching: a stream where there is one, else a question now and then. A
	// page out of sight does not watch, and asks when it is seen again.
	let stream = null, heard = 0;
	const look = (newest) => {
		heard = Date.now();
		if (newest !== version) refresh();
	};
	const watch = () => {
		stream?.close();
		stream = null;
		if (document.visibilityState !== "visible" || !window.EventSource) return;
		stream = new EventSource(home + "/live");
		stream.onmessage = (event) => {
			Outbox.signin = false;
			look(event.data);
			if (Outbox.down) Outbox.hurry();
		};
	};
	const poll = async () => {
		const well = Date.now() - heard < 55000 && stream?.readyState !== 2;
		if (well || Outbox.signin || document.visibilityState !== "visible") return;
		const response = await fetch(home + "/live", {headers: {Accept: "application/json"}, cache: "no-store", signal: AbortSignal.timeout(8000)}).catch(() => null);
		Outbox.signin = response?.status === 401;
		if (!response?.ok) return;
		look((await response.json()).version);
		if (stream?.readyState !== 1) watch();
	};
	setInterval(poll, 1000);

	// The screen stays on where the browser allows it, which takes the lock back
	// whenever the page is out of sight.
	const stayAwake = () => { if (may) navigator.wakeLock?.request("screen").catch(() => {}); };
	const seen = () => {
		watch();
		if (document.visibilityState === "visible") stayAwake();
	};
	document.addEventListener("visibilitychange", seen);
	Outbox.watch(render);
	(async () => {
		seen();
		if (!may) return;
		await fetchForms();
		await Outbox.changed();
		const kind = location.pathname.startsWith(home + "/add/") && location.pathname.slice(home.length + 5);
		if (kind) show(kind);
	})();
})();
