// The outbox. What is logged waits in the phone, in the order of the taps,
// until the shop says that it has it; only then, or by the person's own hand,
// it goes. Each entry belongs to the person who tapped, and is sent as nobody
// else's. See DEVELOPERS.md.
"use strict";
const Outbox = (() => {
	const me = document.body.dataset.person || "";
	const patience = 8000, forPhoto = 60000; // for an answer, in ms
	const slowest = 40000; // between two tries, and half as much again by chance

	// The database is opened again when the browser has closed it, as phones do
	// with pages in the background.
	let base = null;
	const connect = () => base ||= new Promise((done, failed) => {
		const request = indexedDB.open("drosswise", 1);
		request.onupgradeneeded = () => request.result.createObjectStore("lines", {keyPath: "id", autoIncrement: true});
		request.onsuccess = () => done(request.result);
		request.onerror = () => failed(request.error);
	});
	const box = {me, ready: false, down: false, signin: false, said: "", sent: new Map()}; // sent: key of the line by entry
	const ask = async (mode, act, again = true) => {
		let t;
		try {
			t = (await connect()).transaction("lines", mode, {durability: "strict"});
		} catch (error) {
			base = null;
			if (again) return ask(mode, act, false);
			throw error;
		}
		return new Promise((done, failed) => {
			const request = act(t.objectStore("lines"));
			t.oncomplete = () => done(request.result);
			t.onabort = () => failed(t.error);
		});
	};
	const everything = () => ask("readonly", (lines) => lines.getAll());
	const after = async (id) => (await ask("readonly", (lines) => lines.getAll(IDBKeyRange.lowerBound(id, true), 1)))[0];

	const watchers = [];
	const changed = async () => {
		const all = await everything().catch(() => []); // where nothing can be kept, nothing is
		const mine = all.filter((e) => e.person === me);
		for (const tell of watchers) tell(mine, all.length - mine.length);
	};
	box.watch = (tell) => { watchers.push(tell); };
	box.changed = changed;
	let asked = false; // not to throw away what is kept when the phone runs short of room
	const persist = () => {
		if (!asked) navigator.storage?.persist?.().catch(() => {});
		asked = true;
	};
	box.put = async (entry) => {
		entry.id = await ask("readwrite", (lines) => lines.put(entry));
		persist();
		await changed();
		return entry.id;
	};
	box.drop = async (...ids) => {
		for (const id of ids) await ask("readwrite", (lines) => lines.delete(id));
		await changed();
	};
	box.all = () => everything().then((all) => all.filter((e) => e.person === me));
	box.get = (id) => ask("readonly", (lines) => lines.get(id));

	try { Shop.skew = Number(localStorage.skew) || 0; } catch { /* not allowed: until the first answer */ }
	// The shop's clock less the phone's, from the answer with the shortest way.
	let best = {way: Infinity, at: 0};
	box.clock = (response, began) => {
		const now = Date.now(), way = now - began, shop = Number(response.headers.get("Drosswise-Now"));
		if (!shop || (way > best.way && now - best.at < 60000)) return;
		best = {way, at: now};
		Shop.skew = shop - (began + now) / 2;
		try { localStorage.skew = Math.round(Shop.skew); } catch { /* not allowed */ }
	};

	// An answer is believed only if it is one of ours: a gateway that wants a
	// sign-in of its own also answers 200.
	const send = async (entry) => {
		const body = entry.blob ? new FormData() : new URLSearchParams();
		for (const [name, value] of entry.fields) body.append(name, value);
		if (entry.blob) body.append("photo", entry.blob, "photo");
		const began = Date.now();
		body.append("ago", Math.floor(Math.max(0, began - entry.tapped) / 1000) * 1000);
		body.append("reckoned", Math.round(entry.tapped + Shop.skew));
		const response = await fetch(entry.path, {
			method: "POST", body, redirect: "error", signal: AbortSignal.timeout(entry.blob ? forPhoto : patience),
			headers: {"Accept": "application/json", "Drosswise-Person": me},
		});
		const answer = await response.json();
		if (!response.headers.has("Drosswise-Now")) throw new Error("not the shop");
		box.clock(response, began);
		return {status: response.ok && !answer.key ? 500 : response.status, answer};
	};

	// take acts on an answer; false stops the sending.
	const take = async (entry, status, answer) => {
		box.signin = status === 401;
		box.said = "";
		if (status < 300) {
			box.sent.set(entry.id, answer.key);
			await ask("readwrite", (lines) => lines.delete(entry.id));
			if (entry.mended) await retry(entry.melt);
			return true;
		}
		if ([400, 404, 409, 413, 422].includes(status)) {
			entry.refused = {status, said: answer.detail, faults: answer.faults || {}, doubts: answer.doubts || {}};
			await ask("readwrite", (lines) => lines.put(entry));
			return true;
		}
		if (status !== 401) box.said = answer.detail || "";
		return false;
	};

	// What was refused beside a line that is now mended may have been refused
	// because of it.
	const retry = async (melt) => {
		for (const entry of await everything()) {
			if (entry.person !== me || entry.melt !== melt || !entry.refused) continue;
			delete entry.refused;
			await ask("readwrite", (lines) => lines.put(entry));
			again = true;
		}
	};

	// drain sends what waits, in order. What was refused is passed over, and so
	// is what strikes or lifts it; everything else goes on. Photos come last: they
	// take long, and nothing hangs on them.
	const drain = async () => {
		const held = new Set();
		if (await pass(held, false)) await pass(held, true);
	};
	const pass = async (held, photos) => {
		for (let entry = await after(0); entry; entry = await after(entry.id)) {
			if (entry.person !== me || Boolean(entry.blob) !== photos) continue;
			if (entry.refused || held.has(entry.of)) {
				held.add(entry.key);
				continue;
			}
			try {
				const {status, answer} = await send(entry);
				box.down = status >= 500;
				if (!await take(entry, status, answer)) return false;
				if (entry.refused && !await takenBack(entry)) held.add(entry.key);
			} catch {
				box.down = true;
				return false;
			} finally {
				await changed();
			}
		}
		return true;
	};

	// takenBack forgets a refused line that the person has struck meanwhile, with
	// all that hangs on it: neither wants it. With 409 the shop may have it.
	const takenBack = async (entry) => {
		const on = (await everything()).filter((e) => e.of && e.of === entry.key);
		if (entry.refused.status === 409 || on.findLast((e) => e.kind !== "photo")?.kind !== "strike") return false;
		for (const {id} of [entry, ...on]) await ask("readwrite", (lines) => lines.delete(id));
		return true;
	};

	let running = null, again = false, wait = 1000, timer = 0;
	box.flush = () => {
		if (!me) return Promise.resolve();
		again = true;
		return running ||= (async () => {
			clearTimeout(timer);
			while (again) {
				again = false;
				await drain();
			}
			return waits();
		})().catch(() => box.ready).then((more) => {
			running = null;
			if (more) timer = setTimeout(box.flush, wait * (1 + Math.random() / 2));
			wait = more ? Math.min(wait * 2, slowest) : 1000;
		});
	};
	// waits says whether anything is left that could be sent.
	const waits = async () => {
		const held = new Set(), mine = (await everything()).filter((e) => e.person === me);
		for (const e of mine) if (e.refused || held.has(e.of)) held.add(e.key);
		return mine.some((e) => !held.has(e.key));
	};
	box.hurry = () => { wait = 1000; return box.flush(); };

	// settled waits until an entry is sent or refused, at most so long: "sent",
	// "refused" or "waiting".
	box.settled = async (id, most) => {
		await Promise.race([box.flush(), new Promise((done) => setTimeout(done, most))]);
		const entry = await box.get(id);
		return !entry ? "sent" : entry.refused ? "refused" : "waiting";
	};

	box.reach = async () => {
		try {
			const response = await fetch("/healthz", {cache: "no-store", signal: AbortSignal.timeout(2500)});
			box.down = !response.ok;
		} catch {
			box.down = true;
		}
		await changed();
		return !box.down;
	};

	// An entry is what a form would have sent.
	box.entry = (form) => {
		const fields = [...new FormData(form)].filter(([, value]) => typeof value === "string");
		const values = new Map(fields);
		const path = new URL(form.action).pathname;
		const [, , melt, , line, act] = path.split("/");
		return {
			person: me, melt, path, fields, key: values.get("key"), kind: values.get("kind") || act,
			of: line && line.startsWith("key-") ? line.slice(4) : "", tapped: Date.now(),
		};
	};
	box.forms = /^\/melts\/[^/]+\/lines(\/|$)/;

	// el makes an element; count says how many lines.
	const el = (tag, props, ...inside) => {
		const made = Object.assign(document.createElement(tag), props);
		made.append(...inside);
		return made;
	};
	box.el = el;
	box.count = (n) => n === 1 ? "1 line" : n + " lines";

	const wake = () => { if (document.visibilityState === "visible") box.hurry(); };
	addEventListener("online", wake);
	document.addEventListener("visibilitychange", wake);
	addEventListener("pageshow", wake);
	box.start = connect().then(() => {
		box.ready = Boolean(me);
		return changed();
	}, () => {});
	return box;
})();
