// The page of a running melt, kept as it is in the shop: what anybody logs
// appears in it within a second, and nothing that is open closes.
"use strict";
const Melt = (() => {
	const page = document.querySelector("[data-melt]");
	if (!page || !Outbox.me) return null;
	const main = document.getElementById("main"), code = page.dataset.melt, home = "/melts/" + code;
	const powerNow = () => page.querySelector(".power");
	const melt = {
		page, main, code, home, may: "may" in page.dataset,
		served: powerNow()?.cloneNode(true), // the power as the shop has it
		stale: false, // the page is to be loaded as a whole
		refreshed: () => {},
		written: () => main.querySelector(":scope > .writing"), // the form that is open in the page's place
	};

	// get asks the shop for a page of text, null when there is no answer or none
	// for the person whose page this is.
	melt.get = async (path) => {
		const began = Date.now();
		const response = await fetch(path, {cache: "no-store", redirect: "manual", headers: {"Drosswise-Person": Outbox.me}, signal: AbortSignal.timeout(8000)}).catch(() => null);
		if (response?.type === "opaqueredirect") Outbox.signin = true;
		if (!response?.ok || response.headers.get("Drosswise-Person") !== Outbox.me) return null;
		Outbox.clock(response, began);
		return new DOMParser().parseFromString(await response.text(), "text/html");
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
		for (const {name} of [...old.attributes]) if (!now.hasAttribute(name) && !["open", "hidden", "data-forms"].includes(name)) old.removeAttribute(name);
		const was = [...old.childNodes].filter((e) => !e.matches?.("p[data-kept], dl[data-kept]")), is = [...now.childNodes];
		if (old.matches("ol") && is.length > was.length) { // new rows come on top
			for (const row of is.splice(0, is.length - was.length)) old.insertBefore(document.importNode(row, true), was[0] || null);
		}
		is.forEach((node, i) => { if (was[i]) morph(was[i], node); else old.append(document.importNode(node, true)); });
		was.slice(is.length).forEach((node) => node.remove());
	};

	// refresh brings the page to what the shop has. With done it also brings the
	// strip that undoes that line. A page of another version of the program, or
	// of a melt that runs no longer, is loaded as a whole when no form is open.
	let version = page.dataset.version;
	const files = (doc) => Shop.all("script[src], link[rel=stylesheet]", doc).map((f) => f.getAttribute("src") || f.getAttribute("href")).join();
	melt.refresh = async (done = "") => {
		const doc = await melt.get(home + (done && "?done=" + done));
		if (!doc) return false;
		const now = doc.querySelector("[data-melt]");
		if (!now || files(doc) !== files(document)) {
			melt.stale = true;
			if (!melt.written()) location.reload();
			return true;
		}
		version = now.dataset.version;
		powerNow()?.replaceWith(melt.served);
		morph(page, now);
		const dock = document.querySelector(".dock");
		if (dock && doc.querySelector(".dock")) morph(dock, doc.querySelector(".dock"));
		page.hidden = Boolean(melt.written());
		melt.served = powerNow()?.cloneNode(true);
		if (done) flash(doc.querySelector(".strip .flash"));
		await Outbox.changed();
		Shop.tick();
		melt.refreshed();
		return true;
	};

	// The strip says what was just done and takes it back in one tap.
	const flash = (what) => {
		const strip = document.querySelector(".strip");
		strip.querySelector(".flash:not(.unsent)")?.remove();
		if (what) strip.querySelector(".dock").before(document.importNode(what, true));
	};
	const {el} = Outbox;
	melt.say = (text, ...undo) => flash(el("div", {className: "flash"}, el("p", {role: "status", textContent: text}), ...undo));
	melt.tapForm = (action, label) => {
		const form = el("form", {className: "form", method: "post", action});
		form.append(el("input", {type: "hidden", name: "key", value: Shop.key()}), el("button", {className: "btn", type: "submit", textContent: label}));
		return form;
	};
	melt.line = (key) => home + "/lines/key-" + key;

	// Watching: a stream where there is one, else a question now and then. A
	// page out of sight does not watch, and asks when it is seen again.
	let stream = null, heard = 0;
	const root = document.documentElement;
	const look = (newest) => {
		heard = Date.now();
		if (newest !== version) melt.refresh();
		if (!root.dataset.kept) return;
		delete root.dataset.kept; // what the worker had kept is as the shop has it
		Outbox.changed();
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
		const well = Date.now() - heard < 15000 && stream?.readyState === 1;
		if (well || Outbox.signin || document.visibilityState !== "visible") return;
		const response = await fetch(home + "/live", {headers: {Accept: "application/json"}, cache: "no-store", signal: AbortSignal.timeout(8000)}).catch(() => null);
		if (!response && heard && !root.dataset.kept) {
			root.dataset.kept = heard;
			Outbox.changed();
		}
		Outbox.signin = response?.status === 401;
		if (!response?.ok) return;
		look((await response.json()).version);
		if (stream?.readyState !== 1) watch();
	};
	setInterval(poll, 1000);

	// The screen stays on where the browser allows it, which takes the lock back
	// whenever the page is out of sight.
	const stayAwake = () => { if (melt.may) navigator.wakeLock?.request("screen").catch(() => {}); };
	const seen = () => {
		watch();
		if (document.visibilityState === "visible") stayAwake();
	};
	document.addEventListener("visibilitychange", seen);
	seen();
	return melt;
})();
