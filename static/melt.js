// Logging on the page of a running melt, with the network or without: its forms
// open in it, and what is logged goes through the outbox.
"use strict";
(() => {
	if (!Melt?.may) return;
	const {page, main, home, written, say, tapForm, line} = Melt, {el} = Outbox;

	// The forms of every kind of line, fetched beside the page.
	let forms = null;
	const template = Melt.template = (what) => forms?.querySelector(`template[${what}]`);
	const fetchForms = async () => {
		forms = await Melt.get(home + "/forms") || forms;
		page.toggleAttribute("data-forms", Boolean(forms));
		for (const e of await Outbox.all().catch(() => [])) if (e.melt === Melt.code && !e.refused) remember(e);
	};

	// words of an entry: of a form, what was chosen and the number typed.
	const words = (entry, form) => {
		const chosen = form.querySelector("select[name=source] option:checked:not([value=''])")?.text.replace(/ \(.*/, "");
		const ticked = form.querySelector("input[name=which]:checked")?.closest("label").textContent.trim().toLowerCase();
		const total = form.querySelector("output.sum")?.textContent.split(": ")[1];
		const number = Shop.all(".number .input", form).find((input) => input.value.trim());
		const unit = number?.parentElement.querySelector(".unit")?.textContent || "";
		const typed = number ? number.value.trim() + (/[a-z%°]$/i.test(number.value.trim()) ? "" : " " + unit) : form.querySelector("[name=note]")?.value || "";
		const verb = template(`data-form="${entry.kind}"`)?.dataset.done || {strike: "Struck:", lift: "Put back:"}[entry.kind] || "Line";
		const strip = form.closest(".flash")?.innerText.replace(/^(Struck|Put back): |(: struck|\. Saved|\. Kept)[^]*/g, "");
		return {verb, text: chosen || ticked || form.dataset.words || strip || "", value: total || typed};
	};
	const sentence = Melt.sentence = ({verb, text, value} = {verb: "Line"}) => // without words, from a form on a page of its own
		[verb, text, value].filter(Boolean).join(" ");

	const slow = Melt.slow = 1000; // an answer that takes longer is waited for in sight

	// A tap that follows so soon on a button that takes turns, such as the power,
	// is the same tap: a thumb that bounced.
	const bounce = {kinds: [], until: 0};
	const bounced = (kind) => {
		const same = kind && bounce.kinds.includes(kind) && Date.now() < bounce.until;
		bounce.kinds = [["power_on", "isolated"], ["strike", "lift"]].find((pair) => pair.includes(kind)) || [kind];
		bounce.until = Date.now() + 700;
		return same;
	};

	// save keeps what a form says, then sends it. Where the shop answers at once
	// the person sees what it says; else the line waits.
	const save = async (form) => {
		main.ariaBusy = "true";
		await write(form).catch(() => {});
		main.ariaBusy = "false";
	};
	const write = async (form) => {
		const inPlace = written() === form.parentElement;
		const entry = Outbox.entry(form);
		if (bounced(inPlace ? "" : entry.kind)) return;
		const faults = lacking(form, entry.kind);
		if (Object.keys(faults).length) return refuse(form, {faults}, "This is not kept yet.");
		entry.told = words(entry, form);
		const old = form.dataset.entry && await Outbox.get(Number(form.dataset.entry));
		if (old) mended(entry, old);
		try {
			await Outbox.put(entry);
		} catch {
			form.submit(); // the phone cannot keep it: as without script
			return;
		}
		navigator.vibrate?.(40);
		if (inPlace) Shop.setSent(form, true);
		else Shop.freshKeys(form);
		Melt.told = entry; // what the strip speaks of
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
	// lacking is what the phone can tell to be wrong by itself: without the network
	// nobody would hear of it before the metal is cold.
	const lacking = (form, kind) => {
		const faults = {}, numbers = Shop.all(".number .input", form);
		for (const {name} of Shop.all("select:invalid", form)) faults[name] = "Choose one.";
		for (const {name, value} of numbers) if (/^\D+$|^-/.test(value.trim())) faults[name] = "Type a number above zero.";
		if (["charge", "heel_in", "temperature"].includes(kind) && !numbers.some((n) => n.value)) faults[numbers[0].name] = "Type a number above zero.";
		return faults;
	};
	// mended makes an entry take the place of a refused one, with its key, so that
	// a late arrival of the old one finds it taken; unless it stands for another.
	const mended = (entry, old) => {
		const key = old.refused?.status === 409 ? entry.key : old.key;
		Object.assign(entry, {id: old.id, key, tapped: old.tapped, mended: true, fields: entry.fields.map(([n, v]) => [n, n === "key" ? key : v])});
	};
	const shown = async (entry, key) => {
		if (["close", "void"].includes(entry.kind)) {
			location.reload();
			await new Promise(() => {}); // busy until it is there
		}
		if (!await Melt.refresh(key)) say(sentence(entry.told) + ". Saved.", tapForm(line(key) + "/strike", "Undo"));
	};
	const kept = (entry) => {
		const lifts = entry.kind === "strike";
		const undo = entry.kind === "lift" ? [] : [tapForm(lifts ? entry.path.replace(/strike$/, "lift") : line(entry.key) + "/strike", lifts ? "Put back" : "Undo")];
		say(sentence(entry.told) + ". Kept here, not sent.", ...undo);
	};

	// remember chooses in the next form what was chosen in this one.
	const remember = (entry) => {
		for (const [name, value] of entry.fields) {
			const list = ["source", "scale"].includes(name) && template(`data-form="${entry.kind}"`)?.content.querySelector(`select[name=${name}]`);
			if (list) for (const option of list.options) option.toggleAttribute("selected", option.value === value);
		}
	};

	// A form opens in the place of the page.
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
		main.focus({preventScroll: true});
		if (Melt.stale) location.reload();
	};

	// retype puts typed values back into a form.
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
	const refuse = (form, {said, faults, doubts = {}}, title = "This was not written. It is kept here.") => {
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
		const box = el("div", {className: "faults", id: "faults", role: "alert", tabIndex: -1}, el("h2", {textContent: title}), el("ul", {}, ...items.map(row)));
		form.prepend(box);
		const doubt = form.querySelector("[data-doubt]");
		if (doubt) doubt.hidden = !Object.keys(doubts).length || Object.keys(faults).length > 0;
		Shop.setSent(form, false);
		box.focus();
	};
	Melt.mend = (entry) => {
		open(entry.kind, home + "/add/" + entry.kind, (form) => {
			form.dataset.entry = entry.id;
			retype(form, entry.fields);
			refuse(form, entry.refused);
		});
	};

	document.addEventListener("submit", (event) => {
		const form = event.target;
		if (!Outbox.ready || event.defaultPrevented || !Outbox.forms.test(new URL(form.action).pathname)) return;
		event.preventDefault();
		save(form);
	});
	const kindOf = (path) => path.startsWith(home + "/add/") ? path.slice(home.length + 5) : "";
	const plain = (event) => !event.defaultPrevented && event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey;
	document.addEventListener("click", async (event) => {
		const link = event.target.closest("a[href]");
		if (!link || !plain(event) || link.origin !== location.origin) return;
		const path = link.pathname, kind = !link.search && kindOf(path);
		if (link.hash && path === location.pathname) return;
		if (Outbox.ready && kind && open(kind, path)) {
			event.preventDefault();
		} else if (written() && path === home) {
			event.preventDefault();
			leave();
		} else if (path.startsWith(home + "/lines/") || !navigator.serviceWorker?.controller) {
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
		const kind = kindOf(location.pathname);
		if (!kind || !show(kind)) close();
	});

	Melt.refreshed = fetchForms;
	(async () => {
		await fetchForms();
		await Outbox.changed();
		const kind = kindOf(location.pathname); // the page was loaded in the place of a form's
		if (kind) show(kind);
	})();
})();
